//! Names of form fields, in one place for the code that draws them and the code that reads them.
//!
//! [`visit`] has the names of the visit form. [`of_kind`] lists the fields of the small form of every
//! kind of entry, as `record` declares them; [`values_of`] fills that form from an entry and [`body_of`]
//! reads it back, so that a correction loses nothing.

pub mod backups;
mod filled;
mod kinds;
pub mod settings;
pub mod visit;

pub use filled::{Field, FieldError, Filled, What};
pub use kinds::{body_below, body_of, of_kind, values_of, with_room};

/// The token against forged forms.
pub const CSRF: &str = "csrf";
/// The address to which every search for a child is posted, so that no address holds a name.
pub const SEARCH_PATH: &str = "/find";
/// What stands for a search in an address.
pub const SEARCH: &str = "search";
/// The page that shows what a search finds.
pub const PAGE: &str = "page";
/// What a form is to do, where several forms are sent to one address.
pub const ACT: &str = "act";
/// The clinical day of an entry.
pub const ON: &str = "on";
/// The reason field of the kinds that have one.
pub const REASON: &str = "reason";
/// Why an entry is corrected.
pub const CORRECT_REASON: &str = "correct_reason";
/// Which of the usual reasons an entry is corrected for: a key of [`USUAL_CORRECTIONS`], or `other`.
pub const CORRECT_WHY: &str = "correct_why";
/// The usual reasons of a correction: key and words, which are saved as the reason.
pub const USUAL_CORRECTIONS: [(&str, &str); 3] =
    [("value", "Wrong value typed"), ("foot", "Wrong foot"), ("day", "Wrong day")];
/// Why an entry is withdrawn.
pub const WITHDRAW_REASON: &str = "withdraw_reason";
/// Why a step that was written as one is taken back.
pub const TAKE_BACK_REASON: &str = "take_back_reason";
/// Why an entry that is in doubt is right, in the user's words.
pub const CONFIRM: &str = "confirm";
/// Makes a double submit harmless.
pub const ONCE: &str = "once";
/// Names a form that is kept as a draft while it is filled in; forms without it are not.
pub const DRAFT: &str = "draft";
/// Names the draft that is to be discarded.
pub const DISCARD: &str = "discard";
/// Says that the form was saved before with other contents; its value is the address of an entry that was saved.
pub const SAVED_BEFORE: &str = "saved_before";
/// The day on which the clinic is closed and about which the person was asked.
pub const CLOSED_SEEN: &str = "closed_seen";
/// Number of entries from which the form was made, or the version of a list.
pub const SEEN: &str = "seen";
/// Confirms that a child is to be registered although a similar one is on record.
pub const SURE: &str = "sure";
/// Which foot a form is about, `right` or `left`.
pub const SIDE: &str = "side";
/// The value of [`SIDE`] in a form that records the same of each foot.
pub const BOTH_FEET: &str = "both";
/// The first score of a pair.
pub const FIRST: &str = "first";
/// The earlier entry that an entry follows.
pub const FOLLOWS: &str = "follows";
