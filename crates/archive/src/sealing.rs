//! What the writing thread does about the witness: a seal before each commit, a line after it.

use crate::{
    error::ArchiveError,
    finding::Compared,
    health::Health,
    seal::{self, FORM, Seal, Sealer},
    witness::{LineKind, WitnessLog, WitnessPlace, begin_log},
};
use rusqlite::Connection;
use std::sync::{Arc, Mutex, PoisonError};

/// The state of sealing, owned by the writing thread.
pub(crate) struct Sealing(Mutex<(Sealer, WitnessLog)>, Arc<Health>);

impl Sealing {
    /// Begins where the records and the witness agree: with the first seal of the records, or behind the last one.
    /// A commit that the witness has not seen, because the program was stopped in between, gets its line.
    pub(crate) fn begin(
        conn: &Connection,
        place: &WitnessPlace,
        compared: Compared,
        health: &Arc<Health>,
    ) -> Result<Self, ArchiveError> {
        seal::watch_covered(conn)?;
        let begins = compared.lines.is_empty() && compared.seal.as_ref().is_none_or(|seal| seal.number == 1);
        if begins {
            begin_log(place)?;
        }
        let key = if compared.seal.is_none() { place.key_or_new()? } else { key_of(&compared)? };
        let last = match compared.seal {
            Some(last) if last.form == FORM => last,
            earlier => {
                let transaction = conn.unchecked_transaction()?;
                let number = earlier.as_ref().map_or(1, |last| last.number + 1);
                let new = seal::seal(&transaction, &key, number, earlier.as_ref())?;
                transaction.commit()?;
                new
            }
        };
        let mut log = WitnessLog::new(place, key);
        let kind = if begins { LineKind::Begun } else { LineKind::Saved };
        health.witness_is(log.add(kind, &last).err().map(|error| log.warning(&error)));
        Ok(Self(Mutex::new((Sealer { key, last }, log)), Arc::clone(health)))
    }

    /// Writes the seal of a transaction that is about to be committed; `None` if it changed nothing that is covered.
    pub(crate) fn before_commit(&self, conn: &Connection) -> Result<Option<Seal>, ArchiveError> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).0.before_commit(conn)
    }

    /// Adds the line of a commit. Where it cannot be written the entries are saved all the same, because a clinic
    /// must be able to go on when a disk is unplugged: everybody is warned until it can be written again.
    pub(crate) fn after_commit(&self, seal: Seal) {
        let mut state = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (sealer, log) = &mut *state;
        self.1.witness_is(log.add(LineKind::Saved, &seal).err().map(|error| log.warning(&error)));
        sealer.last = seal;
    }
}

fn key_of(compared: &Compared) -> Result<seal::Key, ArchiveError> {
    compared.key.ok_or_else(|| ArchiveError::Witness("the key of the witness is missing".into()))
}
