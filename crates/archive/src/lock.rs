//! One writing process per folder, by a lock of the operating system that ends with the process.

use crate::{
    error::{ArchiveError, of_io},
    private_files::{create_private, private_options},
};
use std::{
    fs::{self, File, TryLockError},
    io::Write as _,
    path::{Path, PathBuf},
    time::Duration,
};

const TRIES: u32 = 10;
const BETWEEN_TRIES: Duration = Duration::from_millis(20);

/// The lock of a folder of records, held while they are open for writing, or while something is done to the files as
/// a whole. It ends when it is dropped, and with the process.
#[derive(Debug)]
pub struct RecordsLock {
    file: File,
    pid: PathBuf,
}

impl RecordsLock {
    /// Takes the lock, or returns which process has it.
    ///
    /// The process id is written to a separate file, because on some systems other processes cannot read a
    /// locked file.
    ///
    /// # Errors
    /// [`ArchiveError::InUse`] while another process has it, or this one; otherwise when the folder cannot be used.
    pub fn take(dir: &Path) -> Result<Self, ArchiveError> {
        let path = dir.join("records.lock");
        let pid = dir.join("records.pid");
        let file = private_options()
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
        let _ = create_private(&pid)
            .and_then(|mut file| file.write_all(std::process::id().to_string().as_bytes()));
        Ok(Self { file, pid })
    }
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

impl Drop for RecordsLock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.pid);
        // Closing alone would not do: a process that is being started has the file open for a moment too.
        let _ = self.file.unlock();
    }
}

fn read_pid(path: &Path) -> Option<u32> {
    fs::read_to_string(path).ok()?.trim().parse().ok()
}
