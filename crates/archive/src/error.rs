//! The errors of the records, with messages for the clinician who reads them.

use record::{ChildId, EntryId, ImportId};
use rusqlite::ErrorCode;
use std::path::{Path, PathBuf};

/// An error of the records. Nothing was written when one of these is returned, except [`ArchiveError::Unsure`] and
/// [`ArchiveError::WordsRemain`].
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ArchiveError {
    /// Another process has opened the same records for writing.
    #[error("the records in {} are already open in another copy of the program{}: use that one, or close it first", .dir.display(), pid_words(*.pid))]
    InUse {
        /// The folder.
        dir: PathBuf,
        /// The id of the other process, if it could be read.
        pid: Option<u32>,
    },
    /// The file is a records file, but it is damaged.
    #[error(
        "the records file is damaged ({0}); nothing was changed. Stop using it, keep a copy of it, and restore the latest backup"
    )]
    Damaged(String),
    /// The file is not a records file.
    #[error("{} is not a records file of this program, though it has the name of one; nothing was changed. If it once was, it is damaged: restore the latest backup. If it was encrypted, key-slots.json is missing beside it: put that back. Otherwise move the file away, or choose another folder", .0.display())]
    NotRecords(PathBuf),
    /// The file is encrypted with another key.
    #[error("{} is encrypted with another key than that of this folder: nothing was opened or changed. The file, or key-slots.json beside it, is of another clinic or of another time: put both back as they belong together", .0.display())]
    OtherKey(PathBuf),
    /// The file is not encrypted, and a key was given.
    #[error("{} is not encrypted, although this folder has key slots: nothing was opened or changed. An earlier file may have been put in its place: put the right one back, or restore the latest backup", .0.display())]
    NotEncrypted(PathBuf),
    /// This build has no cipher.
    #[error(
        "these records are encrypted, and this build of the program has no encryption: nothing was opened or changed. Use the program as it is shipped, or build it with the feature “encryption”"
    )]
    NoCipher,
    /// The file is empty, which no program leaves it on purpose.
    #[error("{} is empty, which the records never are: nothing was opened or changed. If this clinic had records, restore the latest backup; if it never had any, delete this empty file and start again", .0.display())]
    EmptyFile(PathBuf),
    /// The main file is gone and its write-ahead log is there.
    #[error("{} is gone, but the log that belongs to it is there: nothing was opened or changed. Put the file back, or restore the latest backup", .0.display())]
    NoMainFile(PathBuf),
    /// The witness knows of entries, and there is no records file at all.
    #[error("there are no records in {}, but {entries} entries were saved there, as the witness shows: nothing was made anew. Put the folder back, or restore the latest backup", .dir.display())]
    RecordsGone {
        /// The folder.
        dir: PathBuf,
        /// Entries that the witness knows of.
        entries: usize,
    },
    /// The records are not those that the witness knows, or the witness cannot be used; one sentence.
    #[error("{0}")]
    Witness(String),
    /// The records have a witness, and were opened without naming its place.
    #[error("these records have a witness and were opened without it: nothing was changed")]
    WitnessNotNamed,
    /// There is nothing about which a decision is needed.
    #[error("the records are those that the witness knows: there is nothing to accept")]
    NothingToAccept,
    /// There is no copy from before an upgrade to the present layout.
    #[error("there is no copy from before the last upgrade in {}: it was replaced by a later one, or deleted because something was erased", .0.display())]
    NoUpgrade(PathBuf),
    /// Something was saved since an upgrade; the number of entries, 0 where only something else was.
    #[error("{} nothing was changed", since_upgrade(*.0))]
    SavedSinceUpgrade(usize),
    /// There are no records.
    #[error("there are no records in {}", .0.display())]
    NoRecords(PathBuf),
    /// The disk is full.
    #[error("the disk is full: nothing was written. Make room on it and try again")]
    Full,
    /// The disk failed.
    #[error("the disk could not be written ({0}): nothing was written. It may be full or failing")]
    Disk(String),
    /// The disk failed when it was to confirm what was written.
    #[error(
        "the disk failed while this was being saved, and whether it was saved cannot be told ({0}): close the program, start it again, and look before you enter it once more"
    )]
    Unsure(String),
    /// The folder or the file may not be written.
    #[error("{} cannot be written to: nothing was written. Ask for permission to write there, or choose another folder", .0.display())]
    ReadOnly(PathBuf),
    /// The folder cannot be used.
    #[error("the folder {} cannot be used: {why}", .dir.display())]
    Folder {
        /// The folder.
        dir: PathBuf,
        /// The message of the operating system.
        why: String,
    },
    /// A later program wrote the file.
    #[error(
        "these records were written by a newer version of the program (layout {found}; this program knows up to {known}); nothing was changed. Update the program"
    )]
    Newer {
        /// The layout of the file.
        found: i64,
        /// The latest layout that this program knows.
        known: i64,
    },
    /// An earlier program wrote the file, and it is opened for reading only.
    #[error(
        "these records were written by an earlier version of the program; start the program once so that it can bring them up to date"
    )]
    Older,
    /// An entry of that id exists already.
    #[error("entry {0} is already in the records: nothing was written")]
    Duplicate(EntryId),
    /// There is no entry of that id.
    #[error("there is no entry {0} in the records")]
    NoEntry(EntryId),
    /// The entry was erased already.
    #[error("entry {0} has been erased already")]
    AlreadyErased(EntryId),
    /// What was to be erased is erased, and the files may still have words of it, with the reason.
    #[error(
        "it is erased, but words of it may still be in the files of the records ({0}): close the program and start it again, which removes them"
    )]
    WordsRemain(String),
    /// A reason is needed for an erasure, and to undo an import.
    #[error("a reason is needed, which stays in the records: nothing was changed")]
    NoReason,
    /// No request to erase with that number.
    #[error("there is no request {0} to erase")]
    NoRequest(i64),
    /// The request was carried out or refused before.
    #[error("request {0} to erase has been decided already: nothing was changed")]
    Decided(i64),
    /// Whoever asks for an erasure cannot carry it out.
    #[error("an erasure is asked for by one lead and carried out by another: nothing was erased")]
    SamePerson,
    /// No import of that id.
    #[error("there is no import {0} in the records")]
    NoImport(ImportId),
    /// Undone before.
    #[error("import {0} has been undone already: nothing was written")]
    AlreadyUndone(ImportId),
    /// Something was written about a child between looking at its records and writing.
    #[error("something was recorded about the same children meanwhile: nothing was written. Look again")]
    ChangedMeanwhile,
    /// An entry that cannot be read back.
    #[error(
        "entry {entry} cannot be read: {why}. Run the check of the records, and restore the latest backup if it finds damage"
    )]
    Unreadable {
        /// The entry.
        entry: EntryId,
        /// Why.
        why: String,
    },
    /// The caller could not compute a summary.
    #[error("the summary of child {0} could not be computed: nothing was written")]
    Summary(ChildId),
    /// The records are opened for reading only.
    #[error("the records are open for reading only: nothing was written")]
    ReadingOnly,
    /// An account of that name exists.
    #[error("there is already an account with the name “{0}”")]
    NameTaken(String),
    /// There is no such account.
    #[error("there is no such account")]
    NoAccount,
    /// The change would leave nobody who can sign in as a lead.
    #[error("nobody who can sign in would be a lead any more: make somebody else a lead first")]
    LastLead,
    /// The file of a backup exists already.
    #[error("{} exists already, and a backup never replaces a file: choose another name", .0.display())]
    Exists(PathBuf),
    /// The writer has stopped.
    #[error("the records have been closed: nothing was written")]
    Closed,
    /// Any other error of the database.
    #[error("the records could not be used: {0}")]
    Database(String),
}

fn since_upgrade(entries: usize) -> String {
    match entries {
        0 => "accounts, roles, devices or decisions were changed since the upgrade, or an entry was erased, and that would be lost:".to_owned(),
        1 => "one entry was saved since the upgrade and would be lost:".to_owned(),
        more => format!("{more} entries were saved since the upgrade and would be lost:"),
    }
}

fn pid_words(pid: Option<u32>) -> String {
    pid.map(|pid| format!(" (process {pid})")).unwrap_or_default()
}

impl From<rusqlite::Error> for ArchiveError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::Error as Sql;
        let message = error.to_string();
        match &error {
            Sql::SqliteFailure(failure, _) => from_code(failure.code, failure.extended_code, message),
            Sql::FromSqlConversionFailure(..)
            | Sql::InvalidColumnType(..)
            | Sql::IntegralValueOutOfRange(..) => Self::Damaged(message),
            _ => Self::Database(message),
        }
    }
}

fn from_code(code: ErrorCode, extended: i32, message: String) -> ArchiveError {
    match code {
        ErrorCode::DatabaseCorrupt => ArchiveError::Damaged(message),
        ErrorCode::NotADatabase => {
            ArchiveError::Damaged("its beginning is not that of a records file".into())
        }
        // What SQLCipher answers for a page that does not pass its check, and from then on for every other: a mistake in
        // a statement has a message of its own.
        #[cfg(feature = "encryption")]
        ErrorCode::Unknown if message == "SQL logic error" => {
            ArchiveError::Damaged("a page of it is not as it was written".into())
        }
        ErrorCode::DiskFull => ArchiveError::Full,
        ErrorCode::SystemIoFailure if extended == rusqlite::ffi::SQLITE_IOERR_SHORT_READ => {
            ArchiveError::Damaged("it ends too early".into())
        }
        ErrorCode::SystemIoFailure => ArchiveError::Disk(message),
        _ => ArchiveError::Database(message),
    }
}

/// The error of opening a file, with its path.
pub(crate) fn at_path(error: rusqlite::Error, path: &Path) -> ArchiveError {
    match error.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => ArchiveError::NotRecords(path.into()),
        Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => ArchiveError::ReadOnly(path.into()),
        Some(ErrorCode::CannotOpen) => ArchiveError::Folder { dir: path.into(), why: error.to_string() },
        _ => error.into(),
    }
}

/// An error of the file system.
pub(crate) fn of_io(error: &std::io::Error, path: &Path) -> ArchiveError {
    use std::io::ErrorKind;
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => ArchiveError::Full,
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => ArchiveError::ReadOnly(path.into()),
        _ => ArchiveError::Folder { dir: path.into(), why: error.to_string() },
    }
}
