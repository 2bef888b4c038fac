//! Folders for copies that are only read, beside the records and with the same protection. One process at a time makes
//! or tries backups of a clinic; what an earlier one left when it was stopped is deleted by the next.

use super::{BackupRefused, at};
use clinic::private_options;
use std::{
    fs::{self, File, TryLockError},
    path::Path,
};
use tempfile::TempDir;

const PREFIX: &str = "backup-work-";
const LOCK: &str = "backups.lock";

/// The only process that makes or tries backups of a clinic, for as long as this is there.
pub(super) struct OnlyOne {
    lock: File,
}

impl OnlyOne {
    pub(super) fn of(dir: &Path) -> Result<Self, BackupRefused> {
        let path = dir.join(LOCK);
        let file =
            private_options().create(true).truncate(false).write(true).open(&path).map_err(at(&path))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(BackupRefused(
                    "A backup or a drill is running already. Wait until it is done.".to_owned(),
                ));
            }
            Err(TryLockError::Error(error)) => return Err(at(&path)(error)),
        }
        remove_left(dir);
        Ok(Self { lock: file })
    }

    /// A folder that only the owner can read; deleted when it is dropped.
    pub(super) fn folder(&self, dir: &Path) -> Result<TempDir, BackupRefused> {
        tempfile::Builder::new().prefix(PREFIX).tempdir_in(dir).map_err(at(dir))
    }
}

impl Drop for OnlyOne {
    fn drop(&mut self) {
        // Closing alone would not do: a process that is being started has the file open for a moment too.
        let _ = self.lock.unlock();
    }
}

fn remove_left(dir: &Path) {
    let Ok(listed) = fs::read_dir(dir) else { return };
    for found in listed.flatten() {
        if found.file_name().to_string_lossy().starts_with(PREFIX)
            && let Err(error) = fs::remove_dir_all(found.path())
        {
            tracing::warn!("{} cannot be deleted: {error}", found.path().display());
        }
    }
}
