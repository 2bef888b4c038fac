//! The key of the log and the hash of a row.

use super::{ACCESS_KEY_FILE, row::AccessEvent};
use crate::error::{ArchiveError, of_io};
use std::{
    fs::{self, File, OpenOptions},
    io::{ErrorKind, Read, Write},
    path::Path,
};

pub(super) type RowHash = [u8; 32];
pub(super) type KeyId = [u8; 8];

/// The key. Without it nobody can make a row that passes the check.
pub(super) struct AccessKey {
    bytes: [u8; 32],
    pub(super) id: KeyId,
}

impl AccessKey {
    fn of(bytes: [u8; 32]) -> Self {
        let derived = blake3::derive_key("plantigrade access log 1: which key", &bytes);
        let mut id = [0; 8];
        id.iter_mut().zip(derived).for_each(|(to, from)| *to = from);
        Self { bytes, id }
    }

    /// The key of a folder; `None` where there is none.
    pub(super) fn read(dir: &Path) -> Result<Option<Self>, ArchiveError> {
        let path = dir.join(ACCESS_KEY_FILE);
        let mut file = match File::open(&path) {
            Ok(file) => file,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(of_io(&error, &path)),
        };
        let mut bytes = [0; 32];
        file.read_exact(&mut bytes).map_err(|error| of_io(&error, &path))?;
        Ok(Some(Self::of(bytes)))
    }

    /// The key of a folder; a new one where there is none. Rows of an earlier key can then no longer be checked,
    /// and the check says so.
    pub(super) fn read_or_make(dir: &Path) -> Result<Self, ArchiveError> {
        if let Some(key) = Self::read(dir)? {
            return Ok(key);
        }
        let bytes: [u8; 32] = rand::random();
        write_key(&dir.join(ACCESS_KEY_FILE), &bytes)?;
        Ok(Self::of(bytes))
    }

    /// The hash of a row: BLAKE3, keyed, over every field with its length.
    pub(super) fn row(&self, previous: &RowHash, number: i64, event: &AccessEvent) -> RowHash {
        let mut bytes = Vec::with_capacity(256);
        bytes.extend_from_slice(b"plantigrade access log row 1");
        bytes.extend_from_slice(previous);
        bytes.extend_from_slice(&number.to_be_bytes());
        bytes.extend_from_slice(&event.at.seconds().to_be_bytes());
        let person = event.person.map(|person| *person.uuid().as_bytes());
        let child = event.child.map(|child| *child.uuid().as_bytes());
        for id in [person, child] {
            bytes.push(u8::from(id.is_some()));
            bytes.extend_from_slice(&id.unwrap_or_default());
        }
        bytes.extend_from_slice(&event.act.code().to_be_bytes());
        bytes.extend_from_slice(&event.outcome.code().to_be_bytes());
        for text in [&event.device, &event.what, &event.note] {
            bytes.extend_from_slice(&(text.len() as u64).to_be_bytes());
            bytes.extend_from_slice(text.as_bytes());
        }
        *blake3::keyed_hash(&self.bytes, &bytes).as_bytes()
    }
}

/// The hash before the first row.
pub(super) fn beginning() -> RowHash {
    *blake3::hash(b"plantigrade access log: beginning").as_bytes()
}

/// Copies the key into another folder, readable by the owner alone.
pub(super) fn copy_key(from: &Path, to: &Path) -> Result<(), ArchiveError> {
    match AccessKey::read(from)? {
        Some(key) => write_key(&to.join(ACCESS_KEY_FILE), &key.bytes),
        None => Ok(()),
    }
}

fn write_key(path: &Path, bytes: &[u8; 32]) -> Result<(), ArchiveError> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let written = options.open(path).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    written.map_err(|error| {
        // Half a key would be taken for one.
        if error.kind() != ErrorKind::AlreadyExists {
            let _ = fs::remove_file(path);
        }
        of_io(&error, path)
    })
}
