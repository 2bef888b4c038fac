//! What was noticed about the file and the witness since the records were opened.

use crate::error::ArchiveError;
use std::sync::{Mutex, PoisonError};

/// Shared by every handle and the writing thread.
#[derive(Debug, Default)]
pub(crate) struct Health {
    damage: Mutex<Option<String>>,
    witness: Mutex<Option<String>>,
}

impl Health {
    /// Notes damage, so that nothing more is written: a write could spread it, and its answer would say that all is
    /// well. Only the first is remembered.
    pub(crate) fn note(&self, error: &ArchiveError) {
        let what = match error {
            ArchiveError::Damaged(what) => what.clone(),
            ArchiveError::Unreadable { entry, why } => format!("entry {entry} cannot be read: {why}"),
            _ => return,
        };
        self.damage.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert(what);
    }

    pub(crate) fn damage(&self) -> Option<String> {
        self.damage.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Notes why the witness cannot be written, or that it can.
    pub(crate) fn witness_is(&self, warning: Option<String>) {
        *self.witness.lock().unwrap_or_else(PoisonError::into_inner) = warning;
    }

    pub(crate) fn witness_warning(&self) -> Option<String> {
        self.witness.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}
