//! Names of the form fields of settings and of the protocol.

use record::Weekday;

/// What a button does.
pub const DO: &str = "do";
/// The clinic's name.
pub const NAME: &str = "clinic_name";
/// Whether the clinic has weekdays of its own.
pub const DAYS: &str = "days";
/// The answer that it has.
pub const SOME_DAYS: &str = "some";
/// The answer that any day is possible.
pub const ANY_DAY: &str = "any";
/// Minutes without use after which a session ends.
pub const IDLE_MINUTES: &str = "idle_minutes";
/// Years after the last entry until which records are kept.
pub const RETENTION_AFTER_LAST: &str = "retention_after_last";
/// Age in years until which records are kept.
pub const RETENTION_AGE: &str = "retention_age";
/// Who needs a second factor.
pub const SECOND_FACTOR: &str = "second_factor";
/// The answer that leaves it to the program.
pub const BY_DEFAULT: &str = "default";
/// Whether codes may be set up.
pub const USE_CODES: &str = "second_factor_codes";
/// Whether passkeys may be added.
pub const USE_PASSKEYS: &str = "second_factor_passkeys";
/// The telephone number for families.
pub const TELEPHONE: &str = "telephone";
/// The paper for documents.
pub const PAPER: &str = "paper";
/// Minutes without use after which a session is locked.
pub const LOCK_MINUTES: &str = "lock_minutes";
/// The first closed day.
pub const CLOSED_FROM: &str = "closed_from";
/// The last closed day.
pub const CLOSED_TO: &str = "closed_to";
/// The reason for closing.
pub const CLOSED_WHY: &str = "closed_why";
/// The closure to be removed.
pub const CLOSURE: &str = "closure";
/// A folder for a copy.
pub const FOLDER: &str = "folder";
/// The key of an import map.
pub const MAP: &str = "map";
/// A value of the protocol, or its lower end.
pub const VALUE: &str = "value";
/// The upper end of a value of the protocol.
pub const VALUE_TO: &str = "value_to";
/// The reason for a change.
pub const WHY: &str = "why";

/// The field that says whether the clinic is held on a weekday.
#[must_use]
pub fn weekday_field(day: Weekday) -> String {
    format!("weekday.{}", day.word().to_lowercase())
}
