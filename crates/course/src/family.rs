//! The family: brothers and sisters in the clinic, attempts to contact it, and hours of wear that it reports.

use record::{BirthOrder, ChildId, ContactWay, Day, EntryId, SiblingRelation};

/// A link to the record of a brother, sister or twin. It holds only while the other record links back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SiblingLink {
    /// The entry.
    pub entry: EntryId,
    /// The other child.
    pub other: ChildId,
    /// How they are related.
    pub relation: SiblingRelation,
    /// The birth order of this child, of twins.
    pub birth_order: Option<BirthOrder>,
}

/// An attempt to contact the family.
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
