//! Writes entries: a few at a time, or very many at once for an import.

use crate::{
    archive::Archive,
    chain::{self, Hash, Salt},
    error::ArchiveError,
    generation::LogWatch,
    keys::Lists,
    reader,
    schema::WRITER_CACHE,
    summaries::{Log, pipeline, summarise_child, write_summaries},
    summary::Summarise,
};
use rayon::prelude::*;
use record::{ChildId, Entry, EntryId, SiteId};
use rusqlite::{Connection, OptionalExtension, params};
use std::{
    collections::{HashMap, HashSet},
    sync::mpsc,
};

/// Rows prepared at a time; limits the memory of an import in addition to its entries.
const ENTRIES_AT_A_TIME: usize = 8_192;
const CHILDREN_AT_A_TIME: usize = 2_048;
/// Page cache of the writer during an import, as SQLite takes it: negative means KiB.
const IMPORT_CACHE: i64 = -131_072;

/// The result of an append. The entries are on disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Receipt {
    /// The number of entries written.
    pub entries: usize,
    /// The children of these entries.
    pub children: Vec<ChildId>,
}

/// An entry prepared for writing.
struct Row {
    id: EntryId,
    child: ChildId,
    site: SiteId,
    wire: String,
    salt: Salt,
    content: Hash,
}

impl Row {
    fn of(entry: &Entry) -> Result<Self, ArchiveError> {
        let unreadable =
            |error: record::WireError| ArchiveError::Unreadable { entry: entry.id, why: error.to_string() };
        let wire = entry.to_json().map_err(unreadable)?;
        let salt: Salt = rand::random();
        let content = chain::content(&salt, &wire);
        Ok(Self { id: entry.id, child: entry.child, site: entry.site, wire, salt, content })
    }
}

impl Archive {
    /// Appends entries: all or none. When it returns they are on disk, with the summaries of their children.
    ///
    /// # Errors
    /// [`ArchiveError::Duplicate`] when an entry of that id exists already; otherwise when the disk fails.
    /// Nothing is then written.
    pub fn append(&self, entries: Vec<Entry>) -> Result<Receipt, ArchiveError> {
        let rows = entries.iter().map(Row::of).collect::<Result<Vec<_>, _>>()?;
        let summarising = self.summarising();
        self.writer()?.run(move |conn| insert(conn, &rows, &summarising.now()))
    }

    /// Appends entries that were planned from the records as of generation `planned_at`: all or none. Where one
    /// of their children was written about since, nothing is written, because the plan no longer fits.
    ///
    /// # Errors
    /// [`ArchiveError::ChangedMeanwhile`] where a child of the entries was written about since; otherwise as
    /// [`Archive::append`].
    pub fn append_planned(&self, entries: Vec<Entry>, planned_at: u64) -> Result<Receipt, ArchiveError> {
        let rows = entries.iter().map(Row::of).collect::<Result<Vec<_>, _>>()?;
        let (summarising, watch) = (self.summarising(), self.shared_watch());
        // Alone, because the watch does not know of another job that shares the commit.
        let answered = self.writer()?.begin_alone(move |conn| {
            let receipt = insert(conn, &rows, &summarising.now())?;
            unchanged_since(&watch, &receipt, planned_at)?;
            Ok(receipt)
        })?;
        answered.recv().unwrap_or(Err(ArchiveError::Closed))
    }

    /// Appends very many entries in one transaction: all or none. `progress` is called with the number of
    /// entries written so far; the summaries and the commit follow after the last call.
    ///
    /// # Errors
    /// As [`Archive::append`].
    pub fn append_many(
        &self,
        entries: Vec<Entry>,
        progress: &mut dyn FnMut(usize),
    ) -> Result<Receipt, ArchiveError> {
        self.append_alone(entries, progress, |_, _| Ok(()))
    }

    /// The same with something more to be written in the same transaction, which no other job shares.
    pub(crate) fn append_alone(
        &self,
        entries: Vec<Entry>,
        progress: &mut dyn FnMut(usize),
        more: impl FnOnce(&Connection, &Receipt) -> Result<(), ArchiveError> + Send + 'static,
    ) -> Result<Receipt, ArchiveError> {
        let (tell, told) = mpsc::channel();
        let summarising = self.summarising();
        let answered = self.writer()?.begin_alone(move |conn| {
            let receipt = import(conn, entries, &summarising.now(), &tell)?;
            more(conn, &receipt)?;
            Ok(receipt)
        })?;
        // Ends when the writer lets go of its end.
        for written in told {
            progress(written);
        }
        answered.recv().unwrap_or(Err(ArchiveError::Closed))
    }
}

fn insert(conn: &Connection, rows: &[Row], summarise: &Summarise) -> Result<Receipt, ArchiveError> {
    let mut into = Target::new(conn);
    into.insert(rows)?;
    let children: Vec<_> = into.touched.clone();
    let mut lists = Lists::default();
    for (number, child) in &children {
        summarise_child(conn, &mut lists, *number, *child, summarise)?;
    }
    into.finish(rows.len())
}

/// Refuses what was planned before one of its children was written about. To be asked by a job of the writing
/// thread that shares its transaction with no other: the thread brings the watch up to date after every commit.
pub(crate) fn unchanged_since(
    watch: &LogWatch,
    receipt: &Receipt,
    planned_at: u64,
) -> Result<(), ArchiveError> {
    let changed = receipt.children.iter().any(|child| watch.of_child(*child) > planned_at);
    if changed { Err(ArchiveError::ChangedMeanwhile) } else { Ok(()) }
}

fn import(
    conn: &Connection,
    entries: Vec<Entry>,
    summarise: &Summarise,
    tell: &mpsc::Sender<usize>,
) -> Result<Receipt, ArchiveError> {
    conn.pragma_update(None, "cache_size", IMPORT_CACHE)?;
    let done = import_all(conn, entries, summarise, tell);
    conn.pragma_update(None, "cache_size", WRITER_CACHE)?;
    conn.execute_batch("PRAGMA shrink_memory")?;
    done
}

fn import_all(
    conn: &Connection,
    entries: Vec<Entry>,
    summarise: &Summarise,
    tell: &mpsc::Sender<usize>,
) -> Result<Receipt, ArchiveError> {
    let mut into = Target::new(conn);
    let make_rows = |part: &[Entry]| part.par_iter().map(Row::of).collect::<Result<Vec<_>, _>>();
    let mut written = 0;
    pipeline(entries.chunks(ENTRIES_AT_A_TIME).map(Ok), make_rows, |rows| {
        into.insert(&rows)?;
        written += rows.len();
        let _ = tell.send(written);
        Ok(())
    })?;
    let children = std::mem::take(&mut into.touched);
    summarise_new(conn, entries, &children, &into.before, summarise)?;
    into.touched = children;
    into.finish(written)
}

/// Summaries of children whose log may be wholly in memory.
fn summarise_new(
    conn: &Connection,
    entries: Vec<Entry>,
    children: &[(i64, ChildId)],
    before: &HashSet<ChildId>,
    summarise: &Summarise,
) -> Result<(), ArchiveError> {
    let mut places: HashMap<ChildId, Vec<u32>> = HashMap::with_capacity(children.len());
    for (place, entry) in (0..).zip(&entries).filter(|(_, entry)| !before.contains(&entry.child)) {
        places.entry(entry.child).or_default().push(place);
    }
    // The entries are moved out one child after another: a second copy of them all would double the memory.
    let mut entries: Vec<Option<Entry>> = entries.into_iter().map(Some).collect();
    let mut take = |place: u32| entries.get_mut(place as usize).and_then(Option::take);
    let logs = children.chunks(CHILDREN_AT_A_TIME).map(|part| {
        let log = |&(number, child): &(i64, ChildId)| match places.remove(&child) {
            Some(of_child) => {
                let entries = of_child.into_iter().filter_map(&mut take).collect();
                Ok(Log { number, child, entries, fresh: true })
            }
            None => Ok(Log { number, child, entries: reader::log_of(conn, number)?, fresh: false }),
        };
        part.iter().map(log).collect::<Result<Vec<_>, ArchiveError>>()
    });
    write_summaries(conn, logs, summarise)
}

/// Where entries are being written: what one transaction knows of children and chains.
struct Target<'c> {
    conn: &'c Connection,
    children: HashMap<ChildId, i64>,
    touched: Vec<(i64, ChildId)>,
    /// Touched children that had entries before.
    before: HashSet<ChildId>,
    sites: HashMap<SiteId, Head>,
}

struct Head {
    number: i64,
    length: i64,
    hash: Hash,
}

impl<'c> Target<'c> {
    fn new(conn: &'c Connection) -> Self {
        let (children, touched, before, sites) = Default::default();
        Self { conn, children, touched, before, sites }
    }

    fn insert(&mut self, rows: &[Row]) -> Result<(), ArchiveError> {
        let mut insert = self.conn.prepare_cached(
            "INSERT INTO entries (id, child, site, sequence, wire, salt, content, hash)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )?;
        for row in rows {
            let child = self.child(row.child)?;
            let head = self.head(row.site)?;
            head.length += 1;
            head.hash = chain::link(&head.hash, row.id, row.child, &row.content);
            let id = row.id.uuid();
            insert
                .execute(params![
                    id.as_bytes(),
                    child,
                    head.number,
                    head.length,
                    row.wire,
                    row.salt,
                    row.content,
                    head.hash
                ])
                .map_err(|error| duplicate(error, row.id))?;
        }
        Ok(())
    }

    fn child(&mut self, id: ChildId) -> Result<i64, ArchiveError> {
        if let Some(number) = self.children.get(&id) {
            return Ok(*number);
        }
        let number = match reader::child_number(self.conn, id)? {
            Some(number) => {
                self.before.insert(id);
                number
            }
            None => {
                self.conn
                    .prepare_cached("INSERT INTO children (id) VALUES (?1)")?
                    .execute([id.uuid().as_bytes()])?;
                self.conn.last_insert_rowid()
            }
        };
        self.children.insert(id, number);
        self.touched.push((number, id));
        Ok(number)
    }

    fn head(&mut self, id: SiteId) -> Result<&mut Head, ArchiveError> {
        use std::collections::hash_map::Entry as Slot;
        match self.sites.entry(id) {
            Slot::Occupied(known) => Ok(known.into_mut()),
            Slot::Vacant(free) => Ok(free.insert(read_head(self.conn, id)?)),
        }
    }

    /// Writes the new heads of the chains.
    fn finish(self, entries: usize) -> Result<Receipt, ArchiveError> {
        let mut update =
            self.conn.prepare_cached("UPDATE sites SET length = ?2, head = ?3 WHERE number = ?1")?;
        for head in self.sites.values() {
            update.execute(params![head.number, head.length, head.hash])?;
        }
        Ok(Receipt { entries, children: self.touched.into_iter().map(|(_, child)| child).collect() })
    }
}

fn read_head(conn: &Connection, id: SiteId) -> Result<Head, ArchiveError> {
    let mut query = conn.prepare_cached("SELECT number, length, head FROM sites WHERE id = ?1")?;
    let read =
        |row: &rusqlite::Row<'_>| Ok(Head { number: row.get(0)?, length: row.get(1)?, hash: row.get(2)? });
    if let Some(head) = query.query_row([id.uuid().as_bytes()], read).optional()? {
        return Ok(head);
    }
    let hash = chain::beginning(id);
    conn.execute(
        "INSERT INTO sites (id, length, head) VALUES (?1, 0, ?2)",
        params![id.uuid().as_bytes(), hash],
    )?;
    Ok(Head { number: conn.last_insert_rowid(), length: 0, hash })
}

fn duplicate(error: rusqlite::Error, id: EntryId) -> ArchiveError {
    let unique = rusqlite::ffi::SQLITE_CONSTRAINT_UNIQUE;
    match error.sqlite_error() {
        Some(failure) if failure.extended_code == unique => ArchiveError::Duplicate(id),
        _ => error.into(),
    }
}
