//! When each document was last handed over, and which were handed over with photographs.

use record::{Body, CorrectedLog, Day, DocumentHanded, EntryId, HandedDocument};
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

/// Every document that was handed over, as it holds after corrections and withdrawals.
fn handed(log: &CorrectedLog<'_>) -> impl Iterator<Item = LastHanded> {
    log.lines.iter().filter(|line| line.fate.holds()).filter_map(|line| match line.body {
        Body::DocumentHanded(handed) => {
            Some(LastHanded { entry: line.entry.id, on: line.on, handed: handed.clone() })
        }
        _ => None,
    })
}

/// Of each document the last time that it was handed over, as it holds after corrections and withdrawals.
#[must_use]
pub fn last_handed(log: &CorrectedLog<'_>) -> HashMap<HandedDocument, LastHanded> {
    handed(log).map(|one| (one.handed.document, one)).collect()
}

/// Every letter that was handed over with photographs, in the order of the log.
#[must_use]
pub fn handed_with_photographs(log: &CorrectedLog<'_>) -> Vec<LastHanded> {
    handed(log).filter(|one| !one.handed.photographs.is_empty()).collect()
}
