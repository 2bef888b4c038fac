//! On what results rest: the day, how what was known on it is chosen, and the intervals the clinic planned.

use crate::PlannedIntervals;
use record::{Day, Entry, Timestamp};
use serde::{Serialize, Serializer};
use std::{borrow::Cow, sync::Arc};

/// Which entries count as known on the as-of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum KnownBy {
    /// Everything about the days up to it, whenever it was written: what is now known of that day.
    #[default]
    ClinicalDay,
    /// Of that only what had been written before an instant, the end of the as-of day where the clinic
    /// is: what could be printed on that day.
    DayOfWriting {
        /// The first instant that no longer counts.
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

    /// In words, after "as known on" a day.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ClinicalDay => "by clinical day",
            Self::DayOfWriting { .. } => "by the day of writing",
        }
    }

    /// The entries that had been written. Nothing is copied where all of them had.
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

/// On what results rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ResultsBasis {
    /// As of which day.
    pub as_of: Day,
    /// Which entries count as known on it.
    pub known_by: KnownBy,
    /// When the clinic planned to see a child again.
    pub plan: Arc<PlannedIntervals>,
}
