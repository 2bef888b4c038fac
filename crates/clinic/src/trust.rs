//! Whether the records are those that were saved: the witness, damage, and what a person decided about them.

use crate::{ClinicRecords, RecordsOptions};
use archive::{
    ArchiveError, CacheKey, CacheValue, DecisionKind, RecomputeCost, RecordsDecision, RecordsMark,
    WitnessFinding, WitnessPlace,
};
use guidance::Protocol;
use record::Timestamp;
use std::{path::Path, sync::Arc};

/// How often was written since the records were opened.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct WriteCounts {
    /// Writes of any kind.
    pub writes: u64,
    /// Transactions in which they were written; writes at the same time share one.
    pub commits: u64,
    /// Writes that wait to be begun.
    pub waiting: u64,
}

impl ClinicRecords {
    /// How often was written since the records were opened.
    #[must_use]
    pub fn writes(&self) -> WriteCounts {
        let (commits, writes) = self.archive().commits_and_jobs();
        WriteCounts { writes, commits, waiting: self.archive().waiting() }
    }

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

    /// Opens records as [`ClinicRecords::open`] does. Records that were copied or moved to a folder or a computer
    /// where nothing is known of their witness get a new one and can be written. Whether they miss entries cannot be
    /// told then: [`ClinicRecords::place_to_confirm`] says so until a person confirms them.
    ///
    /// # Errors
    /// As [`ClinicRecords::open`], and when the witness cannot be written.
    pub fn open_here(
        dir: &Path,
        protocol: Arc<Protocol>,
        how: RecordsOptions,
        at: Timestamp,
    ) -> Result<Self, ArchiveError> {
        let records = Self::open(dir, Arc::clone(&protocol), how.clone())?;
        let Some(finding) = records.came_without_witness() else { return Ok(records) };
        let about = finding.sentence(&|at| at.to_string());
        let reason = "They were copied or moved here.".to_owned();
        records.accept(&RecordsDecision { kind: DecisionKind::NewPlace, by: None, at, reason, about })?;
        drop(records);
        Self::open(dir, protocol, how)
    }

    /// What was found where neither key nor log of the witness is: records that came from elsewhere. A key that is
    /// missing beside its log was taken away, and is no such case.
    fn came_without_witness(&self) -> Option<&WitnessFinding> {
        let finding = self.finding().filter(|finding| matches!(finding, WitnessFinding::NoKey(_)))?;
        let place = self.witness_place()?;
        (!place.log_file().exists()).then_some(finding)
    }

    /// When records were copied or moved here without their witness, and nobody has confirmed them since.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn place_to_confirm(&self) -> Result<Option<Timestamp>, ArchiveError> {
        self.once_for_the_log("new place", || {
            let decisions = self.archive().decisions()?;
            let last = decisions.iter().find(|made| made.kind != DecisionKind::Clock);
            Ok(last.filter(|made| made.kind == DecisionKind::NewPlace).map(|made| made.at))
        })
    }

    /// Saves that a person confirmed a clock that is earlier than the last entry, or records that were copied or
    /// moved here.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn confirm(&self, decision: RecordsDecision) -> Result<(), ArchiveError> {
        self.archive().confirm(decision)?;
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

    pub(crate) fn once_for_the_log<T: Clone + Send + Sync + 'static>(
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
