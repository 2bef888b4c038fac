//! The key of a data folder, once this process has unlocked it: everything that opens the records asks here.

use crate::{exit::Failure, unfinished};
use clinic::{ArchiveError, CAN_ENCRYPT, DatabaseKey};
use safekeeping::{KeySlots, RecordsKey, SLOTS_FILE, SafekeepingError, SealKey};
use std::{
    collections::BTreeMap,
    fs,
    io::{Error, ErrorKind, Result as IoResult},
    path::{Path, PathBuf},
    sync::{Mutex, PoisonError},
};

/// The keys by the whole paths of their folders.
static UNLOCKED: Mutex<BTreeMap<PathBuf, RecordsKey>> = Mutex::new(BTreeMap::new());

/// Whether the records in a folder are encrypted.
#[must_use]
pub fn is_encrypted(dir: &Path) -> bool {
    dir.join(SLOTS_FILE).exists()
}

/// The key slots of a folder; `None` where the records are not encrypted. A change of the files that was interrupted is
/// finished or taken back first.
///
/// # Errors
/// When they cannot be read, or this build cannot open encrypted records.
pub fn slots(dir: &Path) -> Result<Option<KeySlots>, Failure> {
    unfinished::settle(dir)?;
    let path = dir.join(SLOTS_FILE);
    let text = match fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(Failure::locked(format!("{} cannot be read: {error}.", path.display()))),
    };
    if !CAN_ENCRYPT {
        return Err(ArchiveError::NoCipher.into());
    }
    KeySlots::from_text(&text).map(Some).map_err(not_unlocked)
}

/// Remembers the key of a folder until this process ends.
pub fn remember(dir: &Path, key: RecordsKey) {
    unlocked().insert(whole(dir), key);
}

/// The key of a folder; `None` where the records are not encrypted.
///
/// # Errors
/// When they are encrypted and this process has not unlocked them.
pub fn key_of(dir: &Path) -> Result<Option<RecordsKey>, Failure> {
    if let Some(key) = remembered(dir) {
        return Ok(Some(key));
    }
    match slots(dir)? {
        None => Ok(None),
        Some(_) => Err(Failure::locked("The records are encrypted and were not unlocked.")),
    }
}

/// The key of the files of the records, as [`key_of`] has it.
///
/// # Errors
/// As [`key_of`].
pub fn database_key(dir: &Path) -> Result<Option<DatabaseKey>, Failure> {
    Ok(key_of(dir)?.as_ref().map(database_key_of))
}

/// The key of the files of the records that follows from the key of the records.
#[must_use]
pub fn database_key_of(key: &RecordsKey) -> DatabaseKey {
    DatabaseKey::new(&key.database())
}

/// The key with which single files in a folder are encrypted; `None` where the records are not.
///
/// # Errors
/// As [`key_of`].
pub fn seal_key(dir: &Path) -> IoResult<Option<SealKey>> {
    if let Some(key) = remembered(dir) {
        return Ok(Some(key.files()));
    }
    if !is_encrypted(dir) {
        return Ok(None);
    }
    Err(Error::new(ErrorKind::PermissionDenied, "the records are encrypted and were not unlocked"))
}

/// What is wrong with a key or the slots.
#[must_use]
pub fn not_unlocked(error: SafekeepingError) -> Failure {
    Failure::locked(error.to_string())
}

fn remembered(dir: &Path) -> Option<RecordsKey> {
    unlocked().get(&whole(dir)).cloned()
}

fn unlocked() -> std::sync::MutexGuard<'static, BTreeMap<PathBuf, RecordsKey>> {
    UNLOCKED.lock().unwrap_or_else(PoisonError::into_inner)
}

fn whole(dir: &Path) -> PathBuf {
    dir.canonicalize().or_else(|_| std::path::absolute(dir)).unwrap_or_else(|_| dir.to_owned())
}
