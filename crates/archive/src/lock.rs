//! One writing process per folder, by a lock of the operating system that ends with the process.

use crate::error::{ArchiveError, of_io};
use std::{
    fs::{self, File, OpenOptions, TryLockError},
    path::{Path, PathBuf},
    time::Duration,
};

const TRIES: u32 = 10;
const BETWEEN_TRIES: Duration = Duration::from_millis(20);

/// The lock, held while the records are open for writing.
#[derive(Debug)]
pub(crate) struct Lock {
    // The lock ends when the file is closed.
    _file: File,
    pid: PathBuf,
}

impl Lock {
    /// Takes the lock, or returns which process has it.
    ///
    /// The process id is written to a separate file, because on some systems other processes cannot read a
    /// locked file.
    pub(crate) fn take(dir: &Path) -> Result<Self, ArchiveError> {
        let path = dir.join("records.lock");
        let pid = dir.join("records.pid");
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&path)
            .map_err(|error| of_io(&error, dir))?;
        match patiently(&file) {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(ArchiveError::InUse { dir: dir.into(), pid: read_pid(&pid) });
            }
            Err(TryLockError::Error(error)) => return Err(of_io(&error, dir)),
        }
        // It only improves the message of a second process, so a failure is ignored.
        let _ = fs::write(&pid, std::process::id().to_string());
        Ok(Self { _file: file, pid })
    }
}

/// Refuses a folder whose records another process has open for writing.
///
/// # Errors
/// [`ArchiveError::InUse`], or when the folder cannot be written.
pub fn refuse_if_in_use(dir: &Path) -> Result<(), ArchiveError> {
    Lock::take(dir).map(drop)
}

/// Tries for a moment: a process that this one has just ended, or has just started, may have the lock still.
fn patiently(file: &File) -> Result<(), TryLockError> {
    for _ in 0..TRIES {
        match file.try_lock() {
            Err(TryLockError::WouldBlock) => std::thread::sleep(BETWEEN_TRIES),
            other => return other,
        }
    }
    file.try_lock()
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.pid);
    }
}

fn read_pid(path: &Path) -> Option<u32> {
    fs::read_to_string(path).ok()?.trim().parse().ok()
}
