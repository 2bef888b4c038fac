//! The list of families who took back their consent to photographs or to videos, beside the backups: a backup made before still has
//! the consent, and whoever restores one withholds them again. The list names children by their ids and is
//! encrypted with the key of the records.

use crate::{
    beside_list::{list_name, read_list, write_list},
    error::BackupError,
};
use record::{ChildId, ConsentMatter, Timestamp};
use safekeeping::RecordsKey;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// With this name the list is authenticated, wherever it lies.
const SEALED_AS: &str = "list of consents taken back";
const LIST_END: &str = ".withdrawals";

/// A consent to photographs or to videos that was taken back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct KnownWithdrawal {
    /// The child.
    pub child: ChildId,
    /// When that was written.
    pub at: Timestamp,
    /// To what it was. Lists of earlier programs know photographs only.
    #[serde(default = "photographs")]
    pub matter: ConsentMatter,
}

const fn photographs() -> ConsentMatter {
    ConsentMatter::Photographs
}

/// The name of the list of a clinic in a folder of backups, for backups with this key.
#[must_use]
pub fn withdrawal_list_name(clinic: &str, key: &RecordsKey) -> String {
    list_name(clinic, key, LIST_END)
}

/// The list in a folder; `None` where there is none.
///
/// # Errors
/// When it cannot be read, or is not of this clinic.
pub fn read_withdrawal_list(
    folder: &Path,
    clinic: &str,
    key: &RecordsKey,
) -> Result<Option<Vec<KnownWithdrawal>>, BackupError> {
    read_list(&folder.join(withdrawal_list_name(clinic, key)), key, SEALED_AS)
}

/// Writes the list whole. What an earlier list had stays in it; of two of one child and one matter the later counts. Nothing is
/// written where there is nothing to list. When this returns it is on the disk.
///
/// # Errors
/// When the disk fails, or there is a list that cannot be read; that is then as it was.
pub fn write_withdrawal_list(
    folder: &Path,
    clinic: &str,
    key: &RecordsKey,
    withdrawals: &[KnownWithdrawal],
) -> Result<Option<PathBuf>, BackupError> {
    let path = folder.join(withdrawal_list_name(clinic, key));
    let before = read_withdrawal_list(folder, clinic, key)?.unwrap_or_default();
    let mut list = before.clone();
    for new in withdrawals {
        match list.iter_mut().find(|old| (old.child, old.matter) == (new.child, new.matter)) {
            Some(old) => old.at = old.at.max(new.at),
            None => list.push(*new),
        }
    }
    if list == before {
        return Ok((!list.is_empty()).then_some(path));
    }
    write_list(&path, key, SEALED_AS, &list)?;
    Ok(Some(path))
}
