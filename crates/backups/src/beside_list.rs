//! A list that lies beside the backups, sealed with the key of the records: written whole under another name, flushed,
//! then renamed.

use crate::error::{BackupError, at, damaged};
use safekeeping::{RecordsKey, SafekeepingError, open_sealed, seal};
use serde::{Serialize, de::DeserializeOwned};
use std::{
    ffi::OsString,
    fs::{self, File, OpenOptions},
    io::{ErrorKind, Write},
    path::Path,
};

/// The name of a list of a clinic for backups with this key.
pub(crate) fn list_name(clinic: &str, key: &RecordsKey, end: &str) -> String {
    let name: String = key.name().chars().take(8).collect();
    format!("plantigrade-{clinic}-{name}{end}")
}

/// Reads a list that was sealed under this name; `None` where there is none.
pub(crate) fn read_list<T: DeserializeOwned>(
    path: &Path,
    key: &RecordsKey,
    sealed_as: &str,
) -> Result<Option<Vec<T>>, BackupError> {
    let sealed = match fs::read(path) {
        Ok(sealed) => sealed,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(at(path)(error)),
    };
    let text =
        open_sealed(&key.files(), sealed_as, &sealed).map_err(|error| damaged(path, error.to_string()))?;
    let list = serde_json::from_slice(&text).map_err(|error| damaged(path, error.to_string()))?;
    Ok(Some(list))
}

/// Writes a list whole. When this returns it is on the disk.
pub(crate) fn write_list<T: Serialize>(
    path: &Path,
    key: &RecordsKey,
    sealed_as: &str,
    list: &[T],
) -> Result<(), BackupError> {
    let failed = |error: serde_json::Error| SafekeepingError::Failed(error.to_string());
    let text = serde_json::to_vec(list).map_err(failed)?;
    let sealed = seal(&key.files(), sealed_as, &text)?;
    let mut part = OsString::from(path);
    part.push("-unfinished");
    let mut options = OpenOptions::new();
    options.create(true).truncate(true).write(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let written = options.open(&part).and_then(|mut file| {
        file.write_all(&sealed)?;
        file.sync_all()
    });
    written.and_then(|()| fs::rename(&part, path)).map_err(at(path))?;
    if let Some(folder) = path.parent().and_then(|folder| File::open(folder).ok()) {
        folder.sync_all().map_err(at(path))?;
    }
    Ok(())
}
