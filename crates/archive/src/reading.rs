//! Reads entries, summaries and their numbers.

use crate::{
    archive::Archive,
    cache::{CacheKey, CacheValue, RecomputeCost},
    error::ArchiveError,
    keys::parse,
    reader::{child_number, entry_from, log_of, summary_of},
    summary::Summary,
};
use record::{ChildId, Entry, EntryId};
use rusqlite::Connection;
use std::{collections::HashSet, sync::Arc};
use uuid::Uuid;

/// A summary with the text that it was parsed from. Lists show the same children again and again, and an
/// unchanged text need not be parsed again. The text is compared and not the generation of the log, because the
/// summary must be of the same transaction as the list.
struct ReadSummary {
    text: String,
    summary: Arc<Summary>,
}

impl Archive {
    /// The present summary of a child, parsed again only if it has changed.
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
        // A summary is about as large as its text.
        let read = ReadSummary { text: body.to_owned(), summary: Arc::clone(&summary) };
        self.cache().put(
            key,
            0,
            CacheValue { value: read, bytes: 2 * body.len(), cost: RecomputeCost::Quick },
        );
        Ok(Some(summary))
    }

    /// The entries of a child in the order written; empty for an unknown child. Erased entries are left
    /// out (see [`Archive::erasures`]).
    ///
    /// # Errors
    /// When an entry is not as it was written, or the file is damaged.
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

    /// The ids that are in the records, erased entries included.
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

    /// Calls `each` with every child and its log, in the order of the children's first entries. Only one log is
    /// in memory at a time.
    ///
    /// # Errors
    /// As [`Archive::entries`]; `each` has been called for the children before the fault.
    pub fn for_each_child(&self, each: &mut dyn FnMut(ChildId, Vec<Entry>)) -> Result<(), ArchiveError> {
        self.read(|conn| {
            let mut children = conn.prepare("SELECT number, id FROM children ORDER BY number")?;
            let mut rows = children.query([])?;
            while let Some(row) = rows.next()? {
                let log = log_of(conn, row.get(0)?)?;
                if !log.is_empty() {
                    each(ChildId::new(Uuid::from_bytes(row.get(1)?)), log);
                }
            }
            Ok(())
        })
    }

    /// The same without the children of whom an entry cannot be read. That is noted as damage, after which nothing is
    /// written any more; only for what may be computed from most children as well as from all.
    ///
    /// # Errors
    /// When the list of children cannot be read.
    pub fn for_each_readable_child(
        &self,
        each: &mut dyn FnMut(ChildId, Vec<Entry>),
    ) -> Result<(), ArchiveError> {
        self.read(|conn| {
            let mut children = conn.prepare("SELECT number, id FROM children ORDER BY number")?;
            let mut rows = children.query([])?;
            while let Some(row) = rows.next()? {
                let child = ChildId::new(Uuid::from_bytes(row.get(1)?));
                match log_of(conn, row.get(0)?) {
                    Ok(log) if log.is_empty() => {}
                    Ok(log) => each(child, log),
                    Err(error @ (ArchiveError::Damaged(_) | ArchiveError::Unreadable { .. })) => {
                        self.note(&error)
                    }
                    Err(error) => return Err(error),
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

    /// The number of children who have a record.
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

    /// The number of entries, erased ones included.
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
