//! The pages: everything a person sees in the browser, as server-rendered HTML.
//!
//! One view struct and one function per page, the parts they share, the names of form fields, and the
//! one style sheet and script. A page is a pure function of its [`Frame`] and its view: it is given
//! today's day, the person signed in and what is to be shown.
//!
//! It never queries a store, never computes a clinical value (it only lays out what `course` and
//! `guidance` found), never reads a clock, and never puts a style or a script into the page itself.
//! Everything works without JavaScript.
//!
//! Start reading at [`Frame`] and [`parts`], then [`visit()`], which is the heart.

mod add;
pub mod assets;
mod attention;
pub mod bench;
mod capacity;
mod child;
mod day;
mod entry;
mod errors;
pub mod fields;
mod find;
mod frame;
mod import;
mod ink;
pub mod likely;
mod lost;
pub mod parts;
pub mod picture;
mod protocol;
pub mod put_off;
mod register;
mod results;
mod second_score;
mod sign_in;
mod start;
pub mod stock;
pub mod trouble;
mod visit;
mod wear;
pub mod words;

pub use add::{AddKind, AddView, add};
pub use assets::{APP_CSS, APP_JS};
pub use attention::{AttentionFilter, AttentionRow, AttentionView, RuleChoice, UrgencyCount, attention};
pub use bench::{BenchView, bench, sheet as brace_sheet};
pub use capacity::{CapacityForm, CapacityView, Counted, OtherSetting, SERVICE_KEYS, WEEKDAY_KEYS, capacity};
pub use child::{ChildView, child};
pub use day::{DayRow, DayView, day};
pub use entry::{Amendment, EntryView, entry};
pub use errors::{Trouble, error};
pub use find::{FindRow, FindView, find, find_list};
pub use frame::{Frame, Here, Message, page};
pub use import::{
    ColumnGuess, Counts, ImportDone, ImportPreview, ImportView, PossiblePair, RowNote, import, import_done,
    import_preview,
};
pub use likely::{ForecastsView, forecasts};
pub use lost::{LostRow, LostView, lost};
pub use protocol::{ProtocolView, protocol};
pub use put_off::{PutOffView, put_off};
pub use register::{PossibleMatch, RegisterView, register};
pub use results::{
    AgreementView, Choice, Names, ResultsFilter, ResultsView, WatchChoice, WatchView, YearView, agreement,
    definitions, reads_of as figure_words, result, results, results_working, year,
};
pub use second_score::{BothScoresView, ScoreShown, SecondScoreView, both_scores, second_score};
pub use sign_in::{SignInView, sign_in};
pub use start::{StartView, start};
pub use stock::{StockChild, StockView, stock};
pub use trouble::{TroubleView, troubles};
pub use visit::{PreviewView, Proposal, VisitView, preview, visit};
pub use wear::{HOURS, LoggedDay, LoggerPreview, REASON, WEEKS_AT_MOST, WearView, logger_preview, wear};
