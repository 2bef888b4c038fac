//! What can be wrong with a backup, in words for the person who wants it.

use std::{
    io::{self, ErrorKind},
    path::{Path, PathBuf},
};

/// Why a backup could not be written, read or listed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BackupError {
    /// The disk of the backups has no room.
    #[error("The disk of {} is full. The earlier backups there are as they were. Make room, or choose another place.", .0.display())]
    Full(PathBuf),
    /// The file system takes no file as large.
    #[error("The disk of {} takes no file as large as this backup, as a stick in the FAT format takes none above 4 GB. The earlier backups there are as they were. Format it anew, or choose another place.", .0.display())]
    TooLarge(PathBuf),
    /// The folder is not there, as a disk that is unplugged.
    #[error("{} is not there. If it is a disk or a stick, connect it.", .0.display())]
    Away(PathBuf),
    /// The folder or the file may not be written or read.
    #[error("{} may not be used by this program. Ask for permission to write there, or choose another place.", .0.display())]
    NotAllowed(PathBuf),
    /// Any other error of the disk.
    #[error("{} cannot be used: {why}.", .path.display())]
    Disk {
        /// The file or folder.
        path: PathBuf,
        /// The message of the operating system.
        why: String,
    },
    /// No backup of this program.
    #[error("{} is not a backup of this program, or its beginning is damaged.", .0.display())]
    NotBackup(PathBuf),
    /// Written by a later program.
    #[error("{} was written by a newer version of the program. Update the program.", .0.display())]
    Newer(PathBuf),
    /// The key does not open it.
    #[error("{} was encrypted with another key: it is a backup of another clinic, or from before the key was changed.", .0.display())]
    WrongKey(PathBuf),
    /// Something in it is not as it was written.
    #[error("{} is damaged: {why}.", .path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What was found.
        why: String,
    },
    /// A file that is to be backed up changed while it was read.
    #[error("{} was changed while the backup was written. Try again.", .0.display())]
    Changed(PathBuf),
    /// A key or a cipher failed.
    #[error("{0}")]
    Key(#[from] safekeeping::SafekeepingError),
}

/// An error of the disk, with its place.
pub(crate) fn at(path: &Path) -> impl Fn(io::Error) -> BackupError {
    let path = path.to_owned();
    move |error| match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            BackupError::Full(path.parent().unwrap_or(&path).to_owned())
        }
        ErrorKind::FileTooLarge => BackupError::TooLarge(path.parent().unwrap_or(&path).to_owned()),
        ErrorKind::NotFound | ErrorKind::NotADirectory => BackupError::Away(path.clone()),
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => BackupError::NotAllowed(path.clone()),
        _ => BackupError::Disk { path: path.clone(), why: error.to_string() },
    }
}

pub(crate) fn damaged(path: &Path, why: impl Into<String>) -> BackupError {
    BackupError::Damaged { path: path.to_owned(), why: why.into() }
}
