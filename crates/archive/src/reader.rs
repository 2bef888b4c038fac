//! Read-only connections shared by all callers, and reading a child's log and summary through them.

use crate::{chain, database_file::DatabaseFile, error::ArchiveError, keys::parse, schema, summary::Summary};
use record::{ChildId, Entry, EntryId};
use rusqlite::{Connection, OptionalExtension, Row};
use std::sync::Mutex;
use uuid::Uuid;

/// Idle connections that stay open; more are opened when more are needed at once. Opening one takes as long
/// as reading a child about fifty times.
const IDLE_CONNECTIONS: usize = 8;

/// Read-only connections.
pub(crate) struct Readers {
    file: DatabaseFile,
    idle: Mutex<Vec<Connection>>,
}

impl Readers {
    pub(crate) fn new(file: &DatabaseFile) -> Self {
        Self { file: file.clone(), idle: Mutex::default() }
    }

    pub(crate) const fn file(&self) -> &DatabaseFile {
        &self.file
    }

    pub(crate) fn keep(&self, conn: Connection) {
        if let Ok(mut idle) = self.idle.lock()
            && idle.len() < IDLE_CONNECTIONS
        {
            idle.push(conn);
        }
    }

    /// Reads within one transaction, so that everything read is of the same state.
    pub(crate) fn read<T>(
        &self,
        read: impl FnOnce(&Connection) -> Result<T, ArchiveError>,
    ) -> Result<T, ArchiveError> {
        let idle = self.idle.lock().ok().and_then(|mut idle| idle.pop());
        let conn = idle.map_or_else(|| schema::open_reader(&self.file), Ok)?;
        conn.prepare_cached("BEGIN")?.execute([])?;
        let result = read(&conn);
        let ended = conn.prepare_cached("COMMIT").and_then(|mut end| end.execute([]));
        // A connection whose transaction does not end would always read the same old state.
        if ended.is_ok() {
            self.keep(conn);
        }
        result
    }
}

pub(crate) fn child_number(conn: &Connection, child: ChildId) -> rusqlite::Result<Option<i64>> {
    conn.prepare_cached("SELECT number FROM children WHERE id = ?1")?
        .query_row([child.uuid().as_bytes()], |row| row.get(0))
        .optional()
}

/// The entry of a row with the columns id, wire, salt, content from `first`; `None` if it was erased.
pub(crate) fn entry_from(row: &Row<'_>, first: usize) -> Result<Option<Entry>, ArchiveError> {
    let Some(wire) = row.get_ref(first + 1)?.as_str_or_null().map_err(rusqlite::Error::from)? else {
        return Ok(None);
    };
    let id = EntryId::new(Uuid::from_bytes(row.get(first)?));
    let unreadable = |why: String| ArchiveError::Unreadable { entry: id, why };
    let salt: chain::Salt = row.get(first + 2)?;
    let content: chain::Hash = row.get(first + 3)?;
    if chain::content(&salt, wire) != content {
        return Err(unreadable("its contents are not those that were written".into()));
    }
    Entry::from_json(wire).map(Some).map_err(|error| unreadable(error.to_string()))
}

/// The log of a child in the order written, without erased entries.
pub(crate) fn log_of(conn: &Connection, number: i64) -> Result<Vec<Entry>, ArchiveError> {
    let mut query =
        conn.prepare_cached("SELECT id, wire, salt, content FROM entries WHERE child = ?1 ORDER BY place")?;
    let mut rows = query.query([number])?;
    let mut log = Vec::new();
    while let Some(row) = rows.next()? {
        log.extend(entry_from(row, 0)?);
    }
    Ok(log)
}

/// The same up to a place of the log.
pub(crate) fn log_until(conn: &Connection, number: i64, place: i64) -> Result<Vec<Entry>, ArchiveError> {
    let mut query = conn.prepare_cached(
        "SELECT id, wire, salt, content FROM entries WHERE child = ?1 AND place <= ?2 ORDER BY place",
    )?;
    let mut rows = query.query([number, place])?;
    let mut log = Vec::new();
    while let Some(row) = rows.next()? {
        log.extend(entry_from(row, 0)?);
    }
    Ok(log)
}

pub(crate) fn summary_of(conn: &Connection, number: i64) -> Result<Option<Summary>, ArchiveError> {
    let mut query = conn.prepare_cached("SELECT body FROM summaries WHERE child = ?1")?;
    let body: Option<String> = query.query_row([number], |row| row.get(0)).optional()?;
    body.as_deref().map(parse).transpose()
}
