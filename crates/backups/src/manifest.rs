//! The list of what is in a backup, encrypted with it.

use crate::piece_id::BackedUpPiece;
use record::{SiteId, Timestamp};
use serde::{Deserialize, Serialize};

/// A longer list is none of ours: a million pieces have one of 150 MB.
pub(crate) const LONGEST_LIST: u32 = 256 << 20;

/// What is in a backup.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// The hash of the first line of the file (BLAKE3, hexadecimal), which can be read without a key: with it the line
    /// is authenticated too.
    pub header: String,
    /// The version of the program that made it.
    pub program: String,
    /// When the copy of the records was begun.
    pub at: Timestamp,
    /// Whether the records file in it is itself encrypted with the key of the records.
    pub records_encrypted: bool,
    /// Entries, erased ones included.
    pub entries: usize,
    /// Children.
    pub children: usize,
    /// The first digits of the hash of the log.
    pub mark: String,
    /// The chain of every site.
    pub sites: Vec<BackedUpSite>,
    /// The head of the witness: its line and the first digits of its code; `None` for records without one.
    #[serde(default)]
    pub witness: Option<(u64, String)>,
    /// When the latest of the last entries was written.
    #[serde(default)]
    pub written: Option<Timestamp>,
    /// The files, in the order in which they follow.
    pub files: Vec<BackedUpFile>,
    /// The pieces that belong to it and lie in the folder beside it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pieces: Vec<BackedUpPiece>,
}

/// The chain of a site.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BackedUpSite {
    /// The site.
    pub site: SiteId,
    /// Its entries.
    pub entries: usize,
    /// The hash of the last one, hexadecimal.
    pub head: String,
}

/// A file in a backup.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BackedUpFile {
    /// Its name, of at most one folder and the file, with `/` between them.
    pub name: String,
    /// Its length.
    pub bytes: u64,
    /// Its hash (BLAKE3, hexadecimal).
    pub hash: String,
}

/// Whether a name is of one folder and a file, or of a file, in plain letters: a backup never writes anywhere else.
pub(crate) fn is_plain(name: &str) -> bool {
    let parts: Vec<&str> = name.split('/').collect();
    let plain = |part: &&str| {
        !part.is_empty()
            && !part.starts_with('.')
            && part.chars().all(|char| char.is_ascii_alphanumeric() || "._-".contains(char))
    };
    parts.len() <= 2 && parts.iter().all(plain)
}

#[cfg(test)]
mod tests {
    use super::is_plain;

    #[test]
    fn only_plain_names_are_written() {
        for name in ["records.sqlite", "sheet-maps/0a1b.toml", "clinic.history.jsonl"] {
            assert!(is_plain(name), "{name}");
        }
        for name in ["", "/etc/passwd", "../x", "a/../b", "a/b/c", "a\\b", ".hidden", "a/", "c:x", "a b"] {
            assert!(!is_plain(name), "{name}");
        }
    }
}
