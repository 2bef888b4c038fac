//! Copies the records while they are in use.

use crate::{archive::Archive, error::ArchiveError, whole_copy::copy_whole};
use std::path::Path;

impl Archive {
    /// Copies the present records to one file, which can be opened like the original, with the same key where they
    /// are encrypted. It is written under a temporary name, checked, and then renamed.
    ///
    /// # Errors
    /// [`ArchiveError::Exists`] when there is such a file; otherwise when the disk fails. No file of that name
    /// is then left behind.
    pub fn back_up(&self, to: &Path) -> Result<(), ArchiveError> {
        if to.exists() {
            return Err(ArchiveError::Exists(to.into()));
        }
        self.read(|from| copy_whole(from, &self.file().at(to)))
    }

    /// Copies the present records to one file that is only shown: without the seal, so that it is not taken for the
    /// records themselves.
    ///
    /// # Errors
    /// As [`Archive::back_up`].
    pub fn copy_to_show(&self, to: &Path) -> Result<(), ArchiveError> {
        self.back_up(to)?;
        let conn = self.file().at(to).connect_to_write()?;
        Ok(conn.execute_batch("DELETE FROM seals")?)
    }
}
