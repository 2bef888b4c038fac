//! Sessions that are locked, and the sessions of one device.

use crate::{
    accounts::{ACCOUNT, Account, Accounts, SESSION, Session, TokenHash, account, session, user},
    error::ArchiveError,
};
use record::{Timestamp, UserId};
use rusqlite::{OptionalExtension, params};

impl Accounts {
    /// Locks a session. It stays locked after a restart.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn lock_session(&self, token_hash: TokenHash, at: Timestamp) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql = "UPDATE sessions SET locked_at = ?2 WHERE token_hash = ?1 AND locked_at IS NULL";
            conn.prepare_cached(sql)?.execute(params![token_hash, at.seconds()])?;
            Ok(())
        })
    }

    /// Opens a locked session again, under another token if `under` gives one. Returns whether there was such a
    /// session.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn unlock_session(
        &self,
        token_hash: TokenHash,
        under: Option<TokenHash>,
        now: Timestamp,
    ) -> Result<bool, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql =
                "UPDATE sessions SET token_hash = ?2, locked_at = NULL, last_used = ?3 WHERE token_hash = ?1";
            let under = under.unwrap_or(token_hash);
            let changed = conn.prepare_cached(sql)?.execute(params![token_hash, under, now.seconds()])?;
            Ok(changed == 1)
        })
    }

    /// The sessions that began on a device with their accounts, the latest first. They may have expired: the caller
    /// compares the time.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sessions_at(&self, place: &TokenHash) -> Result<Vec<(Session, Account)>, ArchiveError> {
        self.0.read(|conn| {
            let mut query =
                conn.prepare_cached(&format!("{SESSION} WHERE place = ?1 ORDER BY created_at DESC"))?;
            let found: Vec<Session> = query.query_map([place], session)?.collect::<Result<_, _>>()?;
            let mut query = conn.prepare_cached(&format!("{ACCOUNT} WHERE id = ?1"))?;
            let mut sessions = Vec::with_capacity(found.len());
            for session in found {
                let who = query.query_row([session.user.uuid().as_bytes()], account).optional()?;
                sessions.extend(who.filter(|who| !who.disabled).map(|who| (session, who)));
            }
            Ok(sessions)
        })
    }

    /// Ends the sessions that a person began on a device, except for one.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn end_sessions_at(&self, id: UserId, place: TokenHash, keep: TokenHash) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            let sql = "DELETE FROM sessions WHERE user = ?1 AND place = ?2 AND token_hash <> ?3";
            conn.prepare_cached(sql)?.execute(params![id.uuid().as_bytes(), place, keep])?;
            Ok(())
        })
    }

    /// Whose form it is that carries a token: that of a session, or of one that has ended lately.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn person_of_form(&self, csrf_token: &str) -> Result<Option<UserId>, ArchiveError> {
        self.0.read(|conn| {
            let sql = "SELECT user FROM sessions WHERE csrf_token = ?1
                       UNION ALL SELECT user FROM ended_sessions WHERE csrf_token = ?1 LIMIT 1";
            let found: Option<[u8; 16]> =
                conn.prepare_cached(sql)?.query_row([csrf_token], |row| row.get(0)).optional()?;
            Ok(found.map(user))
        })
    }
}
