//! The list of what was erased, beside the backups: backups still have what was erased after them, and whoever restores
//! one erases it again. The list names entries by their ids and is encrypted with the key of the records.

use crate::error::{BackupError, at, damaged};
use record::{EntryId, Timestamp, UserId};
use safekeeping::{RecordsKey, SafekeepingError, open_sealed, seal};
use serde::{Deserialize, Serialize};
use std::{
    fs::{self, File, OpenOptions},
    io::{ErrorKind, Write},
    path::{Path, PathBuf},
};

/// With this name the list is authenticated, wherever it lies.
const SEALED_AS: &str = "list of erasures";
const LIST_END: &str = ".erasures";

/// An erasure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KnownErasure {
    /// The entry.
    pub entry: EntryId,
    /// Who erased it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Why.
    pub reason: String,
}

/// The name of the list of a clinic in a folder of backups, for backups with this key: after a change of the key a new
/// list begins.
#[must_use]
pub fn erasure_list_name(clinic: &str, key: &RecordsKey) -> String {
    let name: String = key.name().chars().take(8).collect();
    format!("plantigrade-{clinic}-{name}{LIST_END}")
}

/// Whether there is a list of the clinic that was written with another key: it may name erasures that the list of this
/// key does not.
#[must_use]
pub fn has_other_erasure_list(folder: &Path, clinic: &str, key: &RecordsKey) -> bool {
    let (own, begin) = (erasure_list_name(clinic, key), format!("plantigrade-{clinic}-"));
    fs::read_dir(folder).into_iter().flatten().flatten().any(|found| {
        let name = found.file_name().to_string_lossy().into_owned();
        name.starts_with(&begin) && name.ends_with(LIST_END) && name != own
    })
}

/// The list in a folder; `None` where there is none.
///
/// # Errors
/// When it cannot be read, or is not of this clinic.
pub fn read_erasure_list(
    folder: &Path,
    clinic: &str,
    key: &RecordsKey,
) -> Result<Option<Vec<KnownErasure>>, BackupError> {
    let path = folder.join(erasure_list_name(clinic, key));
    let sealed = match fs::read(&path) {
        Ok(sealed) => sealed,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(at(&path)(error)),
    };
    let text =
        open_sealed(&key.files(), SEALED_AS, &sealed).map_err(|error| damaged(&path, error.to_string()))?;
    let list = serde_json::from_slice(&text).map_err(|error| damaged(&path, error.to_string()))?;
    Ok(Some(list))
}

/// Writes the list whole. What an earlier list had stays in it. When this returns it is on the disk.
///
/// # Errors
/// When the disk fails, or there is a list that cannot be read; that is then as it was.
pub fn write_erasure_list(
    folder: &Path,
    clinic: &str,
    key: &RecordsKey,
    erasures: &[KnownErasure],
) -> Result<PathBuf, BackupError> {
    let path = folder.join(erasure_list_name(clinic, key));
    let mut list = read_erasure_list(folder, clinic, key)?.unwrap_or_default();
    let new: Vec<KnownErasure> =
        erasures.iter().filter(|new| list.iter().all(|old| old.entry != new.entry)).cloned().collect();
    if new.is_empty() && path.exists() {
        return Ok(path);
    }
    list.extend(new);
    let failed = |error: serde_json::Error| SafekeepingError::Failed(error.to_string());
    let text = serde_json::to_vec(&list).map_err(failed)?;
    let sealed = seal(&key.files(), SEALED_AS, &text)?;
    let part = path.with_extension("erasures-unfinished");
    let mut options = OpenOptions::new();
    options.create(true).truncate(true).write(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let written = options.open(&part).and_then(|mut file| {
        file.write_all(&sealed)?;
        file.sync_all()
    });
    written.and_then(|()| fs::rename(&part, &path)).map_err(at(&path))?;
    if let Ok(folder) = File::open(folder) {
        folder.sync_all().map_err(at(&path))?;
    }
    Ok(path)
}
