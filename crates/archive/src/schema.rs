//! The layout of the records file: opening, numbered migrations, and the settings of connections.

use crate::{
    error::{ArchiveError, at_path, of_io},
    witness::flush_folder,
};
use rusqlite::{Connection, OpenFlags, OptionalExtension, params};
use std::path::Path;

/// The name of the records file within its folder.
pub const FILE_NAME: &str = "records.sqlite";

/// Marks a SQLite file as a records file ("PlGr" in its header), so that no other database is taken for one.
const APPLICATION_ID: i64 = 0x506c_4772;

const MIGRATIONS: &[(&str, &str)] = &[
    ("log", include_str!("migrations/001_log.sql")),
    ("summaries", include_str!("migrations/002_summaries.sql")),
    ("accounts", include_str!("migrations/003_accounts.sql")),
    ("marks", include_str!("migrations/004_marks.sql")),
    ("until", include_str!("migrations/005_until.sql")),
    ("imports", include_str!("migrations/006_imports.sql")),
    ("carers", include_str!("migrations/007_carers.sql")),
    ("roles", include_str!("migrations/008_roles.sql")),
    ("devices", include_str!("migrations/009_devices.sql")),
    ("shared tablet", include_str!("migrations/010_shared_tablet.sql")),
    ("second factors", include_str!("migrations/011_second_factors.sql")),
    ("protection", include_str!("migrations/012_protection.sql")),
    ("witness", include_str!("migrations/013_witness.sql")),
];

pub(crate) const KNOWN: i64 = MIGRATIONS.len() as i64;

/// Page cache of the writer, as SQLite takes it: negative means KiB.
pub(crate) const WRITER_CACHE: i64 = -8_192;
const READER_CACHE: i64 = -4_096;
/// The size to which the write-ahead log of SQLite is cut after a large import.
const WAL_LIMIT_BYTES: i64 = 16 << 20;
const CACHED_STATEMENTS: usize = 64;

/// Opens for writing; creates and migrates if needed.
pub(crate) fn open_writer(path: &Path) -> Result<Connection, ArchiveError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    refuse_empty(path)?;
    if !path.exists() {
        create(path)?;
    }
    let mut conn = Connection::open_with_flags(path, flags).map_err(|error| at_path(error, path))?;
    check_ours(&conn, path)?;
    prepare_writer(&conn).map_err(|error| at_path(error, path))?;
    migrate(&mut conn)?;
    Ok(conn)
}

/// Has SQLite undo a transaction that was interrupted while the file still had a rollback journal, as a copy has at
/// its first opening: a connection that only reads could not.
pub(crate) fn finish_interrupted(path: &Path) -> Result<(), ArchiveError> {
    let mut journal = path.file_name().unwrap_or_default().to_owned();
    journal.push("-journal");
    if !path.exists() || !path.with_file_name(journal).exists() {
        return Ok(());
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags).map_err(|error| at_path(error, path))?;
    check_ours(&conn, path)
}

/// Makes the file under another name, whole and flushed, and then renames it: whenever the program is stopped, there
/// is either no records file or one with which it can start. What an earlier attempt left is written over.
fn create(path: &Path) -> Result<(), ArchiveError> {
    let beside = |end: &str| {
        let mut name = path.file_name().unwrap_or_default().to_owned();
        name.push(end);
        path.with_file_name(name)
    };
    if std::fs::metadata(beside("-wal")).is_ok_and(|found| found.len() > 0) {
        return Err(ArchiveError::NoMainFile(path.into()));
    }
    let new = beside(".new");
    for left in [&new, &beside(".new-journal"), &beside(".new-wal"), &beside(".new-shm")] {
        match std::fs::remove_file(left) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => return Err(of_io(&error, left)),
            _ => {}
        }
    }
    let mut conn = Connection::open(&new).map_err(|error| at_path(error, &new))?;
    conn.pragma_update(None, "journal_mode", "WAL")?;
    conn.pragma_update(None, "synchronous", "FULL")?;
    migrate(&mut conn)?;
    conn.close().map_err(|(_, error)| at_path(error, &new))?;
    let flushed = std::fs::File::options().write(true).open(&new).and_then(|file| file.sync_all());
    flushed.and_then(|()| std::fs::rename(&new, path)).map_err(|error| of_io(&error, path))?;
    path.parent().map_or(Ok(()), flush_folder).map_err(|error| of_io(&error, path))
}

fn prepare_writer(conn: &Connection) -> rusqlite::Result<()> {
    conn.busy_timeout(std::time::Duration::from_secs(10))?;
    conn.pragma_update(None, "journal_mode", "WAL")?;
    conn.pragma_update(None, "synchronous", "FULL")?;
    // A true flush on macOS; ignored elsewhere.
    conn.pragma_update(None, "fullfsync", true)?;
    conn.pragma_update(None, "checkpoint_fullfsync", true)?;
    conn.pragma_update(None, "foreign_keys", true)?;
    // Replaced and erased data is overwritten with zeros, so that no copy of a name remains.
    conn.pragma_update(None, "secure_delete", true)?;
    conn.pragma_update(None, "cache_size", WRITER_CACHE)?;
    conn.pragma_update(None, "journal_size_limit", WAL_LIMIT_BYTES)?;
    conn.execute_batch(crate::tally::CHANGES)?;
    conn.set_prepared_statement_cache_capacity(CACHED_STATEMENTS);
    Ok(())
}

/// Opens for reading; never creates, never migrates.
pub(crate) fn open_reader(path: &Path) -> Result<Connection, ArchiveError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    refuse_empty(path)?;
    let conn = Connection::open_with_flags(path, flags).map_err(|error| at_path(error, path))?;
    prepare_reader(&conn).map_err(|error| at_path(error, path))?;
    Ok(conn)
}

fn prepare_reader(conn: &Connection) -> rusqlite::Result<()> {
    conn.busy_timeout(std::time::Duration::from_secs(10))?;
    conn.pragma_update(None, "cache_size", READER_CACHE)?;
    conn.pragma_update(None, "query_only", true)?;
    conn.set_prepared_statement_cache_capacity(CACHED_STATEMENTS);
    Ok(())
}

/// Refuses an empty file: SQLite would take it for a new one, and a clinic that lost its records would open as
/// an empty clinic.
fn refuse_empty(path: &Path) -> Result<(), ArchiveError> {
    match std::fs::metadata(path) {
        Ok(found) if found.is_file() && found.len() == 0 => Err(ArchiveError::EmptyFile(path.into())),
        _ => Ok(()),
    }
}

/// Refuses a file that is not a records file, before anything is changed in it.
pub(crate) fn check_ours(conn: &Connection, path: &Path) -> Result<(), ArchiveError> {
    let id = conn.pragma_query_value(None, "application_id", |row| row.get::<_, i64>(0));
    if id.map_err(|error| at_path(error, path))? == APPLICATION_ID {
        return Ok(());
    }
    let tables = conn.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0));
    match tables.map_err(|error| at_path(error, path))? {
        0 => Ok(()),
        _ => Err(ArchiveError::NotRecords(path.into())),
    }
}

/// Refuses a layout other than the latest.
pub(crate) fn check_layout(conn: &Connection, path: &Path) -> Result<(), ArchiveError> {
    match layout(conn)? {
        0 => Err(ArchiveError::NoRecords(path.into())),
        found if found > KNOWN => Err(ArchiveError::Newer { found, known: KNOWN }),
        found if found < KNOWN => Err(ArchiveError::Older),
        _ => Ok(()),
    }
}

pub(crate) fn layout(conn: &Connection) -> Result<i64, ArchiveError> {
    let table = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'migrations'";
    if conn.query_row(table, [], |_| Ok(())).optional()?.is_none() {
        return Ok(0);
    }
    let sql = "SELECT count(*), coalesce(max(number), 0) FROM migrations";
    let (count, last) = conn.query_row(sql, [], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?)))?;
    // Every program numbers its migrations from 1 without gaps.
    if count == last { Ok(last) } else { Err(ArchiveError::Damaged("its list of layouts has gaps".into())) }
}

fn migrate(conn: &mut Connection) -> Result<(), ArchiveError> {
    let found = layout(conn)?;
    if found > KNOWN {
        return Err(ArchiveError::Newer { found, known: KNOWN });
    }
    if found == KNOWN {
        return Ok(());
    }
    let change = conn.transaction()?;
    change.pragma_update(None, "application_id", APPLICATION_ID)?;
    change.execute_batch(
        "CREATE TABLE IF NOT EXISTS migrations
         (number INTEGER PRIMARY KEY, name TEXT NOT NULL, applied_at TEXT NOT NULL) STRICT;",
    )?;
    for (number, (name, sql)) in (1_i64..).zip(MIGRATIONS).skip(usize::try_from(found).unwrap_or(0)) {
        change.execute_batch(sql)?;
        change.execute(
            "INSERT INTO migrations VALUES (?1, ?2, strftime('%Y-%m-%dT%H:%M:%SZ', 'now'))",
            params![number, name],
        )?;
    }
    Ok(change.commit()?)
}
