//! One writing process per folder, by a lock of the operating system that ends with the process.

use crate::error::{ArchiveError, of_io};
use std::{
    fs::{self, File, OpenOptions, TryLockError},
    path::{Path, PathBuf},
};

/// Held for as long as the records are open for writing.
#[derive(Debug)]
pub(crate) struct Lock {
    // The lock ends when the file is closed.
    _file: File,
    pid: PathBuf,
}

impl Lock {
    /// Takes the lock or says who has it.
    ///
    /// The number of the process is written to a file of its own, because on some systems a locked file
    /// cannot be read by others.
    pub(crate) fn take(dir: &Path) -> Result<Self, ArchiveError> {
        let path = dir.join("records.lock");
        let pid = dir.join("records.pid");
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&path)
            .map_err(|error| of_io(&error, dir))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(ArchiveError::InUse { dir: dir.into(), pid: read_pid(&pid) });
            }
            Err(TryLockError::Error(error)) => return Err(of_io(&error, dir)),
        }
        // Only a courtesy to whoever comes second, so a failure here is no reason to stop.
        let _ = fs::write(&pid, std::process::id().to_string());
        Ok(Self { _file: file, pid })
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.pid);
    }
}

fn read_pid(path: &Path) -> Option<u32> {
    fs::read_to_string(path).ok()?.trim().parse().ok()
}
