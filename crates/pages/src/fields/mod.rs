//! Names of form fields, in one place for whoever draws them and whoever reads them.
//!
//! [`visit`] holds the names of the visit form. [`of_kind`] lists the fields of the small form of every
//! kind of entry, as `record` declares them; [`values_of`] fills that form from an entry and [`body_of`]
//! reads it back, so that a correction loses nothing.

mod filled;
mod kinds;
pub mod visit;

pub use filled::{Field, FieldError, Filled, What};
pub use kinds::{body_below, body_of, of_kind, values_of, with_room};

/// The token against forged forms.
pub const CSRF: &str = "csrf";
/// The clinical day of an entry.
pub const ON: &str = "on";
/// The reason field of the kinds that have one.
pub const REASON: &str = "reason";
/// Why an entry is corrected.
pub const CORRECT_REASON: &str = "correct_reason";
/// Why an entry is withdrawn.
pub const WITHDRAW_REASON: &str = "withdraw_reason";
/// Why an entry that is in doubt is right, in the person's own words.
pub const CONFIRM: &str = "confirm";
/// Makes a double submit harmless.
pub const ONCE: &str = "once";
/// Number of entries the form was rendered from.
pub const SEEN: &str = "seen";
/// Says that a child is to be registered although another looks alike.
pub const SURE: &str = "sure";
/// Which foot a form is about, `right` or `left`.
pub const SIDE: &str = "side";
/// The first score that a second one is laid beside.
pub const FIRST: &str = "first";
/// Which earlier entry an entry answers.
pub const FOLLOWS: &str = "follows";
