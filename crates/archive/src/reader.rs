//! Reading: a few read-only connections shared by all callers, and the log of a child.

use crate::{
    archive::Archive,
    cache::{CacheKey, Weighed, Worth},
    chain,
    error::ArchiveError,
    keys::parse,
    schema,
    summary::Summary,
};
use record::{ChildId, Entry, EntryId};
use rusqlite::{Connection, OptionalExtension, Row};
use std::{
    collections::HashSet,
    path::{Path, PathBuf},
    sync::{Arc, Mutex},
};
use uuid::Uuid;

/// Connections kept open; more are opened when more are needed at once. Opening one costs as much as
/// reading a child some fifty times.
const CONNECTIONS_KEPT: usize = 8;

/// Read-only connections.
pub(crate) struct Readers {
    path: PathBuf,
    idle: Mutex<Vec<Connection>>,
}

impl Readers {
    pub(crate) fn new(path: &Path) -> Self {
        Self { path: path.into(), idle: Mutex::default() }
    }

    pub(crate) fn keep(&self, conn: Connection) {
        if let Ok(mut idle) = self.idle.lock()
            && idle.len() < CONNECTIONS_KEPT
        {
            idle.push(conn);
        }
    }

    /// Reads within one transaction, so that everything read belongs together.
    pub(crate) fn read<T>(
        &self,
        read: impl FnOnce(&Connection) -> Result<T, ArchiveError>,
    ) -> Result<T, ArchiveError> {
        let idle = self.idle.lock().ok().and_then(|mut idle| idle.pop());
        let conn = idle.map_or_else(|| schema::open_reader(&self.path), Ok)?;
        conn.prepare_cached("BEGIN")?.execute([])?;
        let result = read(&conn);
        let ended = conn.prepare_cached("COMMIT").and_then(|mut end| end.execute([]));
        // One whose transaction does not end would show the records as they were for ever.
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

/// Columns of a log entry in the order read by [`entry_from`]: id, wire, salt, content.
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

pub(crate) fn summary_of(conn: &Connection, number: i64) -> Result<Option<Summary>, ArchiveError> {
    let mut query = conn.prepare_cached("SELECT body FROM summaries WHERE child = ?1")?;
    let body: Option<String> = query.query_row([number], |row| row.get(0)).optional()?;
    body.as_deref().map(parse).transpose()
}

/// A summary with the text it was read from. A list shows the same children again and again; where the text
/// is still the same it need not be read again. The text decides and not the generation of the log, because
/// the summary must belong to the very transaction that the list is read in.
struct ReadSummary {
    text: String,
    summary: Arc<Summary>,
}

impl Archive {
    /// The summary of a child as it is now, read again only where it has changed.
    pub(crate) fn summary_now(
        &self,
        conn: &Connection,
        child: i64,
    ) -> Result<Option<Arc<Summary>>, ArchiveError> {
        let mut query = conn.prepare_cached("SELECT body FROM summaries WHERE child = ?1")?;
        let mut rows = query.query([child])?;
        let Some(row) = rows.next()? else { return Ok(None) };
        let body = row.get_ref(0)?.as_str().map_err(rusqlite::Error::from)?;
        let key = CacheKey::clinic("summary").with(child.to_string());
        let saved = self.cache().latest::<ReadSummary>(&key).filter(|saved| saved.value.text == body);
        if let Some(saved) = saved {
            return Ok(Some(Arc::clone(&saved.value.summary)));
        }
        let summary = Arc::new(parse(body)?);
        // Read, a summary is about as large as its text.
        let read = ReadSummary { text: body.to_owned(), summary: Arc::clone(&summary) };
        self.cache().put(key, 0, Weighed { value: read, bytes: 2 * body.len(), worth: Worth::Quick });
        Ok(Some(summary))
    }

    /// The entries of a child in the order written; empty for an unknown child. Erased entries are left
    /// out (see [`Archive::erasures`]).
    ///
    /// # Errors
    /// When an entry cannot be read back as it was written, or the file is damaged.
    pub fn entries(&self, child: ChildId) -> Result<Vec<Entry>, ArchiveError> {
        self.read(|conn| match child_number(conn, child)? {
            Some(number) => log_of(conn, number),
            None => Ok(Vec::new()),
        })
    }

    /// One entry by its id.
    ///
    /// # Errors
    /// As [`Archive::entries`].
    pub fn entry(&self, id: EntryId) -> Result<Option<Entry>, ArchiveError> {
        self.read(|conn| {
            let mut query =
                conn.prepare_cached("SELECT id, wire, salt, content FROM entries WHERE id = ?1")?;
            let mut rows = query.query([id.uuid().as_bytes()])?;
            match rows.next()? {
                Some(row) => entry_from(row, 0),
                None => Ok(None),
            }
        })
    }

    /// Which of these ids are in the records already, erased ones included.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn present(&self, ids: &[EntryId]) -> Result<HashSet<EntryId>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached("SELECT 1 FROM entries WHERE id = ?1")?;
            let mut present = HashSet::new();
            for id in ids {
                if query.exists([id.uuid().as_bytes()])? {
                    present.insert(*id);
                }
            }
            Ok(present)
        })
    }

    /// Every child with its log, one after the other in the order of first writing; only one log is in
    /// memory at a time.
    ///
    /// # Errors
    /// As [`Archive::entries`]; children before the fault have been handed out by then.
    pub fn for_each_child(&self, f: &mut dyn FnMut(ChildId, Vec<Entry>)) -> Result<(), ArchiveError> {
        self.read(|conn| {
            let mut children = conn.prepare("SELECT number, id FROM children ORDER BY number")?;
            let mut rows = children.query([])?;
            while let Some(row) = rows.next()? {
                let log = log_of(conn, row.get(0)?)?;
                if !log.is_empty() {
                    f(ChildId::new(Uuid::from_bytes(row.get(1)?)), log);
                }
            }
            Ok(())
        })
    }

    /// The summary of a child; `None` for an unknown child.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn summary(&self, child: ChildId) -> Result<Option<Summary>, ArchiveError> {
        self.read(|conn| match child_number(conn, child)? {
            Some(number) => summary_of(conn, number),
            None => Ok(None),
        })
    }

    /// How many children have a record.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn children_count(&self) -> Result<usize, ArchiveError> {
        self.count("children", |conn| {
            Ok(conn
                .prepare_cached("SELECT count(*) FROM summaries INDEXED BY summaries_by_name")?
                .query_row([], |row| row.get(0))?)
        })
    }

    /// How many entries the log has, erased ones included.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entries_count(&self) -> Result<usize, ArchiveError> {
        self.read(|conn| {
            let sum: i64 =
                conn.query_row("SELECT coalesce(sum(length), 0) FROM sites", [], |row| row.get(0))?;
            Ok(usize::try_from(sum).unwrap_or(0))
        })
    }
}
