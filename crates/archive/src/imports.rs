//! Imports: which entries came in together, so that they can be withdrawn together.
//!
//! An import is one transaction of one writer, so its entries are next to each other in the order of writing,
//! and two numbers say which they are.

use crate::{
    append::{Receipt, unchanged_since},
    archive::Archive,
    error::ArchiveError,
    reader::{child_number, entry_from},
};
use record::{ChildId, Entry, EntryId, ImportId, Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, Row, params};
use std::collections::HashSet;
use uuid::Uuid;

/// What is known of an import before it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewImport {
    /// Its id.
    pub id: ImportId,
    /// Name of the file.
    pub file: String,
    /// Who imported it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
}

/// An import that was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PastImport {
    /// Its id.
    pub id: ImportId,
    /// Name of the file.
    pub file: String,
    /// Who imported it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Entries that it brought.
    pub entries: usize,
    /// Children they are about.
    pub children: usize,
    /// How it was undone; `None` while it holds.
    pub undone: Option<UndoneImport>,
}

/// How an import was undone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UndoneImport {
    /// Who undid it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Why.
    pub reason: String,
    /// Entries withdrawn.
    pub withdrawn: usize,
    /// Entries kept, because something was recorded about them since.
    pub kept: usize,
}

const SELECT: &str = "SELECT i.id, i.file, i.by, i.at, i.last_place - i.first_place + 1, i.children,
    u.by, u.at, u.reason, u.withdrawn, u.kept
    FROM imports i LEFT JOIN undone_imports u ON u.import = i.id";

impl Archive {
    /// Appends the entries of an import in one transaction: all or none, and remembers that they belong
    /// together. `progress` is told how many entries are written so far. Without entries nothing is written.
    ///
    /// # Errors
    /// As [`Archive::append`].
    pub fn append_import(
        &self,
        entries: Vec<Entry>,
        about: NewImport,
        progress: &mut dyn FnMut(usize),
    ) -> Result<Receipt, ArchiveError> {
        if entries.is_empty() {
            return Ok(Receipt { entries: 0, children: Vec::new() });
        }
        self.append_alone(entries, progress, move |conn, receipt| remember(conn, &about, receipt))
    }

    /// Every import, the latest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn imports(&self) -> Result<Vec<PastImport>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare(&format!("{SELECT} ORDER BY i.first_place DESC"))?;
            let imports = query.query_map([], past_import)?;
            Ok(imports.collect::<Result<_, _>>()?)
        })
    }

    /// One import; `None` where there is none with this id.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn past_import(&self, id: ImportId) -> Result<Option<PastImport>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare(&format!("{SELECT} WHERE i.id = ?1"))?;
            Ok(query.query_row([id.uuid().as_bytes()], past_import).optional()?)
        })
    }

    /// The entries that an import brought, in the order written, without those erased since.
    ///
    /// # Errors
    /// When an entry cannot be read back as it was written, or the file is damaged.
    pub fn entries_of_import(&self, id: ImportId) -> Result<Vec<Entry>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare(
                "SELECT e.id, e.wire, e.salt, e.content FROM entries e JOIN imports i
                 ON e.place BETWEEN i.first_place AND i.last_place WHERE i.id = ?1 ORDER BY e.place",
            )?;
            let mut rows = query.query([id.uuid().as_bytes()])?;
            let mut entries = Vec::new();
            while let Some(row) = rows.next()? {
                entries.extend(entry_from(row, 0)?);
            }
            Ok(entries)
        })
    }

    /// The entries of a child that came in by imports that were undone since.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn undone_entries(&self, child: ChildId) -> Result<HashSet<EntryId>, ArchiveError> {
        self.read(|conn| {
            let Some(number) = child_number(conn, child)? else { return Ok(HashSet::new()) };
            let mut query = conn.prepare_cached(
                "SELECT e.id FROM entries e WHERE e.child = ?1 AND EXISTS (
                     SELECT 1 FROM undone_imports u JOIN imports i ON i.id = u.import
                     WHERE e.place BETWEEN i.first_place AND i.last_place)",
            )?;
            let ids = query.query_map([number], |row| Ok(EntryId::new(Uuid::from_bytes(row.get(0)?))))?;
            Ok(ids.collect::<Result<_, _>>()?)
        })
    }

    /// Appends the withdrawals that undo an import, in one transaction with the note that it was undone. They
    /// were planned from the records as of generation `planned_at`; where a child of the import was written
    /// about since, nothing is written, because what to keep must be decided again.
    ///
    /// # Errors
    /// [`ArchiveError::NoImport`] where there is no such import, [`ArchiveError::AlreadyUndone`] where it was
    /// undone before, [`ArchiveError::ChangedMeanwhile`] where its children were written about since,
    /// [`ArchiveError::NoReason`] without a reason; otherwise as [`Archive::append`]. Nothing is then written.
    pub fn undo_import(
        &self,
        id: ImportId,
        withdrawals: Vec<Entry>,
        how: UndoneImport,
        planned_at: u64,
        progress: &mut dyn FnMut(usize),
    ) -> Result<Receipt, ArchiveError> {
        if how.reason.trim().is_empty() {
            return Err(ArchiveError::NoReason);
        }
        let watch = self.shared_watch();
        self.append_alone(withdrawals, progress, move |conn, receipt| {
            note_undone(conn, id, &how)?;
            unchanged_since(&watch, receipt, planned_at)
        })
    }
}

/// Notes which entries the import brought: the last ones of the log.
fn remember(conn: &Connection, new: &NewImport, receipt: &Receipt) -> Result<(), ArchiveError> {
    let last: i64 = conn.query_row("SELECT max(place) FROM entries", [], |row| row.get(0))?;
    let count = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
    conn.execute(
        "INSERT INTO imports (id, file, by, at, first_place, last_place, children)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![
            new.id.uuid().as_bytes(),
            new.file,
            new.by.uuid().as_bytes(),
            new.at.seconds(),
            last - count(receipt.entries) + 1,
            last,
            count(receipt.children.len()),
        ],
    )?;
    Ok(())
}

fn note_undone(conn: &Connection, id: ImportId, how: &UndoneImport) -> Result<(), ArchiveError> {
    let key = id.uuid();
    let exists = |sql: &str| conn.prepare(sql)?.exists([key.as_bytes()]);
    if !exists("SELECT 1 FROM imports WHERE id = ?1")? {
        return Err(ArchiveError::NoImport(id));
    }
    if exists("SELECT 1 FROM undone_imports WHERE import = ?1")? {
        return Err(ArchiveError::AlreadyUndone(id));
    }
    let count = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
    conn.execute(
        "INSERT INTO undone_imports (import, by, at, reason, withdrawn, kept) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![
            key.as_bytes(),
            how.by.uuid().as_bytes(),
            how.at.seconds(),
            how.reason.trim(),
            count(how.withdrawn),
            count(how.kept),
        ],
    )?;
    Ok(())
}

fn past_import(row: &Row<'_>) -> rusqlite::Result<PastImport> {
    let number = |at: usize| row.get::<_, i64>(at).map(|number| usize::try_from(number).unwrap_or(0));
    let user = |at: usize| Ok::<_, rusqlite::Error>(UserId::new(Uuid::from_bytes(row.get(at)?)));
    let undone = match row.get::<_, Option<String>>(8)? {
        Some(reason) => Some(UndoneImport {
            by: user(6)?,
            at: Timestamp::from_seconds(row.get(7)?),
            reason,
            withdrawn: number(9)?,
            kept: number(10)?,
        }),
        None => None,
    };
    Ok(PastImport {
        id: ImportId::new(Uuid::from_bytes(row.get(0)?)),
        file: row.get(1)?,
        by: user(2)?,
        at: Timestamp::from_seconds(row.get(3)?),
        entries: number(4)?,
        children: number(5)?,
        undone,
    })
}
