//! The entries that were written together with the one that lists them.

use super::Body;
use crate::{ChildId, EntryId, field::field};

group! {
    /// Entries of one log that were written in one step, so that they are read, and taken back, as one.
    #[derive(Default, Eq)]
    WrittenTogether;

    /// Withdrawals, corrections and entries recorded again, in the order written. Empty where nothing was
    /// written in this log.
    optional entries: Vec<EntryId> => field("Entries");
    /// The entries of the other record from which the first of `entries` were recorded again, one for one.
    optional origins: Vec<EntryId> => field("Recorded before as");
    /// The child of the other record, if two records are concerned.
    optional other: Option<ChildId> => field("The other child");
    /// The entry of the other record that lists what was written there.
    optional counterpart: Option<EntryId> => field("Entry in the other record");
}

impl WrittenTogether {
    /// The entry of the other record from which an entry was recorded again; `None` for any other entry.
    #[must_use]
    pub fn origin_of(&self, entry: EntryId) -> Option<EntryId> {
        self.entries.iter().zip(&self.origins).find(|(own, _)| **own == entry).map(|(_, origin)| *origin)
    }
}

impl Body {
    /// The entries written together with this one, if it lists them.
    #[must_use]
    pub const fn written_together(&self) -> Option<&WrittenTogether> {
        match self {
            Self::VisitAmended(body) => Some(&body.together),
            Self::RecordsJoined(body) => Some(&body.together),
            _ => None,
        }
    }
}
