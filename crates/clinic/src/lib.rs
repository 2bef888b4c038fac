//! The clinic: one door to a child's record and to everything computed from the records.
//!
//! [`ClinicRecords`] owns the archive and a protocol. It reads and appends entries, searches children and lists
//! their work, and returns what `course`, `guidance`, `forecast` and `audit` compute from the log: a child's
//! course and outlook ([`ClinicRecords::child`]), the rows of results ([`ClinicRecords::results`]), forecasts
//! that have learned from the clinic's own feet ([`ClinicRecords::forecaster`]), the stock that will be needed
//! ([`ClinicRecords::stock_needs`]), the clinic's own caseload ([`ClinicRecords::own_caseload`]). Each value is
//! saved in the one cache of the archive ([`LogCache`]) for a generation of the log, so a write need not
//! invalidate it. The summary rows for lists and searches are computed here too; the archive stores them in the
//! transaction of the entries. The archive itself is not handed out. Accounts and sessions have a handle of
//! their own ([`Accounts`]).
//!
//! It never reads a clock: the day is a parameter. It has no clinical rule: those are in `guidance`.
//!
//! Start reading at [`ClinicRecords`].

mod clinic_days;
mod copied;
mod family;
mod import;
mod join;
mod learned;
mod lists;
mod log;
mod logged_wear;
mod marked;
mod marks;
mod own_caseload;
mod photographs;
mod picture_report;
mod planned;
mod proposal;
mod recent;
mod records;
mod results;
mod retention;
mod sites;
mod stock_needs;
mod summary;
mod trust;
mod undo_import;
mod videos;
mod visit_remedy;
mod withheld;
mod worn_text;
mod written_step;

pub use archive::{
    ACCESS_CHECK_WORDS, ACCESS_FILE, ACCESS_KEY_FILE, ACCESS_ONE_ROW_SECONDS, AboutVideo, AccessAct,
    AccessEvent, AccessFault, AccessFilter, AccessHead, AccessLog, AccessOutcome, AccessReport, AccessRow,
    Account, AccountEvent, Accounts, AppointmentItem, ArchiveError, ArrivingFile, CACHE_BYTES, CAN_ENCRYPT,
    CacheKey, CacheValue, CodeSecret, CopyDifference, CopyReport, DatabaseKey, DecisionKind, Device, Devices,
    Erasure, ErasureDecision, ErasureRequest, ErasureRequests, FILE_NAME, FactorCounts, Fault, FaultKind,
    FormDraftRow, FormDraftRows, Hit, KeptSize, LeftOutEntry, Link, LogCache, LostPiece, MediaBytes,
    MediaOwner, MediaPiece, MediaRead, MediaReader, MissingEntry, NamedMedia, NewDevice, NewErasureRequest,
    NewImport, NewPicture, NewRestrictedOpening, NewVideo, PICTURES_FILE, PICTURES_INDEX_FILE, PartlyRead,
    Passkey, PastImport, PhotographPracticeRow, Pictures, PinTry, Pins, PracticeRow, PracticeRows,
    PracticeSaved, Progress, Receipt, RecomputeCost, RecordHold, RecordHolds, RecordsDecision, RecordsLock,
    RecordsMark, RecordsState, RecoveryCodes, RestoreOrder, RestoredRecords, RestrictedOpening,
    RestrictionStep, Restrictions, Salvaged, Session, SiteChain, Summary, TakenBackUpgrade, TokenHash,
    UndoneImport, VIDEO_PIECE_BYTES, VerifyReport, Videos, WaitingPicture, WaitingUpload, WaitingVideo,
    WithheldPictures, WitnessCheck, WitnessFinding, WitnessHead, WitnessPlace, WorkFilter, WorkItem,
    WorkKind, WorkRow, create_private, make_private, private_options, salvage, sign_in_key,
    witnessed_entries, write_with_key,
};
pub use caseload::Closure;
pub use clinic_days::{ClinicDays, DayBookings, DayRoom, service_for};
pub use copied::{admit_restored, make_restored, take_back_upgrade};
pub use family::{NamedTwin, PossibleSibling, SiblingRecord};
pub use import::{KnownRecords, plan_import};
pub use join::{
    ClashChoice, IdentityChoice, IdentityRow, JoinChoices, JoinClash, JoinPlan, RecordLikeness, likenesses,
};
pub use learned::{ForecastReview, TrainedForecaster};
pub use logged_wear::{LoggedWear, LoggerFiles, read_logged_wear};
pub use marked::LoggerElsewhere;
pub use marks::logger_label;
pub use own_caseload::{CaseloadCounts, CountedBy, OwnCaseload, filled_setting, ready_clinic};
pub use photographs::{
    ChildPhotographs, KeptAngle, KeptLength, KeptMeasurement, KeptPhotograph, MediaConsent, PhotographUses,
};
pub use picture_report::PictureReport;
pub use planned::results_basis;
pub use proposal::{ProposedDay, SharedDay, proposed_days, shared_day};
pub use recent::RecentValue;
pub use records::{ChildRecord, ClinicRecords, RecordsOptions};
pub use results::SharedResults;
pub use retention::{RetentionDue, RetentionRule};
pub use summary::{ItemDetail, SavedReason, saved_call, sides_of, state_key, summary};
pub use trust::WriteCounts;
pub use undo_import::{KeptEntry, KeptReason, UndoPlan, UndoStamp};
pub use videos::KeptVideo;
pub use visit_remedy::{EntryFate, VisitPlan, VisitRemedy, VisitRow};
pub use written_step::{StepStamp, TakeBack};
