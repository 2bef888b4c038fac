//! The filter of a worklist, and the urgencies that occur.

use crate::{error::ArchiveError, summary::WorkKind};
use rusqlite::Connection;

/// The filter of a worklist. The default lets every item through.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct WorkFilter {
    /// Only this kind.
    pub kind: Option<WorkKind>,
    /// Only of this rule.
    pub rule: Option<String>,
    /// Only items with an urgency of at most this number; 0 is the most urgent.
    pub min_urgency: Option<u8>,
    /// Only children in the phase of this key.
    pub phase: Option<String>,
}

/// The urgencies that occur, found by a skip scan of the index.
pub(crate) fn urgencies(conn: &Connection, kind: WorkKind, most: u8) -> Result<Vec<i64>, ArchiveError> {
    let mut next = conn.prepare_cached("SELECT min(urgency) FROM work WHERE kind = ?1 AND urgency > ?2")?;
    let mut found = Vec::new();
    let mut last = -1_i64;
    while let Some(urgency) = next.query_row([kind.code(), last], |row| row.get::<_, Option<i64>>(0))? {
        if urgency > i64::from(most) {
            break;
        }
        found.push(urgency);
        last = urgency;
    }
    Ok(found)
}
