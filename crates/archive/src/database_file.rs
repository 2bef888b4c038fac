//! A SQLite file of this program and its key: the one way by which every such file is opened.

use crate::{
    database_key::{DatabaseKey, PLAIN_START},
    error::{ArchiveError, at_path, of_io},
    private_files::touch_private,
};
use rusqlite::{Connection, OpenFlags};
use std::{
    fs::File,
    io::Read,
    path::{Path, PathBuf},
};

/// A file and, where it is encrypted, its key.
#[derive(Debug, Clone)]
pub(crate) struct DatabaseFile {
    pub path: PathBuf,
    pub key: Option<DatabaseKey>,
}

impl DatabaseFile {
    pub(crate) fn new(path: impl Into<PathBuf>, key: Option<&DatabaseKey>) -> Self {
        Self { path: path.into(), key: key.cloned() }
    }

    /// Another file with the same key.
    pub(crate) fn at(&self, path: impl Into<PathBuf>) -> Self {
        Self { path: path.into(), key: self.key.clone() }
    }

    /// Opens it. With a key nothing is read or written before the key is set, and a file that is not encrypted with
    /// this key is refused.
    pub(crate) fn connect(&self, flags: OpenFlags) -> Result<Connection, ArchiveError> {
        if self.key.is_some() && starts_plain(&self.path) {
            return Err(ArchiveError::NotEncrypted(self.path.clone()));
        }
        let conn =
            Connection::open_with_flags(&self.path, flags).map_err(|error| at_path(error, &self.path))?;
        if let Some(key) = &self.key {
            unlock(&conn, key, &self.path)?;
        }
        // Temporary tables and sorted rows never go to the disk, where they would not be encrypted.
        conn.pragma_update(None, "temp_store", "MEMORY")?;
        Ok(conn)
    }

    /// Opens it to read and write; makes the file where there is none.
    pub(crate) fn connect_or_make(&self) -> Result<Connection, ArchiveError> {
        touch_private(&self.path).map_err(|error| of_io(&error, &self.path))?;
        self.connect(OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE | NO_MUTEX)
    }

    /// Opens it to read and write.
    pub(crate) fn connect_to_write(&self) -> Result<Connection, ArchiveError> {
        self.connect(OpenFlags::SQLITE_OPEN_READ_WRITE | NO_MUTEX)
    }

    /// Opens it to read.
    pub(crate) fn connect_to_read(&self) -> Result<Connection, ArchiveError> {
        self.connect(OpenFlags::SQLITE_OPEN_READ_ONLY | NO_MUTEX)
    }
}

const NO_MUTEX: OpenFlags = OpenFlags::SQLITE_OPEN_NO_MUTEX;

/// Whether a file begins as one that is not encrypted.
pub(crate) fn starts_plain(path: &Path) -> bool {
    let mut start = [0; 16];
    File::open(path).and_then(|mut file| file.read_exact(&mut start)).is_ok() && start == *PLAIN_START
}

#[cfg(not(feature = "encryption"))]
fn unlock(_: &Connection, _: &DatabaseKey, _: &Path) -> Result<(), ArchiveError> {
    Err(ArchiveError::NoCipher)
}

/// Sets the key and reads the first page with it.
#[cfg(feature = "encryption")]
fn unlock(conn: &Connection, key: &DatabaseKey, path: &Path) -> Result<(), ArchiveError> {
    use std::fmt::Write as _;
    let mut sql = zeroize::Zeroizing::new(String::with_capacity(96));
    sql.push_str("PRAGMA key = \"x'");
    for byte in key.bytes() {
        // Writing to a string does not fail.
        let _ = write!(sql, "{byte:02x}");
    }
    sql.push_str("'\"");
    // It would write what it finds to standard error; what is wrong is said by what is done with the errors.
    conn.execute_batch("PRAGMA cipher_log_level = NONE")?;
    conn.execute_batch(&sql)?;
    // A build whose SQLite does not know the statement would ignore it and write everything as it is.
    let cipher = conn.query_row("PRAGMA cipher_version", [], |row| row.get::<_, String>(0));
    cipher.map_err(|_| ArchiveError::NoCipher)?;
    let first = conn.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()));
    first.map_err(|error| match error.sqlite_error_code() {
        Some(rusqlite::ErrorCode::NotADatabase) => unopened(path, key),
        _ => at_path(error, path),
    })
}

/// Why a file does not open with a key.
#[cfg(feature = "encryption")]
fn unopened(path: &Path, key: &DatabaseKey) -> ArchiveError {
    use crate::cipher_pages::{PAGE, fits};
    let whole_pages = std::fs::metadata(path).is_ok_and(|found| found.len() % PAGE as u64 == 0);
    match fits(path, key) {
        true => ArchiveError::Damaged("its first page is not as it was written".into()),
        false if whole_pages => ArchiveError::OtherKey(path.into()),
        false => ArchiveError::NotRecords(path.into()),
    }
}
