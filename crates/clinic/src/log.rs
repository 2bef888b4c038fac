//! The log of entries: read, append, erase, verify.

use crate::ClinicRecords;
use archive::{ArchiveError, Receipt, VerifyReport};
use record::{ChildId, Entry, EntryId, Timestamp, UserId};
use std::path::Path;

impl ClinicRecords {
    /// Appends entries in one durable transaction: all of them or none. They are on disk when it returns.
    ///
    /// # Errors
    /// As [`archive::Archive::append`]; nothing is then written.
    pub fn append(&self, entries: Vec<Entry>) -> Result<Receipt, ArchiveError> {
        self.archive().append(entries)
    }

    /// Appends entries that were planned from the records as of generation `planned_at`: all or none.
    ///
    /// # Errors
    /// [`ArchiveError::ChangedMeanwhile`] where one of their children was written about since; otherwise as
    /// [`archive::Archive::append_planned`]. Nothing is then written.
    pub fn append_planned(&self, entries: Vec<Entry>, planned_at: u64) -> Result<Receipt, ArchiveError> {
        self.archive().append_planned(entries, planned_at)
    }

    /// The entries of a child in the order written, corrected and withdrawn ones included; empty for an
    /// unknown child.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn entries(&self, child: ChildId) -> Result<Vec<Entry>, ArchiveError> {
        self.archive().entries(child)
    }

    /// One entry; `None` for an unknown id.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn entry(&self, id: EntryId) -> Result<Option<Entry>, ArchiveError> {
        self.archive().entry(id)
    }

    /// Calls `each` with every child and its entries, in the order in which the children were first written.
    /// Only one log is in memory at a time.
    ///
    /// # Errors
    /// When the records cannot be read; `each` has been called for the children before the fault.
    pub fn for_each_child(&self, each: &mut dyn FnMut(ChildId, Vec<Entry>)) -> Result<(), ArchiveError> {
        self.archive().for_each_child(each)
    }

    /// The number of entries, erased ones included.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn entries_count(&self) -> Result<usize, ArchiveError> {
        self.archive().entries_count()
    }

    /// The generation of the log. It rises with every write, by this process or another; a value computed
    /// from the whole log is valid for the generation that was read before it was computed.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn generation(&self) -> Result<u64, ArchiveError> {
        self.archive().generation()
    }

    /// Erases the body of an entry. Its id, its hash and the reason remain.
    ///
    /// # Errors
    /// As [`archive::Archive::erase`].
    pub fn erase(&self, entry: EntryId, reason: &str, by: UserId, at: Timestamp) -> Result<(), ArchiveError> {
        self.archive().erase(entry, reason, by, at)
    }

    /// The number of entries of a child that were erased.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn erased_count(&self, child: ChildId) -> Result<usize, ArchiveError> {
        Ok(self.archive().erasures(child)?.len())
    }

    /// Copies the present records to one file, also while they are in use.
    ///
    /// # Errors
    /// As [`archive::Archive::back_up`].
    pub fn back_up(&self, to: &Path) -> Result<(), ArchiveError> {
        self.archive().back_up(to)
    }

    /// Copies the present records to one file that is only shown, and is not taken for the records themselves.
    ///
    /// # Errors
    /// As [`archive::Archive::copy_to_show`].
    pub fn copy_to_show(&self, to: &Path) -> Result<(), ArchiveError> {
        self.archive().copy_to_show(to)
    }

    /// Checks the hash chain of every site and the database file.
    ///
    /// # Errors
    /// When the check could not be run. What it finds is in the report.
    pub fn verify(&self) -> Result<VerifyReport, ArchiveError> {
        self.archive().verify()
    }
}
