//! What is known through the family: attempts to reach it, and hours of wear.

use record::{ContactWay, Day, EntryId};

/// An attempt to reach the family.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contact {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// How.
    pub way: ContactWay,
    /// Whether they were reached.
    pub reached: bool,
    /// Whom, as written.
    pub whom: Option<String>,
    /// What came of it, as written.
    pub note: Option<String>,
}

/// Where hours of wear come from; the two are never mixed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WearKind {
    /// The family says.
    Reported,
    /// A logger found.
    Logged,
}

/// Hours of wear over a span.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearSpan {
    /// The entry.
    pub entry: EntryId,
    /// Whence.
    pub kind: WearKind,
    /// The day on which it was told.
    pub told_on: Day,
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// Mean hours a day.
    pub hours_per_day: f64,
}
