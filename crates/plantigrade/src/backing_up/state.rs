//! Which folders are safe for backups, and what everybody is told where there is no recent backup.

use super::BackupEvents;
use crate::{backup_trouble::BackupTrouble, settings::Settings};
use clinic::{ArchiveError, ClinicRecords};
use record::Timestamp;
use std::path::{Path, PathBuf};

/// After so many seconds without a good backup everybody is told.
const TOLD_AFTER: i64 = 7 * 24 * 3600;

/// Whether everybody is to be told that there is no recent backup, or that a drill in one of the folders of the
/// settings failed.
///
/// # Errors
/// When the records cannot be read.
pub fn trouble(
    dir: &Path,
    records: &ClinicRecords,
    folders: &[PathBuf],
    now: Timestamp,
) -> Result<Option<BackupTrouble>, ArchiveError> {
    let old = |at: Timestamp| now.seconds().saturating_sub(at.seconds()) > TOLD_AFTER;
    let events = BackupEvents::read(dir).unwrap_or_default();
    if let Some(at) = events.failed_drill(folders) {
        return Ok(Some(BackupTrouble::DrillFailed(at)));
    }
    let last = events.last_good();
    match last {
        Some(at) => Ok(old(at).then_some(BackupTrouble::Old(at))),
        None => Ok(records.first_written_at()?.filter(|at| old(*at)).map(|_| BackupTrouble::Never)),
    }
}

/// A folder in which backups are safe, without links.
///
/// # Errors
/// One sentence, where they are not.
pub fn checked_folder(data: &Path, folder: &Path) -> Result<PathBuf, String> {
    if folder.as_os_str().is_empty() {
        return Err("Enter the folder, such as that of a stick or of another computer.".to_owned());
    }
    if !folder.is_absolute() {
        return Err("Enter the whole path of the folder, from the beginning.".to_owned());
    }
    let Ok(found) = folder.canonicalize() else {
        return Err(format!("{} is not there. If it is a disk or a stick, connect it.", folder.display()));
    };
    if !found.is_dir() {
        return Err("This is a file and not a folder.".to_owned());
    }
    if data.canonicalize().is_ok_and(|data| found.starts_with(data)) {
        return Err("This is the folder of the records: what is lost with it would take the backups along."
            .to_owned());
    }
    Ok(found)
}

/// Whether two folders are on the same disk; `None` where that cannot be told.
#[must_use]
pub fn same_disk(one: &Path, other: &Path) -> Option<bool> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let device = |path: &Path| std::fs::metadata(path).ok().map(|about| about.dev());
        Some(device(one)? == device(other)?)
    }
    #[cfg(not(unix))]
    {
        let _ = (one, other);
        None
    }
}

/// The folders of the settings that are there now.
#[must_use]
pub fn present_folders(dir: &Path, settings: &Settings) -> Vec<PathBuf> {
    let there = |folder: &&PathBuf| checked_folder(dir, folder).is_ok();
    settings.backups.folders.iter().filter(there).cloned().collect()
}
