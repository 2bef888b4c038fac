//! The list of what was erased, beside the backups: backups still have what was erased after them, and whoever restores
//! one erases it again. The list names entries by their ids and is encrypted with the key of the records.

use crate::{
    beside_list::{list_name, read_list, write_list},
    error::BackupError,
};
use record::{EntryId, Timestamp, UserId};
use safekeeping::RecordsKey;
use serde::{Deserialize, Serialize};
use std::{
    fs,
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
    list_name(clinic, key, LIST_END)
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
    read_list(&folder.join(erasure_list_name(clinic, key)), key, SEALED_AS)
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
    write_list(&path, key, SEALED_AS, &list)?;
    Ok(path)
}
