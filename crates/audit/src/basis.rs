//! What results are based on: the day, the rule for what was known on it, and the clinic's planned intervals.

use course::PlannedIntervals;
use record::{Day, Entry, Timestamp};
use serde::{Serialize, Serializer};
use std::{borrow::Cow, sync::Arc};

/// Which entries count as known on the as-of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum KnownBy {
    /// Every entry about a day up to it, whenever it was written: what is now known of that day.
    #[default]
    ClinicalDay,
    /// Of these only the entries written before an instant, the end of the as-of day in the clinic's time
    /// zone: what could have been printed on that day.
    DayOfWriting {
        /// The first instant that is excluded.
        before: Timestamp,
    },
}

impl KnownBy {
    /// A stable key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::ClinicalDay => "clinical-day",
            Self::DayOfWriting { .. } => "day-of-writing",
        }
    }

    /// In words, after "as known on" and a day.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ClinicalDay => "by clinical day",
            Self::DayOfWriting { .. } => "by the day of writing",
        }
    }

    /// The entries written by then. Nothing is copied if that is all of them.
    #[must_use]
    pub fn written(self, entries: &[Entry]) -> Cow<'_, [Entry]> {
        match self {
            Self::DayOfWriting { before } if entries.iter().any(|entry| entry.at >= before) => {
                entries.iter().filter(|entry| entry.at < before).cloned().collect()
            }
            _ => Cow::Borrowed(entries),
        }
    }
}

impl Serialize for KnownBy {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}

/// What results are based on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ResultsBasis {
    /// The as-of day.
    pub as_of: Day,
    /// Which entries count as known on it.
    pub known_by: KnownBy,
    /// When the clinic plans to see a child again.
    pub plan: Arc<PlannedIntervals>,
}
