//! Information from the family: attempts to reach it, and hours of wear.

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
    /// The person, as recorded.
    pub whom: Option<String>,
    /// The outcome, as recorded.
    pub note: Option<String>,
}

/// The source of hours of wear; the two are never mixed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WearKind {
    /// Reported by the family.
    Reported,
    /// Measured by a logger.
    Logged,
}

/// Hours of wear over a span.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearSpan {
    /// The entry.
    pub entry: EntryId,
    /// Source.
    pub kind: WearKind,
    /// The day on which it was recorded.
    pub recorded_on: Day,
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// Mean hours a day.
    pub hours_per_day: f64,
}
