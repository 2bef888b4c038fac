//! The backups in a folder.

use crate::{
    error::{BackupError, at},
    header::BACKUP_END,
    read::BackupFile,
};
use std::{fs, path::Path};

/// A file in a folder of backups that has the name of one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundBackup {
    /// The backup, or why it is none.
    pub file: Result<BackupFile, BackupError>,
    /// Its length.
    pub bytes: u64,
}

/// The backups of one clinic in a folder, or of all where no clinic is named, the newest first. Files with the name of a
/// backup that are none come last.
///
/// # Errors
/// When the folder is away or cannot be read.
pub fn list(folder: &Path, clinic: Option<&str>) -> Result<Vec<FoundBackup>, BackupError> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).map_err(at(folder))? {
        let path = entry.map_err(at(folder))?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let ours = clinic.is_none_or(|clinic| name.starts_with(&format!("plantigrade-{clinic}-")));
        if !ours || !name.starts_with("plantigrade-") || !name.ends_with(BACKUP_END) {
            continue;
        }
        let bytes = fs::metadata(&path).map_or(0, |about| about.len());
        let file = BackupFile::open(&path);
        let other = |file: &BackupFile| clinic.is_some_and(|clinic| file.header.clinic != clinic);
        if !file.as_ref().is_ok_and(other) {
            found.push(FoundBackup { file, bytes });
        }
    }
    let moment = |found: &FoundBackup| found.file.as_ref().ok().map(|file| file.header.at);
    found.sort_by_key(|found| std::cmp::Reverse(moment(found)));
    Ok(found)
}
