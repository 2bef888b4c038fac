//! The layout of the records file: opening, numbered migrations, and the settings of connections.

use crate::{
    database_file::DatabaseFile,
    error::{ArchiveError, at_path, of_io},
    witness::flush_folder,
};
use rusqlite::{Connection, OptionalExtension, params};
use std::{
    path::{Path, PathBuf},
    time::Duration,
};

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
    ("practice", include_str!("migrations/014_practice.sql")),
];

pub(crate) const KNOWN: i64 = MIGRATIONS.len() as i64;

/// Page cache of the writer, as SQLite takes it: negative means KiB.
pub(crate) const WRITER_CACHE: i64 = -8_192;
const READER_CACHE: i64 = -4_096;
/// The size to which the write-ahead log of SQLite is cut after a large import.
const WAL_LIMIT_BYTES: i64 = 16 << 20;
/// Pages in the write-ahead log after which they are taken over into the main file, as many as the log may have: each
/// taking over costs two flushes and many scattered writes, and a save has some fifteen pages.
const CHECKPOINT_PAGES: i64 = WAL_LIMIT_BYTES / 4_096;
const CACHED_STATEMENTS: usize = 64;
/// How long is waited for another connection.
const WAIT: Duration = Duration::from_secs(10);

/// Opens for writing; creates and migrates if needed.
pub(crate) fn open_writer(file: &DatabaseFile) -> Result<Connection, ArchiveError> {
    let path = &file.path;
    refuse_empty(path)?;
    if !path.exists() {
        create(file)?;
    }
    let mut conn = file.connect_to_write()?;
    check_ours(&conn, path)?;
    prepare_writer(&conn).map_err(|error| at_path(error, path))?;
    migrate(&mut conn)?;
    Ok(conn)
}

/// Has SQLite undo a transaction that was interrupted while the file still had a rollback journal, as a copy has at
/// its first opening: a connection that only reads could not.
pub(crate) fn finish_interrupted(file: &DatabaseFile) -> Result<(), ArchiveError> {
    let path = &file.path;
    if !path.exists() || !beside(path, "-journal").exists() {
        return Ok(());
    }
    check_ours(&file.connect_to_write()?, path)
}

/// A file of the same name with another ending.
pub(crate) fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(end);
    path.with_file_name(name)
}

/// Makes the file under another name, whole and flushed, and then renames it: whenever the program is stopped, there
/// is either no records file or one with which it can start. What an earlier attempt left is written over.
fn create(file: &DatabaseFile) -> Result<(), ArchiveError> {
    let path = &file.path;
    if std::fs::metadata(beside(path, "-wal")).is_ok_and(|found| found.len() > 0) {
        return Err(ArchiveError::NoMainFile(path.clone()));
    }
    let new = beside(path, ".new");
    for left in ["", "-journal", "-wal", "-shm"].map(|end| beside(&new, end)) {
        match std::fs::remove_file(&left) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => return Err(of_io(&error, &left)),
            _ => {}
        }
    }
    let mut conn = file.at(&new).connect_or_make()?;
    conn.pragma_update(None, "journal_mode", "WAL")?;
    conn.pragma_update(None, "synchronous", "FULL")?;
    migrate(&mut conn)?;
    // Closing would do this too, but says nothing where it fails, and the file is renamed without its log.
    if !empty_log(&conn, &new)? {
        return Err(ArchiveError::Database("the new records file is being read by another program".into()));
    }
    conn.close().map_err(|(_, error)| at_path(error, &new))?;
    let flushed = std::fs::File::options().write(true).open(&new).and_then(|file| file.sync_all());
    flushed.and_then(|()| std::fs::rename(&new, path)).map_err(|error| of_io(&error, path))?;
    path.parent().map_or(Ok(()), flush_folder).map_err(|error| of_io(&error, path))
}

/// Takes everything over from the write-ahead log into the main file and empties the log, once, also on the disk.
/// Returns whether that was possible: it is not while somebody reads.
pub(crate) fn empty_log(conn: &Connection, path: &Path) -> Result<bool, ArchiveError> {
    let busy: i64 = conn.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))?;
    if busy != 0 {
        return Ok(false);
    }
    let mut log = path.file_name().unwrap_or_default().to_owned();
    log.push("-wal");
    let log = path.with_file_name(log);
    // SQLite cuts the log and does not flush that: after a loss of power the old pages could be there again.
    match std::fs::File::options().write(true).open(&log).and_then(|log| log.sync_all()) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(of_io(&error, &log)),
        _ => Ok(true),
    }
}

/// Notes in the header of the file, in the transaction of the caller, whether words of something erased may remain in
/// it. SQLite overwrites what is deleted, but not what is left behind where rows move to another page.
pub(crate) fn note_words_remain(conn: &Connection, remain: bool) -> rusqlite::Result<()> {
    conn.pragma_update(None, "user_version", i32::from(remain))
}

/// Writes the whole file anew and empties the write-ahead log, so that nothing erased remains in either. Returns
/// whether that was possible: the log cannot be emptied while somebody reads.
pub(crate) fn write_anew(conn: &Connection, path: &Path) -> Result<bool, ArchiveError> {
    conn.execute_batch("VACUUM")?;
    let emptied = empty_log(conn, path)?;
    if emptied {
        note_words_remain(conn, false)?;
    }
    Ok(emptied)
}

/// Removes what an erasure left that was interrupted, and what is left in the log after a crash. What cannot be done
/// now, because of the disk or because somebody reads, is done at the next start.
pub(crate) fn tidy(conn: &Connection, path: &Path) {
    let remain = conn.pragma_query_value(None, "user_version", |row| row.get::<_, i32>(0));
    let _ = match remain {
        Ok(1) => write_anew(conn, path),
        _ => empty_log_if_free(conn, path),
    };
}

/// Empties the log without waiting for whoever reads.
fn empty_log_if_free(conn: &Connection, path: &Path) -> Result<bool, ArchiveError> {
    conn.busy_timeout(Duration::ZERO)?;
    let emptied = empty_log(conn, path);
    conn.busy_timeout(WAIT)?;
    emptied
}

fn prepare_writer(conn: &Connection) -> rusqlite::Result<()> {
    conn.busy_timeout(WAIT)?;
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
    conn.pragma_update(None, "wal_autocheckpoint", CHECKPOINT_PAGES)?;
    conn.execute_batch(crate::tally::CHANGES)?;
    conn.set_prepared_statement_cache_capacity(CACHED_STATEMENTS);
    Ok(())
}

/// Opens for reading; never creates, never migrates.
pub(crate) fn open_reader(file: &DatabaseFile) -> Result<Connection, ArchiveError> {
    refuse_empty(&file.path)?;
    let conn = file.connect_to_read()?;
    prepare_reader(&conn).map_err(|error| at_path(error, &file.path))?;
    Ok(conn)
}

fn prepare_reader(conn: &Connection) -> rusqlite::Result<()> {
    conn.busy_timeout(WAIT)?;
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
