//! How summaries are computed, and computing all of them again.

use crate::{
    error::ArchiveError,
    keys, reader, summaries,
    summary::{Progress, Summarise},
    tally,
};
use record::ChildId;
use rusqlite::{Connection, OptionalExtension, params};
use std::sync::{PoisonError, RwLock};
use uuid::Uuid;

/// Incremented when the layout of the computed tables changes, so that they are computed again.
const FORM: &str = "3";
const VERSION_KEY: &str = "summary_version";
/// Children per transaction when all summaries are computed again on opening, and per part of the memory that this
/// takes otherwise.
const CHILDREN_PER_BATCH: i64 = 4_096;

/// The present way of computing summaries, with the version that is stored with what it computed.
pub(crate) struct Summarising(RwLock<(String, Summarise)>);

impl Summarising {
    pub(crate) fn new(version: &str, summarise: Summarise) -> Self {
        Self(RwLock::new((with_form(version), summarise)))
    }

    /// The function.
    pub(crate) fn now(&self) -> Summarise {
        self.0.read().unwrap_or_else(PoisonError::into_inner).1.clone()
    }

    fn version(&self) -> String {
        self.0.read().unwrap_or_else(PoisonError::into_inner).0.clone()
    }

    /// Whether the summaries of the file were computed in this way.
    pub(crate) fn is_stored(&self, conn: &Connection) -> Result<bool, ArchiveError> {
        let query = "SELECT value FROM facts WHERE key = ?1";
        let stored: Option<String> = conn.query_row(query, [VERSION_KEY], |row| row.get(0)).optional()?;
        Ok(stored == Some(self.version()))
    }

    /// Summaries are computed as `new` does from now on.
    pub(crate) fn become_as(&self, new: &Self) {
        let new = new.0.read().unwrap_or_else(PoisonError::into_inner).clone();
        *self.0.write().unwrap_or_else(PoisonError::into_inner) = new;
    }
}

fn with_form(version: &str) -> String {
    format!("{FORM}:{version}")
}

/// Computes every summary again, a part at a time. The version is written last, so that an interrupted rebuild is
/// repeated at the next opening.
pub(crate) fn rebuild(
    conn: &Connection,
    how: &Summarising,
    on_rebuild: Option<&Progress>,
) -> Result<(), ArchiveError> {
    let (last, total) = children(conn)?;
    in_transaction(conn, |conn| Ok(keys::clear(conn)?))?;
    for from in parts(last) {
        let to = from + CHILDREN_PER_BATCH;
        in_transaction(conn, |conn| summaries::write_summaries(conn, logs(conn, from, to), &how.now()))?;
        if let Some(progress) = on_rebuild {
            progress(usize::try_from(to.min(total)).unwrap_or(0), usize::try_from(total).unwrap_or(0));
        }
    }
    in_transaction(conn, |conn| put_version(conn, how))
}

/// The same within the transaction of the caller: whoever reads meanwhile reads the earlier summaries, and if it
/// fails they remain.
pub(crate) fn rebuild_within(conn: &Connection, how: &Summarising) -> Result<(), ArchiveError> {
    keys::clear(conn)?;
    for from in parts(children(conn)?.0) {
        summaries::write_summaries(conn, logs(conn, from, from + CHILDREN_PER_BATCH), &how.now())?;
    }
    tally::note_all(conn)?;
    put_version(conn, how)
}

/// The number of the last child, and the number of children.
fn children(conn: &Connection) -> Result<(i64, i64), ArchiveError> {
    let read = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?));
    Ok(conn.query_row("SELECT coalesce(max(number), 0), count(*) FROM children", [], read)?)
}

/// The numbers after which the parts begin.
fn parts(last: i64) -> impl Iterator<Item = i64> {
    let step = usize::try_from(CHILDREN_PER_BATCH).unwrap_or(usize::MAX);
    (0..last).step_by(step)
}

fn put_version(conn: &Connection, how: &Summarising) -> Result<(), ArchiveError> {
    conn.execute("INSERT OR REPLACE INTO facts VALUES (?1, ?2)", params![VERSION_KEY, how.version()])?;
    Ok(())
}

fn in_transaction(
    conn: &Connection,
    work: impl FnOnce(&Connection) -> Result<(), ArchiveError>,
) -> Result<(), ArchiveError> {
    let transaction = conn.unchecked_transaction()?;
    work(&transaction)?;
    Ok(transaction.commit()?)
}

/// The logs of the children numbered above `from` up to `to`, a part at a time.
fn logs(
    conn: &Connection,
    from: i64,
    to: i64,
) -> impl Iterator<Item = Result<Vec<summaries::Log>, ArchiveError>> {
    const STEP: i64 = 1_024;
    (0..(to - from) / STEP).map(move |part| some_logs(conn, from + part * STEP, STEP))
}

fn some_logs(conn: &Connection, from: i64, step: i64) -> Result<Vec<summaries::Log>, ArchiveError> {
    let mut query =
        conn.prepare_cached("SELECT number, id FROM children WHERE number > ?1 AND number <= ?2")?;
    let mut rows = query.query([from, from + step])?;
    let mut logs = Vec::new();
    while let Some(row) = rows.next()? {
        let (number, child) = (row.get(0)?, ChildId::new(Uuid::from_bytes(row.get(1)?)));
        logs.push(summaries::Log { number, child, entries: reader::log_of(conn, number)?, fresh: true });
    }
    Ok(logs)
}
