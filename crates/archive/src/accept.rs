//! Goes on with records that are not those the witness knows, because a person decided so.

use crate::{
    archive::Archive,
    decisions::{self, RecordsDecision},
    error::ArchiveError,
    finding::Testimony,
    schema,
    seal::{self, Seal},
    witness::{self, LineKind, WitnessLog},
};

impl Archive {
    /// Accepts the records as they are. The decision is saved with them and stands in the witness, which goes on
    /// from here; a log of the witness that was changed is put aside beside it. These handles stay open for reading
    /// only: open the records again.
    ///
    /// # Errors
    /// [`ArchiveError::NothingToAccept`] without a finding, [`ArchiveError::ReadingOnly`] where the records were not
    /// opened to be written, [`ArchiveError::NoReason`] without a reason; otherwise when the disk fails, or the
    /// witness cannot be written.
    pub fn accept(&self, decision: &RecordsDecision) -> Result<(), ArchiveError> {
        if self.finding().is_none() {
            return Err(ArchiveError::NothingToAccept);
        }
        let place = self.witness_place().filter(|_| self.is_locked()).ok_or(ArchiveError::ReadingOnly)?;
        let conn = schema::open_writer(self.file())?;
        let key = place.key_or_new()?;
        let compared = Testimony::read(place)?.compare(&conn, place)?;
        let witnessed = compared.lines.iter().map(|line| line.seal.number).max().unwrap_or(0);
        let here = Seal::read(&conn)?.map_or(0, |seal| seal.number);
        let number = witnessed.max(here) + 1;
        let transaction = conn.unchecked_transaction()?;
        decisions::put(&transaction, decision)?;
        let new = seal::seal(&transaction, &key, number, None)?;
        // The witness first: if it fails nothing is decided, and if the commit fails the finding remains.
        witness::begin_log(place)?;
        if compared.log_is_changed {
            witness::put_aside(place, number)?;
        }
        let mut log = WitnessLog::new(place, key);
        log.add(LineKind::Accepted, &new).map_err(|error| {
            ArchiveError::Witness(format!("the witness cannot be written: {}", log.warning(&error)))
        })?;
        Ok(transaction.commit()?)
    }
}
