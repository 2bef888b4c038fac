//! The language in which a person reads pages: a setting of its own for each account, so that it is covered by the seal.

use crate::{accounts::Accounts, error::ArchiveError};
use record::UserId;
use rusqlite::params;

impl Accounts {
    /// The tag of the language in which a person reads pages; `None` where the person chose none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn page_language(&self, id: UserId) -> Result<Option<String>, ArchiveError> {
        self.0.setting(&key(id))
    }

    /// Sets the tag of the language in which a person reads pages. Whoever remembers a session reads it again.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account.
    pub fn set_page_language(&self, id: UserId, tag: String) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            let known = "SELECT 1 FROM accounts WHERE id = ?1";
            if !conn.prepare_cached(known)?.exists([id.uuid().as_bytes()])? {
                return Err(ArchiveError::NoAccount);
            }
            let sql = "INSERT OR REPLACE INTO settings VALUES (?1, ?2)";
            conn.prepare_cached(sql)?.execute(params![key(id), tag])?;
            Ok(())
        })
    }
}

fn key(id: UserId) -> String {
    format!("page language of {}", id.uuid().hyphenated())
}
