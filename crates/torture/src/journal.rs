//! What the preloaded library noted: every call that changed a file, in order, and what the child said between them.

use crate::{deed::DeedLine, outcome::TortureError};
use std::{fs, path::Path};

/// One call.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Call {
    /// A file was opened; it may have been made or emptied by that.
    Open {
        /// Its number in the process.
        fd: i32,
        /// Its path.
        path: String,
        /// Whether it was emptied.
        emptied: bool,
    },
    /// A folder was opened, to be flushed.
    OpenFolder {
        /// Its number in the process.
        fd: i32,
        /// Its path.
        path: String,
    },
    /// Bytes were written at a place.
    Write {
        /// The file.
        fd: i32,
        /// The place.
        at: u64,
        /// The bytes.
        bytes: Vec<u8>,
    },
    /// A file got another length.
    Truncate {
        /// The file.
        fd: i32,
        /// The new length.
        length: u64,
    },
    /// A file or folder was flushed.
    Flush(i32),
    /// A flush failed.
    FlushFailed(i32),
    /// A file was renamed.
    Rename(String, String),
    /// A file was removed.
    Remove(String),
    /// A folder was made.
    Folder(String),
    /// The child said something.
    Said(DeedLine),
    /// A call was failed.
    Failed,
    /// A file was closed.
    Close(i32),
}

/// Reads the notes. Notes that end in the middle, because the child was killed, are read up to there.
///
/// # Errors
/// When the file cannot be read, or is no such notes.
pub fn read(path: &Path) -> Result<Vec<Call>, TortureError> {
    let bytes = fs::read(path)?;
    let mut calls = Vec::new();
    let (mut rest, mut said) = (bytes.as_slice(), String::new());
    while let Some((head, after)) = rest.split_at_checked(17) {
        let (fd, a, length) = (number(head, 1), wide(head, 5), number(head, 13));
        let Some((data, after)) = after.split_at_checked(usize::try_from(length).unwrap_or(usize::MAX))
        else {
            break;
        };
        rest = after;
        let text = || String::from_utf8_lossy(data).into_owned();
        match head.first() {
            Some(b'p') => {
                said.push_str(&text());
                while let Some((line, more)) = said.split_once('\n') {
                    let line =
                        line.parse().map_err(|()| TortureError::Words(format!("the child said {line:?}")))?;
                    calls.push(Call::Said(line));
                    said = more.to_owned();
                }
            }
            Some(b'o') => calls.push(Call::Open { fd, path: text(), emptied: a & 2 != 0 }),
            Some(b'd') => calls.push(Call::OpenFolder { fd, path: text() }),
            Some(b'w') => calls.push(Call::Write { fd, at: a, bytes: data.to_vec() }),
            Some(b't') => calls.push(Call::Truncate { fd, length: a }),
            Some(b's') => calls.push(Call::Flush(fd)),
            Some(b'S') => calls.push(Call::FlushFailed(fd)),
            Some(b'u') => calls.push(Call::Remove(text())),
            Some(b'm') => calls.push(Call::Folder(text())),
            Some(b'c') => calls.push(Call::Close(fd)),
            Some(b'f') => calls.push(Call::Failed),
            Some(b'r') => {
                let both = text();
                let (from, to) = both.split_once('\n').unwrap_or_default();
                calls.push(Call::Rename(from.to_owned(), to.to_owned()));
            }
            other => return Err(TortureError::Words(format!("the notes have an unknown call {other:?}"))),
        }
    }
    Ok(calls)
}

// Numbers are as the computer has them, because the notes never leave it.
fn number(head: &[u8], at: usize) -> i32 {
    let bytes = head.get(at..at + 4).and_then(|bytes| bytes.try_into().ok()).unwrap_or_default();
    i32::from_ne_bytes(bytes)
}

fn wide(head: &[u8], at: usize) -> u64 {
    let bytes = head.get(at..at + 8).and_then(|bytes| bytes.try_into().ok()).unwrap_or_default();
    u64::from_ne_bytes(bytes)
}
