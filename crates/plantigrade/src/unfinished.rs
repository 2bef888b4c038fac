//! A change of all files of a data folder (`rewriting`) that was interrupted: finished, or taken back.

use crate::{exit::Failure, kept_file::sync_folder};
use clinic::{ACCESS_FILE, FILE_NAME, PICTURES_FILE, RecordsLock};
use std::{
    fs::{self, File},
    io::{self, ErrorKind, Write},
    path::{Path, PathBuf},
};

/// The folder of new files that are not complete yet.
pub const BEGUN: &str = "encryption.new";
/// The folder of new files that are complete and have to be put in place.
pub const DECIDED: &str = "encryption.ready";
/// The SQLite files of a folder of records.
const DATABASES: [&str; 3] = [FILE_NAME, ACCESS_FILE, PICTURES_FILE];
/// What belongs to a SQLite file while it is open, or is left of it.
const SIDECARS: [&str; 3] = ["-wal", "-shm", "-journal"];

/// Finishes what was decided and takes back what was not, after the program was ended in the middle.
///
/// # Errors
/// When another process is at it, or a file cannot be written.
pub fn settle(dir: &Path) -> Result<(), Failure> {
    if !dir.join(BEGUN).exists() && !dir.join(DECIDED).exists() {
        return Ok(());
    }
    let _lock = RecordsLock::take(dir)?;
    settle_locked(dir)
}

/// The same under a lock that the caller has.
///
/// # Errors
/// When a file cannot be written.
pub fn settle_locked(dir: &Path) -> Result<(), Failure> {
    let finished = match (dir.join(DECIDED).exists(), dir.join(BEGUN).exists()) {
        (true, _) => finish(dir),
        (false, true) => fs::remove_dir_all(dir.join(BEGUN)),
        (false, false) => Ok(()),
    };
    finished.map_err(|error| {
        Failure::failed(format!(
            "The encryption of the records was interrupted and could not be finished: {error}. Make room on the disk and start again; nothing is lost."
        ))
    })
}

/// What a SQLite file of the records leaves while it is open or is being made.
#[must_use]
pub fn is_remnant(name: &str) -> bool {
    DATABASES.iter().any(|file| {
        name.strip_prefix(file)
            .is_some_and(|end| SIDECARS.contains(&end) || end.starts_with(".new") || end == ".part")
    })
}

/// Puts the new files in the place of the old ones, which are overwritten first. May be done again after it was ended
/// anywhere.
///
/// # Errors
/// When a file cannot be written.
pub fn finish(dir: &Path) -> io::Result<()> {
    let decided = dir.join(DECIDED);
    for entry in fs::read_dir(dir)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        // Only while the new file is not in place: afterwards it is that file's own.
        let waits = |file: &str| name.starts_with(file) && decided.join(file).exists();
        if is_remnant(&name) && DATABASES.into_iter().any(waits) {
            overwrite(&entry.path())?;
            fs::remove_file(entry.path())?;
        }
    }
    put_in_place(&decided, dir)?;
    fs::remove_dir(&decided)?;
    sync_folder(dir)
}

fn put_in_place(from: &Path, to: &Path) -> io::Result<()> {
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let target: PathBuf = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            fs::create_dir_all(&target)?;
            put_in_place(&entry.path(), &target)?;
            fs::remove_dir(entry.path())?;
            continue;
        }
        overwrite(&target)?;
        fs::rename(entry.path(), &target)?;
    }
    sync_folder(to)
}

/// Overwrites a file with zeros, on the disk; nothing where there is none. What disks and file systems keep of earlier
/// contents elsewhere is not in the hand of a program.
fn overwrite(path: &Path) -> io::Result<()> {
    let mut file = match File::options().write(true).open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(error),
    };
    let mut left = file.metadata()?.len();
    let zeros = vec![0; 1 << 20];
    while left > 0 {
        let now = left.min(1 << 20);
        file.write_all(zeros.get(..usize::try_from(now).unwrap_or(0)).unwrap_or_default())?;
        left -= now;
    }
    file.sync_all()
}
