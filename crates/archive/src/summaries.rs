//! Computes summaries from logs and writes them: one at a time, or very many in parallel.

use crate::{
    error::ArchiveError,
    keys::{self, Lists, Prepared},
    reader,
    summary::Summarise,
};
use rayon::prelude::*;
use record::{ChildId, Entry};
use rusqlite::Connection;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// A child with its log.
pub(crate) struct Log {
    pub number: i64,
    pub child: ChildId,
    pub entries: Vec<Entry>,
    /// Whether the file has no summary of the child yet.
    pub fresh: bool,
}

/// Computes summaries in parallel, and writes those of one part while those of the next are computed.
pub(crate) fn write_summaries(
    conn: &Connection,
    logs: impl Iterator<Item = Result<Vec<Log>, ArchiveError>>,
    summarise: &Summarise,
) -> Result<(), ArchiveError> {
    let prepare = |logs: Vec<Log>| {
        let one = |log: Log| {
            let summary = compute(log.child, &log.entries, summarise)?;
            Ok((log.number, log.fresh, summary))
        };
        logs.into_par_iter().map(one).collect::<Result<Vec<_>, ArchiveError>>()
    };
    let mut lists = Lists::default();
    pipeline(logs, prepare, |ready| {
        ready.into_iter().try_for_each(|(number, fresh, summary)| match summary {
            Some(summary) if fresh => keys::put_new(conn, &mut lists, number, summary),
            Some(summary) => keys::put(conn, &mut lists, number, summary),
            None => keys::remove(conn, number),
        })
    })?;
    lists.write(conn)
}

/// Runs `prepare` for the next part on another thread while `write` runs for this one.
pub(crate) fn pipeline<In: Send, Out: Send>(
    parts: impl Iterator<Item = Result<In, ArchiveError>>,
    prepare: impl Fn(In) -> Result<Out, ArchiveError> + Sync,
    mut write: impl FnMut(Out) -> Result<(), ArchiveError>,
) -> Result<(), ArchiveError> {
    let mut ready: Option<Out> = None;
    for part in parts {
        let part = part?;
        let current = ready.take();
        let next = std::thread::scope(|scope| {
            let next = scope.spawn(|| prepare(part));
            let written = current.map_or(Ok(()), &mut write);
            let next = next.join().unwrap_or(Err(ArchiveError::Closed));
            written.and(next)
        })?;
        ready = Some(next);
    }
    ready.map_or(Ok(()), write)
}

/// The summary of a child's log, ready to be written; `None` when the log is empty or the child is in no list.
pub(crate) fn compute(
    child: ChildId,
    log: &[Entry],
    summarise: &Summarise,
) -> Result<Option<Prepared>, ArchiveError> {
    if log.is_empty() {
        return Ok(None);
    }
    let summary =
        catch_unwind(AssertUnwindSafe(|| summarise(log))).map_err(|_| ArchiveError::Summary(child))?;
    // A summary filed under another child would lead to the wrong child.
    if summary.child != child {
        return Err(ArchiveError::Summary(child));
    }
    if !summary.listed {
        return Ok(None);
    }
    Prepared::of(&summary).map(Some)
}

/// Computes and writes the summary of one child from its present log.
pub(crate) fn summarise_child(
    conn: &Connection,
    lists: &mut Lists,
    number: i64,
    child: ChildId,
    summarise: &Summarise,
) -> Result<(), ArchiveError> {
    let log = reader::log_of(conn, number)?;
    match compute(child, &log, summarise)? {
        Some(summary) => keys::put(conn, lists, number, summary)?,
        None => keys::remove(conn, number)?,
    }
    lists.write(conn)
}
