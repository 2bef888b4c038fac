//! The pages: everything a person sees in the browser, as server-rendered HTML.
//!
//! One view struct and one function per page, the parts they share, the names of form fields, and the
//! one style sheet and script. A page is a pure function of its [`Frame`] and its view, which hold today's
//! date, the person signed in and the data to show.
//!
//! The crate never queries a store, computes a clinical value (it only shows what `course` and `guidance`
//! found) or reads a clock, and never puts a style or a script into a page. Every page works without
//! JavaScript.
//!
//! Start reading at [`Frame`] and [`parts`], then [`visit()`], the main form.

pub mod access_log;
mod account;
mod add;
pub mod assets;
mod attention;
mod backups;
mod blank_sheet;
pub mod brace_fitting;
pub mod brace_problems;
pub mod call;
mod capacity;
mod chart_file;
mod child;
mod day;
mod day_places;
mod devices;
pub mod document_handed;
pub mod document_texts;
mod documents;
mod drafts;
pub mod encryption;
mod entry;
pub mod erasure;
pub mod fields;
mod find;
mod first_start;
mod frame;
mod help;
mod help_topic;
mod import;
mod in_language;
mod ink;
pub mod join;
mod letters;
pub mod likely;
mod lost;
pub mod move_appointment;
mod paper;
pub mod parts;
mod past_imports;
pub mod people;
mod photographs;
pub mod picture;
pub mod practice;
mod protocol;
mod protocol_value;
pub mod put_off;
mod records;
mod register;
mod request_error;
mod restore;
pub mod restricted;
mod results;
pub mod second_factor;
mod second_score;
pub mod settings;
pub mod siblings;
mod sign_in;
mod start;
pub mod stock;
pub mod tenotomy;
mod theatre;
mod unlock;
mod videos;
mod visit;
pub mod visit_remedy;
mod wear;
pub mod words;

pub use self::practice::{
    ExerciseView, LearnView, PhotographExerciseView, PhotographPracticeView, PhotographTask,
    PhotographToScore, PracticeAnswerView, PracticeLevelView, PracticeLevelsView, PracticeProgressView,
    PracticeRecordView, ScoringProposalRow, ScoringTogetherView, exercise, learn, photograph_exercise,
    photograph_practice, practice_answer, practice_level, practice_levels, practice_progress,
    practice_record, scoring_together,
};
pub use access_log::{AccessLogView, AccessRowShown, access_log};
pub use account::{
    AccountView, ChoosePasswordView, LANGUAGE, OLD_PASSWORD, OwnPin, OwnSession, PASSWORD, PASSWORD_AGAIN,
    PIN_AGAIN, PIN_PASSWORD, SESSION, account, choose_password,
};
pub use add::{AddKind, AddView, add};
pub use assets::{APP_CSS, APP_JS};
pub use attention::{AttentionFilter, AttentionRow, AttentionView, RuleChoice, UrgencyCount, attention};
pub use backups::{BackupPlace, BackupRow, BackupsView, ErasedHolder, backup_code, backups};
pub use blank_sheet::{BlankSheet, blank_sheet, blank_sheet_paper, blank_sheets};
pub use brace_fitting::{
    BraceFittingView, LengthOnPhotograph, brace_fitting, growth_chart, sheet as brace_sheet,
};
pub use brace_problems::{BraceProblemsView, brace_problems};
pub use call::{CallListView, CallRow, CallView, call, calls, calls_paper};
pub use capacity::{
    CapacityForm, CapacityView, ChildrenCounted, OtherSetting, SERVICE_KEYS, WEEKDAY_KEYS, capacity,
};
pub use chart_file::{ChartFile, ChartFormat, chart_links, course_chart, course_drawing};
pub use child::{ChildView, FamilyView, SiblingView, TogetherView, all_entries, child};
pub use day::{DayRow, DayView, day, day_done, day_left_out, day_paper};
pub use day_places::DayPlaces;
pub use devices::{
    CERTIFICATE_PATH, DeviceRow, DeviceState, DevicesView, EnrolView, NetworkShown, NewCodeShown, TrustView,
    devices, enrol, not_enrolled, trust,
};
pub use document_handed::{DocumentHandedView, document_handed};
pub use document_texts::{
    DocumentLanguagesView, DocumentTextView, DocumentTextsView, LanguageRow, TextRow, TranslationState,
    document_languages, document_text, document_texts,
};
pub use documents::{DocumentChoice, DocumentLanguage, DocumentsView, LanguageChoice, LookChoice, documents};
pub use drafts::{DraftRow, DraftsView, SignOutView, drafts, sign_out};
pub use entry::{Amendment, EntryStock, EntryView, PUT_BACK, STAYS_OUT, STOCK_STEP, StepShown, TAKE, entry};
pub use erasure::{
    ErasureFormView, ErasureRow, ErasureView, ErasuresView, KindCount, RetentionRow, RetentionView, erasure,
    erasure_form, erasures, retention,
};
pub use find::{FindRow, FindView, find, find_brief, find_list};
pub use first_start::{first_clinic, first_steps};
pub use frame::{Frame, FrameNotices, Here, Message, Place, RestoredDraft, StandingNotice, page};
pub use help::help;
pub use help_topic::{HelpPart, HelpTopic};
pub use import::{
    ColumnMenus, ImportAnswer, ImportCounts, ImportDone, ImportPreview, ImportQuestion, ImportView, Menu,
    MenuGroup, MenuOption, PossiblePair, PossiblePairsView, RowNote, SavedChoices, SheetMenus, SheetRow,
    import, import_done, import_preview, import_work, possible_pairs,
};
pub use in_language::PageLanguage;
pub use join::{JoinCandidate, JoinClashRow, JoinDetail, JoinFindView, JoinView, join, join_find};
pub use letters::{LettersView, colleague_letters};
pub use likely::{ForecastsView, forecasts};
pub use lost::{LostRow, LostView, lost};
pub use move_appointment::{DayLoad, MoveAppointmentView, move_appointment};
pub use past_imports::{KeptRow, PastImportRow, UndoImportView, past_imports, undo_import};
pub use people::{OneTimePassword, PeopleView, PersonRow, PersonView, people, person};
pub use photographs::{
    CARD_CORNERS, CHOSEN_VIEWS, ConsentShown, EnlargedPart, HOW_FOUND, HOW_MAGNIFIED, HandedLetterShown,
    LENGTH_POINTS, LengthView, LetterPair, LetterPhotographsView, MeasureChoice, MeasureView, NamedPicture,
    PART_SHOWN, PART_SIDE, PHOTOGRAPH_USES, PHOTOGRAPHS, PhotographNamesView, PhotographPairView,
    PhotographShown, PhotographStripView, PhotographsView, TAPPED_PART, TAPPED_WHOLE, TapFields, WHOLE_SIDE,
    WaitingShown, how_set, letter_photographs, measure_length, measure_photograph, name_field, pair_name,
    photograph_names, photograph_pair, photograph_strip, photographs, tap_fields,
};
pub use protocol::{ProtocolView, protocol};
pub use protocol_value::{ProtocolValueView, filled_value, protocol_value};
pub use put_off::{PutOffView, put_off};
pub use records::{DecisionRow, RecordsProblem, RecordsView, records};
pub use register::{PossibleChild, RegisterView, register};
pub use request_error::{RequestError, RightRefused, error};
pub use restore::{BACKUP_FILE, BackupOnDisk, OTHER_FILE, RESTORE_REASON, RestoreView, SECRET, restore};
pub use restricted::{
    RestrictedRefused, RestrictedView, RestrictionRow, RestrictionView, restricted_records, restriction,
};
pub use results::{
    AgreementView, Choice, Names, ResultsFilter, ResultsView, WatchChoice, WatchView, YearView, agreement,
    agreement_chart, definitions, figure_words, result, result_chart, results, results_working, year,
};
pub use second_factor::{
    AccountEventRow, NewCodesView, PasskeyRow, PasskeySignIn, RecoveryCodesView, SecondFactorView,
    SecondStepView, new_codes, recovery_codes, second_factor as second_factor_page, second_step,
};
pub use second_score::{BothScoresView, ScoreShown, SecondScoreView, both_scores, second_score};
pub use settings::{
    ClosureRow, CopiesView, HistoryRow, HistoryView, ImportMapRow, ImportMapsView, LetterheadView, LogoShown,
    SecondFactorSettings, SettingsView, copies, import_maps, letterhead, setting_history, settings,
};
pub use siblings::{SiblingsView, siblings};
pub use sign_in::{KeptForm, SignInView, sign_in};
pub use start::{StartView, start};
pub use stock::{StockChild, StockReturn, StockView, stock, stock_paper};
pub use theatre::{TheatreRow, TheatreView, theatre};
pub use unlock::{PIN, PersonHere, SignInAgainView, UnlockView, sign_in_again, unlock, unlock_part};
pub use videos::{VIDEO, VideoNamesView, VideoShown, VideosView, video_names, videos};
pub use visit::{DayChoice, PreviewView, VisitNow, VisitView, preview, visit, visit_parts};
pub use visit_remedy::{
    RemedyRow, VisitEntriesView, VisitFault, VisitRemedyView, visit_entries, visit_remedy,
};
pub use wear::{
    ASKED, DiaryScanView, HOURS, LoggedDay, LoggerPreview, REASON, WEEKS_AT_MOST, WearView, diary_scan,
    logger_preview, scan::PHOTO as DIARY_PHOTO, wear, wear_chart,
};
