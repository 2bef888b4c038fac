//! The kept pictures: photographs of feet, in a file of their own beside the records, by the hash of their bytes.
//!
//! They are not in the records file, because that is copied, checked and written anew as a whole: ten thousand
//! pictures of 250 kB are 2.5 GB, and the entries of such a clinic some 50 MB. The file is opened like every other,
//! with the key of the records where they are encrypted. It knows no child and no entry: an entry names its picture by
//! the hash, and a picture that no entry names any more is removed ([`crate::Archive::remove_unnamed_media`]).
//!
//! It also has the children whose pictures are withheld, because their family took back a consent after the backup was
//! made from which these records were restored. Videos are in the same file ([`crate::Videos`]).

use crate::{
    database_file::DatabaseFile,
    database_key::DatabaseKey,
    error::{ArchiveError, at_path},
    schema::empty_log,
    whole_copy::{copy_whole, settle},
    withheld::{self, WithheldPictures},
};
use record::{PictureHash, Timestamp};
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params, types::ToSqlOutput};
use std::{
    collections::HashSet,
    path::{Path, PathBuf},
    time::Duration,
};

/// The name of the file of pictures within the folder of the records.
pub const PICTURES_FILE: &str = "photographs.sqlite";
/// The table of the children whose pictures are withheld.
const WITHHELD: &str = "withheld";

/// The first column is as long as a page: what SQLite keeps of a row beside the rows of others, and leaves behind
/// where rows move to another page, is then zeros, and every byte of a picture is on pages of its own, which are
/// overwritten when it is removed.
const LAYOUT: &str = "
    CREATE TABLE IF NOT EXISTS pictures (
        number    INTEGER PRIMARY KEY,
        margin   BLOB NOT NULL,
        hash      BLOB NOT NULL UNIQUE CHECK (length(hash) = 32),
        kept_at   INTEGER NOT NULL,
        thumb_hash BLOB NOT NULL CHECK (length(thumb_hash) = 32),
        picture   BLOB NOT NULL,
        thumbnail BLOB NOT NULL
    ) STRICT;
    CREATE TABLE IF NOT EXISTS withheld (
        child BLOB PRIMARY KEY CHECK (length(child) = 16),
        at    INTEGER NOT NULL
    ) STRICT;
    CREATE TABLE IF NOT EXISTS waiting (
        number    INTEGER NOT NULL,
        margin   BLOB NOT NULL,
        upload    BLOB NOT NULL CHECK (length(upload) = 16),
        child     BLOB NOT NULL CHECK (length(child) = 16),
        by        BLOB NOT NULL CHECK (length(by) = 16),
        at        INTEGER NOT NULL,
        facts     TEXT NOT NULL,
        picture   BLOB,
        thumbnail BLOB,
        UNIQUE (upload, number)
    ) STRICT;
    CREATE TABLE IF NOT EXISTS arriving (
        start   INTEGER NOT NULL,
        margin BLOB NOT NULL,
        file    BLOB NOT NULL CHECK (length(file) = 16),
        child   BLOB NOT NULL CHECK (length(child) = 16),
        by      BLOB NOT NULL CHECK (length(by) = 16),
        total   INTEGER NOT NULL,
        at      INTEGER NOT NULL,
        bytes   BLOB NOT NULL,
        UNIQUE (file, start)
    ) STRICT;
    CREATE TABLE IF NOT EXISTS videos (
        number  INTEGER PRIMARY KEY,
        hash    BLOB NOT NULL UNIQUE CHECK (length(hash) = 32),
        kept_at INTEGER NOT NULL,
        size    INTEGER NOT NULL,
        format  TEXT NOT NULL
    ) STRICT;
    CREATE TABLE IF NOT EXISTS video_pieces (
        place  INTEGER NOT NULL,
        margin BLOB NOT NULL,
        video  INTEGER NOT NULL,
        hash   BLOB NOT NULL CHECK (length(hash) = 32),
        bytes  BLOB NOT NULL,
        UNIQUE (video, place)
    ) STRICT;
    CREATE TABLE IF NOT EXISTS waiting_videos (
        upload BLOB PRIMARY KEY CHECK (length(upload) = 16),
        child  BLOB NOT NULL CHECK (length(child) = 16),
        by     BLOB NOT NULL CHECK (length(by) = 16),
        at     INTEGER NOT NULL,
        facts  TEXT NOT NULL,
        hash   BLOB NOT NULL CHECK (length(hash) = 32)
    ) STRICT;
    CREATE TABLE IF NOT EXISTS withheld_videos (
        child BLOB PRIMARY KEY CHECK (length(child) = 16),
        at    INTEGER NOT NULL
    ) STRICT;";
/// The largest page that SQLite may have here, in bytes.
pub(crate) const PAGE: usize = 4_096;
/// How long to wait for somebody who writes.
const BUSY: Duration = Duration::from_secs(10);

/// A picture to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPicture {
    /// The picture as it is shown, a JPEG without metadata.
    pub picture: Vec<u8>,
    /// The small one for lists, likewise.
    pub thumbnail: Vec<u8>,
}

impl NewPicture {
    /// The hash by which it is kept.
    #[must_use]
    pub fn hash(&self) -> PictureHash {
        PictureHash::new(*blake3::hash(&self.picture).as_bytes())
    }
}

/// In which size a picture is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeptSize {
    /// As it is kept.
    Whole,
    /// Small, for lists.
    Thumbnail,
}

/// The kept pictures of the records in one folder.
#[derive(Debug, Clone)]
pub struct Pictures {
    pub(crate) file: DatabaseFile,
    most_pages: Option<u32>,
}

impl Pictures {
    /// Those beside the records in a folder. `key` is the one with which the records are encrypted.
    #[must_use]
    pub fn beside(dir: &Path, key: Option<&DatabaseKey>) -> Self {
        Self { file: DatabaseFile::new(dir.join(PICTURES_FILE), key), most_pages: None }
    }

    /// The same with a limit of the size of the file in pages of 4096 bytes; beyond it the disk counts as full.
    #[must_use]
    pub fn with_most_pages(self, most_pages: Option<u32>) -> Self {
        Self { most_pages, ..self }
    }

    /// The same in another file, with the same key.
    pub(crate) fn in_file(&self, path: impl Into<PathBuf>) -> Self {
        Self { file: self.file.at(path), most_pages: None }
    }

    /// Makes of a file that was just written one file on the disk, without a write-ahead log.
    pub(crate) fn settled(&self, conn: Connection) -> Result<(), ArchiveError> {
        empty_log(&conn, &self.file.path)?;
        conn.pragma_update(None, "journal_mode", "DELETE")?;
        drop(conn);
        settle(&self.file.path, &self.file.path)
    }

    /// Keeps pictures, all or none. One that is kept already stays as it is. When this returns they are on the disk.
    ///
    /// # Errors
    /// When the file cannot be written; then none of them is kept.
    pub fn keep(&self, at: Timestamp, new: &[NewPicture]) -> Result<Vec<PictureHash>, ArchiveError> {
        let mut conn = self.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let sql = "INSERT INTO pictures (margin, hash, kept_at, thumb_hash, picture, thumbnail)
                   VALUES (zeroblob(?1), ?2, ?3, ?4, ?5, ?6)
                   ON CONFLICT (hash) DO UPDATE SET kept_at = excluded.kept_at";
        let mut hashes = Vec::with_capacity(new.len());
        for one in new {
            let (hash, small) = (one.hash(), blake3::hash(&one.thumbnail));
            change.prepare_cached(sql)?.execute(params![
                i64::try_from(PAGE).unwrap_or(i64::MAX),
                hash.bytes(),
                at.seconds(),
                small.as_bytes(),
                one.picture,
                one.thumbnail
            ])?;
            hashes.push(hash);
        }
        change.commit()?;
        Ok(hashes)
    }

    /// A picture; `None` where it is not kept.
    ///
    /// # Errors
    /// When the file cannot be read, or the picture is not as it was written.
    pub fn read(&self, hash: PictureHash, size: KeptSize) -> Result<Option<Vec<u8>>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(None) };
        let sql = match size {
            KeptSize::Whole => "SELECT hash, picture FROM pictures WHERE hash = ?1",
            KeptSize::Thumbnail => "SELECT thumb_hash, thumbnail FROM pictures WHERE hash = ?1",
        };
        let read = |row: &rusqlite::Row<'_>| Ok((row.get::<_, [u8; 32]>(0)?, row.get::<_, Vec<u8>>(1)?));
        let Some((expected, bytes)) = conn.query_row(sql, [hash.bytes()], read).optional()? else {
            return Ok(None);
        };
        if *blake3::hash(&bytes).as_bytes() == expected {
            return Ok(Some(bytes));
        }
        Err(ArchiveError::Damaged("a photograph is not as it was written".into()))
    }

    /// The hashes of all kept pictures.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn hashes(&self) -> Result<HashSet<PictureHash>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(HashSet::new()) };
        let mut query = conn.prepare("SELECT hash FROM pictures")?;
        let hashes = query.query_map([], |row| Ok(PictureHash::new(row.get(0)?)))?;
        Ok(hashes.collect::<Result<_, _>>()?)
    }

    /// Withholds the pictures of children. Does nothing for an empty list. Only for records that nobody has open:
    /// whoever has read the list once does not read it again.
    ///
    /// # Errors
    /// When the file cannot be written; then nothing is changed.
    pub fn withhold(&self, children: &[WithheldPictures]) -> Result<(), ArchiveError> {
        if children.is_empty() { Ok(()) } else { withheld::add(&mut self.to_write()?, WITHHELD, children) }
    }

    /// Every child whose pictures are withheld.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn withheld(&self) -> Result<Vec<WithheldPictures>, ArchiveError> {
        self.to_read()?.map_or_else(|| Ok(Vec::new()), |conn| withheld::all(&conn, WITHHELD))
    }

    /// Copies the pictures into a folder, also while they are in use; encrypted as they are. Nothing is copied where
    /// there are none.
    ///
    /// # Errors
    /// When a file cannot be read or written.
    pub fn copy_to(&self, folder: &Path) -> Result<(), ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(()) };
        copy_whole(&conn, &self.file.at(folder.join(PICTURES_FILE)))
    }

    /// Removes pictures and overwrites them. Returns how many there were.
    pub(crate) fn remove(
        &self,
        which: impl Fn(PictureHash, Timestamp) -> bool,
    ) -> Result<usize, ArchiveError> {
        if !self.file.path.is_file() {
            return Ok(0);
        }
        let mut conn = self.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut gone = Vec::new();
        {
            let mut query = change.prepare("SELECT number, hash, kept_at FROM pictures")?;
            let mut rows = query.query([])?;
            while let Some(row) = rows.next()? {
                let kept_at = Timestamp::from_seconds(row.get(2)?);
                if which(PictureHash::new(row.get(1)?), kept_at) {
                    gone.push(row.get::<_, i64>(0)?);
                }
            }
        }
        for number in &gone {
            change.execute("DELETE FROM pictures WHERE number = ?1", [number])?;
        }
        change.commit()?;
        self.overwritten(&conn, gone.len())?;
        Ok(gone.len())
    }

    /// Deletes rows in one transaction and overwrites what was in them. Does nothing where there is no file.
    pub(crate) fn forget(
        &self,
        delete: impl FnOnce(&Connection) -> rusqlite::Result<usize>,
    ) -> Result<(), ArchiveError> {
        if !self.file.path.is_file() {
            return Ok(());
        }
        let mut conn = self.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let gone = delete(&change)?;
        change.commit()?;
        self.overwritten(&conn, gone)
    }

    /// The write-ahead log still has the pages as they were written.
    pub(crate) fn overwritten(&self, conn: &Connection, gone: usize) -> Result<(), ArchiveError> {
        if gone > 0 && !empty_log(conn, &self.file.path)? {
            return Err(ArchiveError::WordsRemain("somebody is looking at the photographs".into()));
        }
        Ok(())
    }

    /// Whether there is a file.
    pub(crate) fn is_there(&self) -> bool {
        self.file.path.is_file()
    }

    pub(crate) fn to_write(&self) -> Result<Connection, ArchiveError> {
        let conn = self.file.connect_or_make()?;
        let prepare = || {
            conn.busy_timeout(BUSY)?;
            conn.pragma_update(None, "journal_mode", "WAL")?;
            conn.pragma_update(None, "synchronous", "FULL")?;
            conn.pragma_update(None, "fullfsync", true)?;
            conn.pragma_update(None, "checkpoint_fullfsync", true)?;
            conn.pragma_update(None, "secure_delete", true)?;
            conn.execute_batch(LAYOUT)
        };
        prepare().map_err(|error| at_path(error, &self.file.path))?;
        if let Some(pages) = self.most_pages {
            conn.pragma_update(None, "max_page_count", pages)?;
        }
        Ok(conn)
    }

    /// `None` where no picture was ever kept.
    pub(crate) fn to_read(&self) -> Result<Option<Connection>, ArchiveError> {
        let is_empty = |found: std::fs::Metadata| found.len() == 0;
        if !self.file.path.is_file() || std::fs::metadata(&self.file.path).is_ok_and(is_empty) {
            return Ok(None);
        }
        let conn = self.file.connect_to_read()?;
        conn.busy_timeout(BUSY)?;
        // A file that was made and then written by nobody.
        let made = conn.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0));
        Ok((made.map_err(|error| at_path(error, &self.file.path))? > 0).then_some(conn))
    }
}

pub(crate) fn write_rows(from: &Connection, to: &Connection) -> Result<(), ArchiveError> {
    let mut query =
        from.prepare("SELECT number, margin, hash, kept_at, thumb_hash, picture, thumbnail FROM pictures")?;
    let mut rows = query.query([])?;
    let mut insert = to.prepare("INSERT INTO pictures VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)")?;
    while let Some(row) = rows.next()? {
        for column in 0..7_usize {
            insert.raw_bind_parameter(column + 1, ToSqlOutput::Borrowed(row.get_ref(column)?))?;
        }
        insert.raw_execute()?;
    }
    let mut query = from.prepare("SELECT child, at FROM withheld")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let (child, at): (Vec<u8>, i64) = (row.get(0)?, row.get(1)?);
        to.execute("INSERT INTO withheld VALUES (?1, ?2)", params![child, at])?;
    }
    Ok(())
}
