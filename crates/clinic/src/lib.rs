//! The clinic: one door to a child's record and to everything computed from the records.
//!
//! [`ClinicRecords`] owns the archive and a protocol, and answers with what `course`, `guidance`, `forecast`
//! and `audit` make of the log: a child's course and outlook ([`ClinicRecords::child`]), the rows of results
//! ([`ClinicRecords::results`]), what the clinic's own feet teach its forecasts
//! ([`ClinicRecords::forecaster`]), the needs of the cupboard ([`ClinicRecords::stock_needs`]), the clinic's
//! own caseload ([`ClinicRecords::own_caseload`]). Each is saved in the one cache of the archive
//! ([`archive::LogCache`]) under the generation of the log it was computed for, so nobody has to say that
//! something was written. The summary rows that lists and searches use are computed here as well; the archive
//! stores them in the transaction of the entries.
//!
//! It never reads a clock: the day is a parameter. It holds no clinical rule: those are in `guidance`.
//!
//! Start reading at [`ClinicRecords`].

pub use archive;

mod import;
mod learned;
mod logged_wear;
mod marked;
mod marks;
mod own_caseload;
mod planned;
mod proposal;
mod records;
mod results;
mod stock_needs;
mod summary;
mod undo_import;
mod worn_text;

pub use import::plan_import;
pub use learned::{ForecastReview, TaughtForecaster};
pub use logged_wear::{LoggedWear, LoggerFiles, read_logged_wear};
pub use marked::LoggerElsewhere;
pub use marks::logger_label;
pub use own_caseload::{CaseloadCounts, CountedBy, OwnCaseload, filled_setting, ready_clinic};
pub use planned::{planned_intervals, results_basis};
pub use proposal::{ProposedDay, is_clinic_day, proposed_days};
pub use records::{ChildRecord, ClinicRecords, RecordsOptions};
pub use results::SharedResults;
pub use summary::{ItemDetail, SavedReason, saved_call, sides_of, state_key, summary};
pub use undo_import::{KeptEntry, KeptReason, UndoPlan, UndoStamp};
