//! The copy that is made before records of an earlier layout are brought up to date, and taking that back.
//!
//! The copy lies beside the records, named by the layout to which they were brought. There is one: the next upgrade
//! replaces it. It is deleted when something is erased, because it would still have that.

use crate::{
    database_file::DatabaseFile,
    error::{ArchiveError, of_io},
    finding::Testimony,
    lock::RecordsLock,
    options::Options,
    schema,
    seal::{self, Seal},
    whole_copy::copy_whole,
    witness::{self, LineKind, WitnessLog, WitnessPlace, flush_folder},
};
use record::Timestamp;
use rusqlite::Connection;
use std::{
    fs,
    io::ErrorKind,
    path::{Path, PathBuf},
};

const BEFORE: &str = "records.sqlite.before-layout-";
const AFTER: &str = "records.sqlite.after-layout-";

/// An upgrade that was taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenBackUpgrade {
    /// The layout that the records have again.
    pub layout: i64,
    /// Entries in them.
    pub entries: usize,
    /// Where the records that were brought up to date are now.
    pub aside: PathBuf,
}

/// Copies records of an earlier layout, before they are brought up to date. Does nothing for others.
pub(crate) fn copy_before(file: &DatabaseFile) -> Result<(), ArchiveError> {
    let path = &file.path;
    if !path.exists() {
        return Ok(());
    }
    let conn = schema::open_reader(file)?;
    schema::check_ours(&conn, path)?;
    let found = schema::layout(&conn)?;
    if found == 0 || found >= schema::KNOWN {
        return Ok(());
    }
    let copy = path.with_file_name(format!("{BEFORE}{:03}", schema::KNOWN));
    conn.execute_batch("BEGIN")?;
    match fs::remove_file(&copy) {
        Err(error) if error.kind() != ErrorKind::NotFound => return Err(of_io(&error, &copy)),
        _ => {}
    }
    copy_whole(&conn, &file.at(&copy))?;
    remove_copies(path.parent().unwrap_or(Path::new(".")), Some(&copy))
}

/// Deletes the copies in a folder, except one.
pub(crate) fn remove_copies(dir: &Path, except: Option<&Path>) -> Result<(), ArchiveError> {
    let listed = fs::read_dir(dir).map_err(|error| of_io(&error, dir))?;
    for found in listed {
        let path = found.map_err(|error| of_io(&error, dir))?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let is_copy = name.starts_with(BEFORE) || name.starts_with(AFTER);
        if is_copy && except != Some(path.as_path()) {
            match fs::remove_file(&path) {
                Err(error) if error.kind() != ErrorKind::NotFound => return Err(of_io(&error, &path)),
                _ => {}
            }
        }
    }
    Ok(())
}

/// Puts back the records as they were before they were brought up to date, if nothing was saved since. The records
/// that were brought up to date stay beside them under another name, until the next upgrade.
///
/// # Errors
/// [`ArchiveError::NoUpgrade`] where there is no copy, [`ArchiveError::SavedSinceUpgrade`] where something would be
/// lost; [`ArchiveError::InUse`] while the program runs; otherwise when the disk fails.
pub fn take_back_upgrade(
    dir: &Path,
    options: &Options,
    at: Timestamp,
) -> Result<TakenBackUpgrade, ArchiveError> {
    let file = options.file_in(dir);
    let path = file.path.clone();
    if !path.is_file() {
        return Err(ArchiveError::NoRecords(dir.into()));
    }
    let _lock = RecordsLock::take(dir)?;
    let conn = schema::open_reader(&file)?;
    schema::check_ours(&conn, &path)?;
    let present = schema::layout(&conn)?;
    let copy = dir.join(format!("{BEFORE}{present:03}"));
    if !copy.is_file() {
        return Err(ArchiveError::NoUpgrade(dir.into()));
    }
    let (new, old) = (seal::log_state(&conn)?, with_old(&file.at(&copy), seal::log_state)?);
    if new.0 > old.0 {
        return Err(ArchiveError::SavedSinceUpgrade(usize::try_from(new.0 - old.0).unwrap_or(0)));
    }
    if new != old || with_old(&file.at(&copy), |copy| Ok(seal::differs_in(copy, &conn)))?.is_some() {
        return Err(ArchiveError::SavedSinceUpgrade(0));
    }
    drop(conn);
    let ready = dir.join("records.sqlite.taken-back");
    let layout = make_ready(&copy, &file.at(&ready), options.witness.as_ref(), at)?;
    let aside = dir.join(format!("{AFTER}{present:03}"));
    // The write-ahead log belongs to the file that is put aside.
    let conn = schema::open_writer(&file)?;
    conn.pragma_update(None, "journal_mode", "DELETE")?;
    conn.close().map_err(|(_, error)| error)?;
    // The name of the records is never without a file: a start would make an empty clinic.
    let _ = fs::remove_file(&aside);
    fs::hard_link(&path, &aside)
        .or_else(|_| fs::copy(&path, &aside).map(|_| ()))
        .map_err(|error| of_io(&error, &aside))?;
    fs::rename(&ready, &path).map_err(|error| of_io(&error, &path))?;
    flush_folder(dir).map_err(|error| of_io(&error, dir))?;
    Ok(TakenBackUpgrade { layout, entries: usize::try_from(old.0).unwrap_or(0), aside })
}

fn with_old<T>(
    copy: &DatabaseFile,
    read: impl FnOnce(&Connection) -> Result<T, ArchiveError>,
) -> Result<T, ArchiveError> {
    let conn = schema::open_reader(copy)?;
    schema::check_ours(&conn, &copy.path)?;
    read(&conn)
}

/// The copy with a seal that the witness knows, so that the earlier program is not alarmed. A program from before the
/// witness knows none: the log of the witness is then put aside.
fn make_ready(
    copy: &Path,
    ready: &DatabaseFile,
    place: Option<&WitnessPlace>,
    at: Timestamp,
) -> Result<i64, ArchiveError> {
    let (ready, conn) = {
        let path = &ready.path;
        let _ = fs::remove_file(path);
        fs::copy(copy, path).map_err(|error| of_io(&error, path))?;
        (path, ready.connect_to_write()?)
    };
    let layout = schema::layout(&conn)?;
    let sealed = Seal::read(&conn)?;
    let known = place.map(|place| Ok::<_, ArchiveError>((place, place.read_key()?))).transpose()?;
    if let Some((place, Some(key))) = known {
        let lines = Testimony::read(place)?.compare(&conn, place)?.lines;
        let number = lines.iter().map(|line| line.seal.number).max().unwrap_or(0) + 1;
        match sealed {
            Some(earlier) => {
                let change = conn.unchecked_transaction()?;
                let sql =
                    "INSERT INTO decisions (what, by, at, reason, about, place) VALUES ('restored', NULL, ?1,
                           'The upgrade was taken back.', 'The records are those from before the upgrade.',
                           (SELECT coalesce(max(place), 0) FROM entries))";
                change.execute(sql, [at.seconds()])?;
                let new = seal::seal_as(&change, &key, number, None, earlier.form)?;
                change.commit()?;
                let mut log = WitnessLog::new(place, key);
                log.add(LineKind::Accepted, &new).map_err(|error| {
                    ArchiveError::Witness(format!("the witness cannot be written: {}", log.warning(&error)))
                })?;
            }
            None => witness::put_aside(place, number)?,
        }
    }
    conn.close().map_err(|(_, error)| error)?;
    let flushed = fs::File::options().write(true).open(ready).and_then(|file| file.sync_all());
    flushed.map_err(|error| of_io(&error, ready))?;
    Ok(layout)
}
