//! Uploaded pictures that nobody has named yet, and files that have not arrived completely. They lie with the kept
//! pictures, protected alike, belong to no entry, and are forgotten after a while.

use crate::{
    error::ArchiveError,
    pictures::{NewPicture, Pictures},
};
use record::{ChildId, Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};
use uuid::Uuid;

/// A picture of an upload, or in its place why it was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitingPicture {
    /// Its number in the upload, from 1.
    pub number: u16,
    /// What is known of it, as the caller writes and reads it.
    pub facts: String,
    /// The picture; `None` where it was not taken.
    pub picture: Option<NewPicture>,
}

/// An upload that waits to be named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitingUpload {
    /// Its id.
    pub upload: Uuid,
    /// The child for whom it was sent.
    pub child: ChildId,
    /// Who sent it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Number, facts, and whether there is a picture.
    pub pictures: Vec<(u16, String, bool)>,
}

/// A file of which parts have arrived.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ArrivingFile {
    /// The id that the sender gave it.
    pub file: Uuid,
    /// The child for whom it is sent.
    pub child: ChildId,
    /// Who sends it.
    pub by: UserId,
    /// The length of the whole, in bytes.
    pub total: u64,
}

impl Pictures {
    /// Keeps the pictures of an upload until they are named. When this returns they are on the disk.
    ///
    /// # Errors
    /// When the file cannot be written; then none of them is kept.
    pub fn wait(
        &self,
        (upload, child, by, at): (Uuid, ChildId, UserId, Timestamp),
        pictures: &[WaitingPicture],
    ) -> Result<(), ArchiveError> {
        let mut conn = self.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let sql = "INSERT INTO waiting (upload, number, margin, child, by, at, facts, picture, thumbnail)
             VALUES (?1, ?2, zeroblob(4096), ?3, ?4, ?5, ?6, ?7, ?8)";
        for one in pictures {
            change.prepare_cached(sql)?.execute(params![
                upload.as_bytes(),
                one.number,
                child.uuid().as_bytes(),
                by.uuid().as_bytes(),
                at.seconds(),
                one.facts,
                one.picture.as_ref().map(|kept| &kept.picture),
                one.picture.as_ref().map(|kept| &kept.thumbnail),
            ])?;
        }
        Ok(change.commit()?)
    }

    /// An upload that waits; `None` where there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn waiting(&self, upload: Uuid) -> Result<Option<WaitingUpload>, ArchiveError> {
        let found = self.all_waiting("upload = ?1", upload.as_bytes())?;
        Ok(found.into_iter().next())
    }

    /// The uploads about a child that wait, the latest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn waiting_of(&self, child: ChildId) -> Result<Vec<WaitingUpload>, ArchiveError> {
        let mut found = self.all_waiting("child = ?1", child.uuid().as_bytes())?;
        found.sort_by_key(|upload| std::cmp::Reverse(upload.at));
        Ok(found)
    }

    fn all_waiting(&self, which: &str, id: &[u8; 16]) -> Result<Vec<WaitingUpload>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(Vec::new()) };
        let sql = format!(
            "SELECT upload, child, by, at, number, facts, picture IS NOT NULL FROM waiting
             WHERE {which} ORDER BY upload, number"
        );
        let mut query = conn.prepare(&sql)?;
        let mut rows = query.query([id])?;
        let mut found: Vec<WaitingUpload> = Vec::new();
        while let Some(row) = rows.next()? {
            let upload = Uuid::from_bytes(row.get(0)?);
            let picture = (row.get(4)?, row.get(5)?, row.get(6)?);
            match found.last_mut().filter(|last| last.upload == upload) {
                Some(last) => last.pictures.push(picture),
                None => found.push(WaitingUpload {
                    upload,
                    child: ChildId::new(Uuid::from_bytes(row.get(1)?)),
                    by: UserId::new(Uuid::from_bytes(row.get(2)?)),
                    at: Timestamp::from_seconds(row.get(3)?),
                    pictures: vec![picture],
                }),
            }
        }
        Ok(found)
    }

    /// A picture that waits; `None` where there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn waiting_picture(&self, upload: Uuid, number: u16) -> Result<Option<NewPicture>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(None) };
        let sql = "SELECT picture, thumbnail FROM waiting
                   WHERE upload = ?1 AND number = ?2 AND picture IS NOT NULL";
        let read = |row: &rusqlite::Row<'_>| Ok(NewPicture { picture: row.get(0)?, thumbnail: row.get(1)? });
        Ok(conn.query_row(sql, params![upload.as_bytes(), number], read).optional()?)
    }

    /// Forgets an upload.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn forget_waiting(&self, upload: Uuid) -> Result<(), ArchiveError> {
        self.forget(|conn| conn.execute("DELETE FROM waiting WHERE upload = ?1", [upload.as_bytes()]))
    }

    /// Forgets what was sent before a moment and never named, or never arrived.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn forget_sent_before(&self, at: Timestamp) -> Result<(), ArchiveError> {
        self.forget(|conn| {
            Ok(conn.execute("DELETE FROM waiting WHERE at < ?1", [at.seconds()])?
                + conn.execute("DELETE FROM arriving WHERE at < ?1", [at.seconds()])?
                + conn.execute("DELETE FROM waiting_videos WHERE at < ?1", [at.seconds()])?)
        })
    }

    /// Takes the next part of a file, which begins at `start`. Returns how many bytes have arrived: those that were
    /// there, if the part does not follow them.
    ///
    /// # Errors
    /// When the file cannot be written; then the part is not taken.
    pub fn take_part(
        &self,
        file: &ArrivingFile,
        at: Timestamp,
        (start, bytes): (u64, &[u8]),
    ) -> Result<u64, ArchiveError> {
        let mut conn = self.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let there = arrived(&change, file)?;
        let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
        if there != start || there.saturating_add(length) > file.total {
            return Ok(there);
        }
        let sql = "INSERT INTO arriving (file, start, margin, child, by, total, at, bytes)
                   VALUES (?1, ?2, zeroblob(4096), ?3, ?4, ?5, ?6, ?7)";
        change.execute(
            sql,
            params![
                file.file.as_bytes(),
                i64::try_from(start).unwrap_or(i64::MAX),
                file.child.uuid().as_bytes(),
                file.by.uuid().as_bytes(),
                i64::try_from(file.total).unwrap_or(i64::MAX),
                at.seconds(),
                bytes
            ],
        )?;
        change.commit()?;
        Ok(there + length)
    }

    /// How many bytes of a file have arrived.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn arrived(&self, file: &ArrivingFile) -> Result<u64, ArchiveError> {
        self.to_read()?.map_or(Ok(0), |conn| arrived(&conn, file))
    }

    /// A file that has arrived completely, `None` where it has not.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn arrived_whole(&self, file: &ArrivingFile) -> Result<Option<Vec<u8>>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(None) };
        if arrived(&conn, file)? != file.total {
            return Ok(None);
        }
        let mut query =
            conn.prepare(&format!("SELECT bytes FROM arriving WHERE {OF_FILE} ORDER BY start"))?;
        let mut rows = query.query(of_file(file))?;
        let mut whole = Vec::new();
        while let Some(row) = rows.next()? {
            whole.extend_from_slice(row.get_ref(0)?.as_blob().map_err(rusqlite::Error::from)?);
        }
        Ok(Some(whole))
    }

    /// Forgets a file of which parts have arrived.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn forget_arrived(&self, file: &ArrivingFile) -> Result<(), ArchiveError> {
        let sql = format!("DELETE FROM arriving WHERE {OF_FILE}");
        self.forget(|conn| conn.execute(&sql, of_file(file)))
    }

    /// How many bytes somebody has sent of files that are not complete.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn arriving_from(&self, by: UserId) -> Result<u64, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(0) };
        let sql = "SELECT coalesce(sum(length(bytes)), 0) FROM arriving WHERE by = ?1";
        let sum: i64 = conn.query_row(sql, [by.uuid().as_bytes()], |row| row.get(0))?;
        Ok(u64::try_from(sum).unwrap_or(0))
    }
}

/// A file is found only by whoever sends it, for the same child and with the same length.
const OF_FILE: &str = "file = ?1 AND child = ?2 AND by = ?3 AND total = ?4";

fn of_file(file: &ArrivingFile) -> (Vec<u8>, Vec<u8>, Vec<u8>, i64) {
    (
        file.file.as_bytes().to_vec(),
        file.child.uuid().as_bytes().to_vec(),
        file.by.uuid().as_bytes().to_vec(),
        i64::try_from(file.total).unwrap_or(i64::MAX),
    )
}

fn arrived(conn: &Connection, file: &ArrivingFile) -> Result<u64, ArchiveError> {
    let sql = format!("SELECT coalesce(sum(length(bytes)), 0) FROM arriving WHERE {OF_FILE}");
    let sum: i64 = conn.query_row(&sql, of_file(file), |row| row.get(0))?;
    Ok(u64::try_from(sum).unwrap_or(0))
}
