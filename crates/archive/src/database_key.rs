//! The key of encrypted files, and how a file without one begins.

use std::{fmt, sync::Arc};
use zeroize::Zeroizing;

/// The first bytes of a SQLite file that is not encrypted (sqlite.org/fileformat2.html, section 1.3.1).
pub(crate) const PLAIN_START: &[u8; 16] = b"SQLite format 3\0";

/// The key with which the files of the records are encrypted: 32 random bytes. Overwritten in memory when the last
/// clone is dropped; never shown.
#[derive(Clone)]
pub struct DatabaseKey(Arc<Zeroizing<[u8; 32]>>);

impl DatabaseKey {
    /// The key of these bytes.
    #[must_use]
    pub fn new(bytes: &[u8; 32]) -> Self {
        Self(Arc::new(Zeroizing::new(*bytes)))
    }

    /// The bytes, for the cipher alone.
    pub(crate) fn bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl PartialEq for DatabaseKey {
    fn eq(&self, other: &Self) -> bool {
        // Every byte is looked at, so that the time says nothing about where they differ.
        self.0.iter().zip(other.0.iter()).fold(0, |differ, (one, two)| differ | (one ^ two)) == 0
    }
}

impl Eq for DatabaseKey {}

impl fmt::Debug for DatabaseKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("DatabaseKey(…)")
    }
}
