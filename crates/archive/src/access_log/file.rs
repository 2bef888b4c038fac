//! The file of the log: opening it and adding rows. Several programs may add rows: the server and a command beside it.

use super::{
    ACCESS_FILE, AccessHead,
    hash::{AccessKey, RowHash, beginning},
    row::{AccessAct, AccessEvent, AccessOutcome, AccessRow},
};
use crate::{
    database_file::DatabaseFile,
    database_key::DatabaseKey,
    error::{ArchiveError, at_path},
};
use record::{ChildId, Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, params};
use std::{path::Path, time::Duration};
use uuid::Uuid;

const LAYOUT: &str = "
    CREATE TABLE IF NOT EXISTS access (
        number  INTEGER PRIMARY KEY,
        at      INTEGER NOT NULL,
        person  BLOB CHECK (length(person) = 16),
        device  TEXT NOT NULL,
        child   BLOB CHECK (length(child) = 16),
        act     INTEGER NOT NULL,
        what    TEXT NOT NULL,
        outcome INTEGER NOT NULL,
        note    TEXT NOT NULL,
        key     BLOB NOT NULL CHECK (length(key) = 8),
        hash    BLOB NOT NULL CHECK (length(hash) = 32)
    ) STRICT;
    CREATE INDEX IF NOT EXISTS access_of_child ON access (child, number) WHERE child IS NOT NULL;
    CREATE INDEX IF NOT EXISTS access_of_person ON access (person, number);";

/// How long to wait for another program that adds rows.
const BUSY: Duration = Duration::from_secs(5);

/// The columns of a row in the order in which [`row_of`] reads them.
pub(super) const COLUMNS: &str = "number, at, person, device, child, act, what, outcome, note";

/// The log, opened to add rows.
pub(super) struct LogFile {
    conn: Connection,
    key: AccessKey,
}

impl LogFile {
    /// Opens the log of a folder; creates it and its key if there are none.
    pub(super) fn open(dir: &Path, key: Option<&DatabaseKey>) -> Result<Self, ArchiveError> {
        let file = DatabaseFile::new(dir.join(ACCESS_FILE), key);
        let conn = file.connect_or_make()?;
        let (path, key) = (file.path, AccessKey::read_or_make(dir)?);
        let prepare = || {
            conn.busy_timeout(BUSY)?;
            conn.pragma_update(None, "journal_mode", "WAL")?;
            conn.pragma_update(None, "synchronous", "FULL")?;
            conn.execute_batch(LAYOUT)
        };
        prepare().map_err(|error| at_path(error, &path))?;
        Ok(Self { conn, key })
    }

    /// Adds rows in one transaction, and returns the number of rows and the last hash.
    pub(super) fn append(&mut self, events: &[AccessEvent]) -> Result<AccessHead, ArchiveError> {
        let change = self.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut head = head_of(&change)?.unwrap_or(AccessHead { rows: 0, hash: beginning() });
        {
            let mut insert = change.prepare_cached(
                "INSERT INTO access (number, at, person, device, child, act, what, outcome, note, key, hash)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
            )?;
            for event in events {
                let number = head.rows + 1;
                let hash = self.key.row(&head.hash, number, event);
                insert.execute(params![
                    number,
                    event.at.seconds(),
                    event.person.map(|person| *person.uuid().as_bytes()),
                    event.device,
                    event.child.map(|child| *child.uuid().as_bytes()),
                    event.act.code(),
                    event.what,
                    event.outcome.code(),
                    event.note,
                    self.key.id,
                    hash,
                ])?;
                head = AccessHead { rows: number, hash };
            }
        }
        change.commit()?;
        Ok(head)
    }

    /// The time of the last row, and what is to be noted of it; `None` where there is none.
    pub(super) fn last(&self) -> Result<Option<(Timestamp, AccessHead)>, ArchiveError> {
        let sql = "SELECT at, number, hash FROM access ORDER BY number DESC LIMIT 1";
        let last = self.conn.query_row(sql, [], |row| {
            let head = AccessHead { rows: row.get(1)?, hash: row.get(2)? };
            Ok((Timestamp::from_seconds(row.get(0)?), head))
        });
        Ok(last.optional()?)
    }

    /// What is missing since a head was noted, in words; `None` if the log goes on from there.
    pub(super) fn missing_since(&self, noted: Option<AccessHead>) -> Result<Option<String>, ArchiveError> {
        let Some(noted) = noted else { return Ok(None) };
        let there = head_of(&self.conn)?.map_or(0, |head| head.rows);
        if there < noted.rows {
            return Ok(Some(format!(
                "When the program started, the access log had {there} rows, and {} had been noted: rows were removed from its end.",
                noted.rows
            )));
        }
        Ok((hash_at(&self.conn, noted.rows)? != Some(noted.hash)).then(|| {
            format!("When the program started, row {} of the access log was not the one noted.", noted.rows)
        }))
    }
}

/// Opens the log for reading; `None` where there is none.
pub(super) fn open_for_reading(
    dir: &Path,
    key: Option<&DatabaseKey>,
) -> Result<Option<Connection>, ArchiveError> {
    let file = DatabaseFile::new(dir.join(ACCESS_FILE), key);
    if !file.path.is_file() {
        return Ok(None);
    }
    let conn = file.connect_to_read()?;
    conn.busy_timeout(BUSY)?;
    Ok(Some(conn))
}

fn head_of(conn: &Connection) -> rusqlite::Result<Option<AccessHead>> {
    conn.prepare_cached("SELECT number, hash FROM access ORDER BY number DESC LIMIT 1")?
        .query_row([], |row| Ok(AccessHead { rows: row.get(0)?, hash: row.get(1)? }))
        .optional()
}

/// The hash of a row.
pub(super) fn hash_at(conn: &Connection, number: i64) -> rusqlite::Result<Option<RowHash>> {
    conn.prepare_cached("SELECT hash FROM access WHERE number = ?1")?
        .query_row([number], |row| row.get(0))
        .optional()
}

/// The row of [`COLUMNS`]; `None` where an act or outcome is none of this program.
pub(super) fn row_of(row: &Row<'_>) -> rusqlite::Result<Option<AccessRow>> {
    let id = |column| row.get::<_, Option<[u8; 16]>>(column).map(|id| id.map(Uuid::from_bytes));
    let (Some(act), Some(outcome)) = (AccessAct::of_code(row.get(5)?), AccessOutcome::of_code(row.get(7)?))
    else {
        return Ok(None);
    };
    let event = AccessEvent {
        at: Timestamp::from_seconds(row.get(1)?),
        person: id(2)?.map(UserId::new),
        device: row.get(3)?,
        child: id(4)?.map(ChildId::new),
        act,
        what: row.get(6)?,
        outcome,
        note: row.get(8)?,
    };
    Ok(Some(AccessRow { number: row.get(0)?, event }))
}
