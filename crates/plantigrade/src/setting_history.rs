//! The history of the clinic's settings: who changed what, when and why, one JSON object on each line of a file
//! beside the settings.
//!
//! It is a file and not part of the records because the settings are files: copied, restored or moved, they keep
//! their history, and it can be read without this program. Lines are only added. A value that was changed in its
//! file by hand is found by comparing the file with the last line about it, and gets a line without a name.

use crate::folder_key;
use data_encoding::BASE64;
use record::{Timestamp, UserId};
use safekeeping::{SealKey, open_sealed, seal};
use serde::{Deserialize, Serialize};
use std::{
    borrow::Cow,
    fs::{self, File},
    io::{Error, ErrorKind, Read, Result, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};

/// The list of checks in the data folder.
pub const CHECKS_FILE: &str = "checks.jsonl";
/// The list of copies in the data folder.
pub const COPIES_FILE: &str = "copies.jsonl";

/// One change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SettingChange {
    /// When; for a change in the file, when it was found.
    pub at: Timestamp,
    /// Who; `None` if the value was changed in its file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<UserId>,
    /// The name of the person at that time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The key of the setting.
    pub key: String,
    /// The value before, in words; empty for none.
    pub from: String,
    /// The value after, in words; empty for none.
    pub to: String,
    /// The value after as in the file; `None` if the file no longer sets it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<String>,
    /// The reason.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// The changes of a history, with the number of lines that could not be read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReadHistory {
    /// The changes in the order in which they were written.
    pub changes: Vec<SettingChange>,
    /// Lines that are damaged.
    pub unreadable: usize,
}

impl ReadHistory {
    /// The last change of a setting.
    #[must_use]
    pub fn last(&self, key: &str) -> Option<&SettingChange> {
        self.changes.iter().rev().find(|change| change.key == key)
    }

    /// How often a setting was changed.
    #[must_use]
    pub fn times(&self, key: &str) -> usize {
        self.changes.iter().filter(|change| change.key == key).count()
    }
}

/// The length of a history before lines were added, so that they can be taken back if the change fails.
#[derive(Debug, Clone, Copy)]
#[must_use]
pub struct HistoryMark(u64);

/// How the line of an encrypted history begins; base64 follows.
const SEALED: &str = "sealed ";

/// A history. In the folder of encrypted records each of its lines is encrypted by itself.
#[derive(Debug, Clone)]
pub struct SettingHistory {
    dir: PathBuf,
    name: String,
}

impl SettingHistory {
    /// The history in a file of the data folder.
    #[must_use]
    pub fn of(dir: &Path, name: &str) -> Self {
        Self { dir: dir.to_owned(), name: name.to_owned() }
    }

    fn file(&self) -> PathBuf {
        self.dir.join(&self.name)
    }

    /// Reads it; empty if there is none.
    ///
    /// # Errors
    /// When it is there and cannot be read.
    pub fn read(&self) -> Result<ReadHistory> {
        let bytes = match fs::read(self.file()) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(ReadHistory::default()),
            Err(error) => return Err(error),
        };
        let text = String::from_utf8_lossy(&bytes);
        let mut read = ReadHistory::default();
        let key = folder_key::seal_key(&self.dir)?;
        for line in text.lines().filter(|line| !line.trim().is_empty()) {
            let plain = plain_line(line, &self.name, key.as_ref());
            match plain.and_then(|plain| serde_json::from_str(&plain).ok()) {
                Some(change) => read.changes.push(change),
                None => read.unreadable += 1,
            }
        }
        Ok(read)
    }

    /// Adds changes. When this returns they are on the disk.
    ///
    /// # Errors
    /// When they cannot be written; none is then added.
    pub fn append(&self, changes: &[SettingChange]) -> Result<HistoryMark> {
        let mut file = clinic::private_options()
            .create(true)
            .truncate(false)
            .read(true)
            .write(true)
            .open(self.file())?;
        let before = file.seek(SeekFrom::End(0))?;
        let mut text = String::new();
        if !ends_with_a_line(&mut file, before)? {
            text.push('\n');
        }
        let key = folder_key::seal_key(&self.dir)?;
        for change in changes {
            text.push_str(&written_line(&serde_json::to_string(change)?, &self.name, key.as_ref())?);
            text.push('\n');
        }
        file.seek(SeekFrom::End(0))?;
        let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
        if let Err(error) = written {
            // What was written of it would be a damaged line.
            let _ = file.set_len(before);
            return Err(error);
        }
        Ok(HistoryMark(before))
    }

    /// Takes back what was added, because the change itself failed.
    ///
    /// # Errors
    /// When the disk fails.
    pub fn take_back(&self, mark: HistoryMark) -> Result<()> {
        let file = File::options().write(true).open(self.file())?;
        file.set_len(mark.0)?;
        file.sync_all()
    }
}

/// A line as it was before it was encrypted; `None` if it cannot be decrypted.
fn plain_line<'a>(line: &'a str, name: &str, key: Option<&SealKey>) -> Option<Cow<'a, str>> {
    let Some(sealed) = line.strip_prefix(SEALED) else { return Some(Cow::Borrowed(line)) };
    let bytes = BASE64.decode(sealed.trim().as_bytes()).ok()?;
    let plain = open_sealed(key?, name, &bytes).ok()?;
    String::from_utf8(plain.to_vec()).ok().map(Cow::Owned)
}

/// A line as it is written.
fn written_line(line: &str, name: &str, key: Option<&SealKey>) -> Result<String> {
    let Some(key) = key else { return Ok(line.to_owned()) };
    let sealed = seal(key, name, line.as_bytes()).map_err(Error::other)?;
    Ok(format!("{SEALED}{}", BASE64.encode(&sealed)))
}

/// A whole history as it is with another key. A line that cannot be read stays one that cannot.
///
/// # Errors
/// When the cipher fails.
pub fn with_key(bytes: &[u8], name: &str, old: Option<&SealKey>, new: &SealKey) -> Result<Vec<u8>> {
    let text = String::from_utf8_lossy(bytes);
    let mut written = String::new();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        let plain = plain_line(line, name, old).unwrap_or(Cow::Borrowed("unreadable"));
        written.push_str(&written_line(&plain, name, Some(new))?);
        written.push('\n');
    }
    Ok(written.into_bytes())
}

/// Whether the last line is complete: a line cut off by a power failure must not swallow the next.
fn ends_with_a_line(file: &mut File, length: u64) -> Result<bool> {
    if length == 0 {
        return Ok(true);
    }
    file.seek(SeekFrom::Start(length - 1))?;
    let mut last = [0];
    file.read_exact(&mut last)?;
    Ok(last == *b"\n")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn change(key: &str, to: &str) -> SettingChange {
        SettingChange {
            at: Timestamp::from_seconds(1_740_000_000),
            by: None,
            name: Some("Ida".into()),
            key: key.into(),
            from: String::new(),
            to: to.into(),
            value: Some(to.into()),
            why: None,
        }
    }

    #[test]
    fn lines_are_added_and_can_be_taken_back() {
        let dir = tempfile::tempdir().unwrap();
        let history = SettingHistory::of(dir.path(), "clinic.history.jsonl");
        assert_eq!(history.read().unwrap(), ReadHistory::default());
        let _ = history.append(&[change("name", "Hillside"), change("idle_minutes", "20")]).unwrap();
        let mark = history.append(&[change("name", "Harbour")]).unwrap();
        let read = history.read().unwrap();
        assert_eq!((read.changes.len(), read.times("name"), read.unreadable), (3, 2, 0));
        assert_eq!(read.last("name").unwrap().to, "Harbour");
        history.take_back(mark).unwrap();
        assert_eq!(history.read().unwrap().last("name").unwrap().to, "Hillside");
    }

    #[test]
    fn a_line_that_was_cut_off_is_counted_and_does_not_swallow_the_next() {
        let dir = tempfile::tempdir().unwrap();
        let history = SettingHistory::of(dir.path(), "clinic.history.jsonl");
        let _ = history.append(&[change("name", "Hillside")]).unwrap();
        let file = dir.path().join("clinic.history.jsonl");
        let whole = fs::read_to_string(&file).unwrap();
        fs::write(&file, format!("{whole}{}", &whole[..20])).unwrap();
        let _ = history.append(&[change("name", "Harbour")]).unwrap();
        let read = history.read().unwrap();
        assert_eq!((read.changes.len(), read.unreadable), (2, 1));
        assert_eq!(read.last("name").unwrap().to, "Harbour");
    }
}
