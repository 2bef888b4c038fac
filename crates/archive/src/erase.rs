//! Erasure, the one exception to "never deleted": it removes the body and leaves id, hashes and reason.

use crate::{
    archive::Archive,
    chain::{self, Hash},
    error::ArchiveError,
    keys::Lists,
    media::NamedMedia,
    schema,
    summaries::summarise_child,
    upgrade,
};
use record::{ChildId, EntryId, Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, params};
use uuid::Uuid;

/// The record of an erased entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Erasure {
    /// The entry that was erased.
    pub entry: EntryId,
    /// Why.
    pub reason: String,
    /// Who erased it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
}

impl Archive {
    /// Erases the body of an entry, for a legal request or an entry filed under the wrong child. Its id, its
    /// hashes and the reason remain, and the chain stays valid. The child's summary is computed again without
    /// it. Entries that quote it (a correction) and older backups are not changed.
    ///
    /// # Errors
    /// When there is no such entry, it was erased already, or the reason is empty; nothing is then erased.
    /// [`ArchiveError::WordsRemain`] when it is erased and a file may still have it.
    pub fn erase(&self, entry: EntryId, reason: &str, by: UserId, at: Timestamp) -> Result<(), ArchiveError> {
        let reason = reason.trim().to_owned();
        if reason.is_empty() {
            return Err(ArchiveError::NoReason);
        }
        let summarising = self.summarising();
        let mut media = NamedMedia::default();
        if let Some(erased) = self.entry(entry)? {
            media.add(&erased.body);
        }
        self.writer()?.run(move |conn| {
            let (number, child) = erase_body(conn, entry)?;
            write_erasure(conn, &Erasure { entry, reason, by, at })?;
            summarise_child(conn, &mut Lists::default(), number, child, &summarising.now())
        })?;
        // Nothing erased may stay in memory, or in a copy from before an upgrade.
        self.cache().clear();
        upgrade::remove_copies(self.dir(), None)?;
        self.remove_erased_media(&media)?;
        if self.forget_old_pages()? {
            return Ok(());
        }
        Err(ArchiveError::WordsRemain("somebody is reading them".into()))
    }

    /// The erasures of a child's entries.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn erasures(&self, child: ChildId) -> Result<Vec<Erasure>, ArchiveError> {
        let sql = "SELECT x.entry, x.reason, x.by, x.at FROM erasures x JOIN entries e ON e.id = x.entry
                   JOIN children c ON c.number = e.child WHERE c.id = ?1 ORDER BY x.number";
        self.read(|conn| {
            let mut query = conn.prepare_cached(sql)?;
            let erasures = query.query_map([child.uuid().as_bytes()], |row| {
                Ok(Erasure {
                    entry: EntryId::new(Uuid::from_bytes(row.get(0)?)),
                    reason: row.get(1)?,
                    by: UserId::new(Uuid::from_bytes(row.get(2)?)),
                    at: Timestamp::from_seconds(row.get(3)?),
                })
            })?;
            Ok(erasures.collect::<Result<_, _>>()?)
        })
    }

    /// Every erasure, in the order in which it was made.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn all_erasures(&self) -> Result<Vec<Erasure>, ArchiveError> {
        self.read(read_erasures)
    }

    /// Writes the whole file anew and empties the write-ahead log of SQLite, which may still have the old pages. That
    /// waits some seconds for whoever reads. Returns whether it was possible; otherwise it is done at the next start.
    ///
    /// # Errors
    /// [`ArchiveError::WordsRemain`] when the disk fails.
    pub(crate) fn forget_old_pages(&self) -> Result<bool, ArchiveError> {
        let path = self.dir().join(schema::FILE_NAME);
        let done =
            self.writer().and_then(|writer| writer.outside(move |conn| schema::write_anew(conn, &path)));
        done.map_err(|error| ArchiveError::WordsRemain(error.to_string()))
    }
}

pub(crate) fn erase_body(conn: &Connection, entry: EntryId) -> Result<(i64, ChildId), ArchiveError> {
    let sql = "SELECT e.child, c.id, e.wire IS NULL FROM entries e JOIN children c ON c.number = e.child
               WHERE e.id = ?1";
    let read =
        |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get::<_, [u8; 16]>(1)?, row.get::<_, bool>(2)?));
    let found = conn.query_row(sql, [entry.uuid().as_bytes()], read).optional()?;
    let (number, child, erased) = found.ok_or(ArchiveError::NoEntry(entry))?;
    if erased {
        return Err(ArchiveError::AlreadyErased(entry));
    }
    schema::note_words_remain(conn, true)?;
    conn.execute("UPDATE entries SET wire = NULL, salt = NULL WHERE id = ?1", [entry.uuid().as_bytes()])?;
    // A form about the child that was not saved may quote the entry.
    conn.execute("DELETE FROM form_drafts WHERE child = ?1", [child])?;
    // What people answered about its photographs holds what was scored at a visit.
    conn.execute("DELETE FROM practice_photographs WHERE child = ?1", [child])?;
    Ok((number, ChildId::new(Uuid::from_bytes(child))))
}

pub(crate) fn write_erasure(conn: &Connection, new: &Erasure) -> Result<(), ArchiveError> {
    let last: Option<Hash> = conn
        .query_row("SELECT hash FROM erasures ORDER BY number DESC LIMIT 1", [], |row| row.get(0))
        .optional()?;
    let previous = last.unwrap_or_else(chain::beginning_of_erasures);
    let hash = chain::erasure_link(&previous, new.entry, new.by, new.at, &new.reason);
    conn.execute(
        "INSERT INTO erasures (entry, reason, by, at, hash) VALUES (?1, ?2, ?3, ?4, ?5)",
        params![new.entry.uuid().as_bytes(), new.reason, new.by.uuid().as_bytes(), new.at.seconds(), hash],
    )?;
    Ok(())
}

/// Every erasure in the order in which it was made.
pub(crate) fn read_erasures(conn: &Connection) -> Result<Vec<Erasure>, ArchiveError> {
    let mut query = conn.prepare("SELECT entry, reason, by, at FROM erasures ORDER BY number")?;
    let erasures = query.query_map([], |row| {
        Ok(Erasure {
            entry: EntryId::new(Uuid::from_bytes(row.get(0)?)),
            reason: row.get(1)?,
            by: UserId::new(Uuid::from_bytes(row.get(2)?)),
            at: Timestamp::from_seconds(row.get(3)?),
        })
    })?;
    Ok(erasures.collect::<Result<_, _>>()?)
}
