//! What is already known, as the caller passes it in, and the stamp every new entry bears.

use record::{Body, ChildId, Day, Entry, EntryId, SiteId, Timestamp, UserId};

/// Who writes, when and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    /// When the entries are written.
    pub at: Timestamp,
    /// The clinic's day at that instant: the clinic's midnight is not that of UTC.
    pub today: Day,
    /// Who writes them.
    pub by: UserId,
    /// Where.
    pub site: SiteId,
}

/// A child already in the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownChild {
    /// Id.
    pub id: ChildId,
    /// Family name.
    pub family_name: String,
    /// Given name.
    pub given_name: String,
    /// Day of birth.
    pub born: Option<Day>,
    /// Hospital numbers.
    pub numbers: Vec<String>,
}

/// An entry as it holds: with its corrections.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldingEntry {
    /// The entry.
    pub id: EntryId,
    /// Its clinical day.
    pub on: Day,
    /// What it says.
    pub body: Body,
}

/// The record as far as an import must know it.
pub trait Known {
    /// Children who bear or have borne this hospital number.
    fn by_number(&self, number: &str) -> Vec<ChildId>;
    /// Children of a like name, or born on the same day with a like name. May return too many: the
    /// import compares for itself.
    fn alike(&self, family: &str, given: &str, born: Option<Day>) -> Vec<KnownChild>;
    /// Every entry of a child as logged, corrected and withdrawn ones among them.
    fn entries(&self, child: ChildId) -> Vec<Entry>;
    /// The entries of a child as they hold, without corrections, withdrawals and what was withdrawn.
    fn holding(&self, child: ChildId) -> Vec<HoldingEntry>;
}

/// An empty record.
#[derive(Debug, Clone, Copy, Default)]
pub struct Nothing;

impl Known for Nothing {
    fn by_number(&self, _: &str) -> Vec<ChildId> {
        Vec::new()
    }
    fn alike(&self, _: &str, _: &str, _: Option<Day>) -> Vec<KnownChild> {
        Vec::new()
    }
    fn entries(&self, _: ChildId) -> Vec<Entry> {
        Vec::new()
    }
    fn holding(&self, _: ChildId) -> Vec<HoldingEntry> {
        Vec::new()
    }
}
