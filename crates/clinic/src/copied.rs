//! Copies of the records: their state, how they compare, and making records of one.

use crate::{ClinicRecords, RecordsOptions, records::options};
use archive::{
    Archive, ArchiveError, CopyReport, Erasure, RecordsState, RestoreOrder, RestoredRecords,
    TakenBackUpgrade, WitnessHead,
};
use guidance::Protocol;
use record::Timestamp;
use std::{path::Path, sync::Arc};

impl ClinicRecords {
    /// What is known of the log at this moment.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn state(&self) -> Result<RecordsState, ArchiveError> {
        self.archive().state()
    }

    /// The head of the witness as it is in the records; `None` for records without one.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn witness_head(&self) -> Result<Option<WitnessHead>, ArchiveError> {
        self.archive().witness_head()
    }

    /// When the first entry was written; `None` before.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn first_written_at(&self) -> Result<Option<Timestamp>, ArchiveError> {
        self.once_for_the_log("first written", || self.archive().first_written_at())
    }

    /// Every erasure, in the order in which it was made.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn all_erasures(&self) -> Result<Vec<Erasure>, ArchiveError> {
        self.archive().all_erasures()
    }

    /// Opens a copy of these records for reading, under the same protocol. One that an earlier version of the program
    /// made is brought up to date, in its folder.
    ///
    /// # Errors
    /// As [`Archive::open_copy`].
    pub fn open_copy(&self, dir: &Path) -> Result<Self, ArchiveError> {
        let protocol = self.protocol();
        let how = RecordsOptions { key: self.key().cloned(), ..RecordsOptions::default() };
        Ok(Self::of(Archive::open_copy(dir, options(&protocol, how))?, protocol))
    }

    /// The same for a copy that was just made: nothing in its folder is changed.
    ///
    /// # Errors
    /// As [`Archive::open_for_reading`].
    pub fn open_copy_for_reading(&self, dir: &Path) -> Result<Self, ArchiveError> {
        Self::open_for_reading(dir, self.protocol(), self.key().cloned())
    }

    /// Compares a copy with these records, up to the moment of the copy.
    ///
    /// # Errors
    /// As [`Archive::compare_copy`].
    pub fn compare_copy(&self, copy: &Self) -> Result<CopyReport, ArchiveError> {
        self.archive().compare_copy(copy.archive())
    }

    /// Refuses a folder whose records another process has open.
    ///
    /// # Errors
    /// [`ArchiveError::InUse`].
    pub fn refuse_if_in_use(dir: &Path) -> Result<(), ArchiveError> {
        archive::RecordsLock::take(dir).map(drop)
    }
}

/// Makes records of the copy in a folder, as [`archive::make_restored`] does.
///
/// # Errors
/// As there.
pub fn make_restored(
    dir: &Path,
    protocol: &Arc<Protocol>,
    how: RecordsOptions,
    order: &RestoreOrder,
) -> Result<RestoredRecords, ArchiveError> {
    archive::make_restored(dir, &options(protocol, how), order)
}

/// The last step before restored records take their place, as [`archive::admit_restored`] does.
///
/// # Errors
/// As there.
pub fn admit_restored(dir: &Path, protocol: &Arc<Protocol>, how: RecordsOptions) -> Result<(), ArchiveError> {
    archive::admit_restored(dir, &options(protocol, how))
}

/// Puts back the records as they were before an upgrade, as [`archive::take_back_upgrade`] does.
///
/// # Errors
/// As there.
pub fn take_back_upgrade(
    dir: &Path,
    protocol: &Arc<Protocol>,
    how: RecordsOptions,
    at: Timestamp,
) -> Result<TakenBackUpgrade, ArchiveError> {
    archive::take_back_upgrade(dir, &options(protocol, how), at)
}
