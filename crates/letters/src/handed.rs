//! When each document was last handed to the family.

use record::{Body, CorrectedLog, Day, DocumentHanded, EntryId, Fate, HandedDocument};
use std::collections::HashMap;

/// A document that was handed over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastHanded {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// What was recorded.
    pub handed: DocumentHanded,
}

/// Of each document the last time that it was handed over, as it holds after corrections and withdrawals.
#[must_use]
pub fn last_handed(log: &CorrectedLog<'_>) -> HashMap<HandedDocument, LastHanded> {
    let mut last = HashMap::new();
    for line in &log.lines {
        if let (Body::DocumentHanded(handed), Fate::Unchanged | Fate::Corrected { .. }) =
            (line.body, line.fate)
        {
            let seen = LastHanded { entry: line.entry.id, on: line.on, handed: handed.clone() };
            last.insert(handed.document, seen);
        }
    }
    last
}
