//! Copies of a whole SQLite file, which have their name only once they are whole and on the disk.

use crate::{database_file::DatabaseFile, error::ArchiveError, error::of_io};
use rusqlite::{Connection, backup::Backup};
use std::{
    fs::{self, File},
    path::{Path, PathBuf},
    time::Duration,
};

/// Pages copied between two pauses; the pauses leave the disk to other work.
const PAGES_AT_A_TIME: i32 = 2_048;
const PAUSE: Duration = Duration::from_millis(1);

fn part_name(to: &Path) -> PathBuf {
    let mut name = to.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    to.with_file_name(name)
}

/// Copies what a connection has open into a new file, which has its name only once it is whole and on the disk.
pub(crate) fn copy_whole(from: &Connection, to: &DatabaseFile) -> Result<(), ArchiveError> {
    let part = to.at(part_name(&to.path));
    let done = copy(from, &part).and_then(|()| settle(&part.path, &to.path));
    if done.is_err() {
        let _ = fs::remove_file(&part.path);
    }
    done
}

fn copy(from: &Connection, part: &DatabaseFile) -> Result<(), ArchiveError> {
    let _ = fs::remove_file(&part.path);
    let mut copy = part.connect_or_make()?;
    // Begins the reading: what is saved from now on is not in the copy, and never makes it begin anew.
    from.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()))?;
    Backup::new(from, &mut copy)?.run_to_completion(PAGES_AT_A_TIME, PAUSE, None)?;
    // The copy is one file, without a write-ahead log.
    copy.pragma_update(None, "journal_mode", "DELETE")?;
    let result: String = copy.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    if result == "ok" { Ok(()) } else { Err(ArchiveError::Damaged(result)) }
}

/// Flushes a file and gives it its name.
pub(crate) fn settle(part: &Path, to: &Path) -> Result<(), ArchiveError> {
    let file = File::options().write(true).open(part).map_err(|error| of_io(&error, part))?;
    file.sync_all().map_err(|error| of_io(&error, part))?;
    drop(file);
    fs::rename(part, to).map_err(|error| of_io(&error, to))?;
    // Makes the new name durable on systems where a folder can be flushed.
    if let Some(dir) = to.parent().and_then(|dir| File::open(dir).ok()) {
        let _ = dir.sync_all();
    }
    Ok(())
}
