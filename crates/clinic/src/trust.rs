//! Whether the records are those that were saved: the witness, damage, and what a person decided about them.

use crate::ClinicRecords;
use archive::{
    ArchiveError, CacheKey, CacheValue, RecomputeCost, RecordsDecision, RecordsMark, WitnessFinding,
    WitnessPlace,
};
use record::Timestamp;

impl ClinicRecords {
    /// How the records differ from what their witness knows; they are then open for reading only.
    #[must_use]
    pub fn finding(&self) -> Option<&WitnessFinding> {
        self.archive().finding()
    }

    /// What is damaged, as far as it was noticed since opening; nothing more is then written.
    #[must_use]
    pub fn damage(&self) -> Option<String> {
        self.archive().damage()
    }

    /// Notes damage that a check found.
    pub fn note_damage(&self, what: &str) {
        self.archive().note_damage(what);
    }

    /// Why the witness cannot be written at present. Entries are saved all the same.
    #[must_use]
    pub fn witness_warning(&self) -> Option<String> {
        self.archive().witness_warning()
    }

    /// Where the witness is; `None` for records without one.
    #[must_use]
    pub fn witness_place(&self) -> Option<&WitnessPlace> {
        self.archive().witness_place()
    }

    /// Accepts records that are not those the witness knows. Open them again afterwards.
    ///
    /// # Errors
    /// As [`archive::Archive::accept`].
    pub fn accept(&self, decision: &RecordsDecision) -> Result<(), ArchiveError> {
        self.archive().accept(decision)
    }

    /// Saves that a person confirmed a clock that is earlier than the last entry.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn confirm_clock(&self, decision: RecordsDecision) -> Result<(), ArchiveError> {
        self.archive().confirm_clock(decision)?;
        self.count_decision();
        Ok(())
    }

    /// What people decided about the records as a whole, the latest first.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn decisions(&self) -> Result<Vec<RecordsDecision>, ArchiveError> {
        self.archive().decisions()
    }

    /// When the latest of the last entries was written. A clock that shows an earlier time has gone back.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn last_written_at(&self) -> Result<Option<Timestamp>, ArchiveError> {
        self.once_for_the_log("last written", || self.archive().last_written_at())
    }

    /// By which the present state of the log is recognised later.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn mark(&self) -> Result<RecordsMark, ArchiveError> {
        self.once_for_the_log("mark", || self.archive().mark())
    }

    fn once_for_the_log<T: Clone + Send + Sync + 'static>(
        &self,
        what: &'static str,
        read: impl FnOnce() -> Result<T, ArchiveError>,
    ) -> Result<T, ArchiveError> {
        let key = CacheKey::clinic(what).with(self.decisions_made().to_string());
        let generation = self.archive().generation()?;
        let found = self.cache().once(&key, generation, |_| {
            Ok::<_, ArchiveError>(CacheValue { value: read()?, bytes: 0, cost: RecomputeCost::Quick })
        })?;
        Ok((*found).clone())
    }
}
