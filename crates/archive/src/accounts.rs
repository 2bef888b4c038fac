//! Accounts, sessions, one-time links and settings: plain rows. Secrets arrive hashed.

use crate::{archive::Archive, error::ArchiveError, fold};
use record::{Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, Row, params};
use uuid::Uuid;

/// The hash of a token; the token itself is never stored.
pub type TokenHash = [u8; 32];

/// A person who can sign in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Account {
    /// The id, as in entries.
    pub id: UserId,
    /// The sign-in name; case and accents do not matter.
    pub name: String,
    /// The displayed name.
    pub display_name: String,
    /// The hash of the password, as text.
    pub password_hash: String,
    /// When it was created.
    pub created_at: Timestamp,
    /// Whether it is disabled: nobody can sign in with it.
    pub disabled: bool,
}

/// A session of a signed-in user.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    /// The hash of the token in the cookie.
    pub token_hash: TokenHash,
    /// The user.
    pub user: UserId,
    /// The token in forms, against forged requests.
    pub csrf_token: String,
    /// When it started.
    pub created_at: Timestamp,
    /// When it was last used, as last recorded.
    pub last_used: Timestamp,
    /// When it ends.
    pub expires: Timestamp,
}

/// A link that can be used once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// The hash of the token in the link.
    pub token_hash: TokenHash,
    /// What it allows, as defined by the caller.
    pub purpose: String,
    /// The user, if it is for a certain user.
    pub user: Option<UserId>,
    /// When it was created.
    pub created_at: Timestamp,
    /// When it expires.
    pub expires: Timestamp,
}

const ACCOUNT: &str = "SELECT id, name, display_name, password_hash, created_at, disabled FROM accounts";
const SESSION: &str = "SELECT token_hash, user, csrf_token, created_at, last_used, expires FROM sessions";

fn account(row: &Row<'_>) -> rusqlite::Result<Account> {
    Ok(Account {
        id: user(row.get(0)?),
        name: row.get(1)?,
        display_name: row.get(2)?,
        password_hash: row.get(3)?,
        created_at: Timestamp::from_seconds(row.get(4)?),
        disabled: row.get(5)?,
    })
}

fn session(row: &Row<'_>) -> rusqlite::Result<Session> {
    Ok(Session {
        token_hash: row.get(0)?,
        user: user(row.get(1)?),
        csrf_token: row.get(2)?,
        created_at: Timestamp::from_seconds(row.get(3)?),
        last_used: Timestamp::from_seconds(row.get(4)?),
        expires: Timestamp::from_seconds(row.get(5)?),
    })
}

const fn user(bytes: [u8; 16]) -> UserId {
    UserId::new(Uuid::from_bytes(bytes))
}

/// The accounts, sessions and one-time links of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct Accounts(Archive);

impl Archive {
    /// The accounts, sessions and one-time links.
    #[must_use]
    pub fn accounts(&self) -> Accounts {
        Accounts(self.clone())
    }
}

impl Accounts {
    /// Creates an account.
    ///
    /// # Errors
    /// [`ArchiveError::NameTaken`] when the name is in use; case and accents do not matter.
    pub fn create_account(&self, new: Account) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| insert_account(conn, &new))
    }

    /// Creates an account only if there is none yet, for the first start. Returns whether it did.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn create_first_account(&self, new: Account) -> Result<bool, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let none = !conn.prepare("SELECT 1 FROM accounts")?.exists([])?;
            if none {
                insert_account(conn, &new)?;
            }
            Ok(none)
        })
    }

    /// Every account, by name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn all(&self) -> Result<Vec<Account>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn.prepare_cached(&format!("{ACCOUNT} ORDER BY name_key"))?;
            Ok(query.query_map([], account)?.collect::<Result<_, _>>()?)
        })
    }

    /// The account of an id.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn account(&self, id: UserId) -> Result<Option<Account>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn.prepare_cached(&format!("{ACCOUNT} WHERE id = ?1"))?;
            Ok(query.query_row([id.uuid().as_bytes()], account).optional()?)
        })
    }

    /// The account of a sign-in name; case and accents do not matter.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn account_by_name(&self, name: &str) -> Result<Option<Account>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn.prepare_cached(&format!("{ACCOUNT} WHERE name_key = ?1"))?;
            Ok(query.query_row([fold::fold(name.trim())], account).optional()?)
        })
    }

    /// Sets a new password hash and ends the account's sessions.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account.
    pub fn set_password(&self, id: UserId, password_hash: String) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            change_account(conn, id, "password_hash", &password_hash)?;
            end_all(conn, id)
        })
    }

    /// Sets the displayed name.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account.
    pub fn set_display_name(&self, id: UserId, name: String) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| change_account(conn, id, "display_name", &name))
    }

    /// Disables an account, which ends its sessions, or enables it again.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account.
    pub fn set_disabled(&self, id: UserId, disabled: bool) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            change_account(conn, id, "disabled", &disabled)?;
            if disabled { end_all(conn, id) } else { Ok(()) }
        })
    }

    /// Starts a session.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account or it is disabled.
    pub fn start_session(&self, new: Session) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql = "INSERT INTO sessions SELECT ?1, id, ?3, ?4, ?5, ?6 FROM accounts WHERE id = ?2 AND NOT disabled";
            let changed = conn.prepare_cached(sql)?.execute(params![
                new.token_hash,
                new.user.uuid().as_bytes(),
                new.csrf_token,
                new.created_at.seconds(),
                new.last_used.seconds(),
                new.expires.seconds()
            ])?;
            if changed == 1 { Ok(()) } else { Err(ArchiveError::NoAccount) }
        })
    }

    /// The session of a token with its account. It may have expired: the caller compares the time.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn session(&self, token_hash: &TokenHash) -> Result<Option<(Session, Account)>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn.prepare_cached(&format!("{SESSION} WHERE token_hash = ?1"))?;
            let Some(found) = query.query_row([token_hash], session).optional()? else { return Ok(None) };
            let mut query = conn.prepare_cached(&format!("{ACCOUNT} WHERE id = ?1"))?;
            let who = query.query_row([found.user.uuid().as_bytes()], account).optional()?;
            Ok(who.map(|who| (found, who)))
        })
    }

    /// Records the last use of a session and its new end. This writes to disk, so it is not for every page.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn touch_session(
        &self,
        token_hash: TokenHash,
        last_used: Timestamp,
        expires: Timestamp,
    ) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql = "UPDATE sessions SET last_used = ?2, expires = ?3 WHERE token_hash = ?1";
            conn.prepare_cached(sql)?.execute(params![token_hash, last_used.seconds(), expires.seconds()])?;
            Ok(())
        })
    }

    /// Ends a session.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn end_session(&self, token_hash: TokenHash) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            conn.prepare_cached("DELETE FROM sessions WHERE token_hash = ?1")?.execute([token_hash])?;
            Ok(())
        })
    }

    /// Ends every session of an account.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn end_sessions_of(&self, id: UserId) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| end_all(conn, id))
    }

    /// Deletes sessions and links that expired before `now`. Returns how many.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn delete_expired(&self, now: Timestamp) -> Result<usize, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sessions = conn.execute("DELETE FROM sessions WHERE expires <= ?1", [now.seconds()])?;
            let links = conn.execute("DELETE FROM links WHERE expires <= ?1", [now.seconds()])?;
            Ok(sessions + links)
        })
    }

    /// Stores a one-time link.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn add_link(&self, link: Link) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let user = link.user.map(|user| *user.uuid().as_bytes());
            let (created, expires) = (link.created_at.seconds(), link.expires.seconds());
            conn.prepare_cached("INSERT INTO links VALUES (?1, ?2, ?3, ?4, ?5, NULL)")?.execute(params![
                link.token_hash,
                link.purpose,
                user,
                created,
                expires
            ])?;
            Ok(())
        })
    }

    /// The link of a token if it can still be used. It stays usable.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn link(&self, token_hash: &TokenHash, now: Timestamp) -> Result<Option<Link>, ArchiveError> {
        self.0.read(|conn| usable_link(conn, token_hash, now))
    }

    /// Uses a link. `None` when it is unknown, expired or used already: of two requests at once only one gets
    /// it.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn use_link(&self, token_hash: TokenHash, now: Timestamp) -> Result<Option<Link>, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let found = usable_link(conn, &token_hash, now)?;
            let sql = "UPDATE links SET used_at = ?2 WHERE token_hash = ?1 AND used_at IS NULL";
            conn.prepare_cached(sql)?.execute(params![token_hash, now.seconds()])?;
            Ok(found)
        })
    }
}

impl Archive {
    /// The value of a setting.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn setting(&self, key: &str) -> Result<Option<String>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached("SELECT value FROM settings WHERE key = ?1")?;
            Ok(query.query_row([key], |row| row.get(0)).optional()?)
        })
    }

    /// Saves a setting; `None` deletes it.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn set_setting(&self, key: &str, value: Option<String>) -> Result<(), ArchiveError> {
        let key = key.to_owned();
        self.writer()?.run(move |conn| {
            match value {
                Some(value) => {
                    conn.execute("INSERT OR REPLACE INTO settings VALUES (?1, ?2)", params![key, value])?
                }
                None => conn.execute("DELETE FROM settings WHERE key = ?1", [key])?,
            };
            Ok(())
        })
    }
}

fn insert_account(conn: &Connection, new: &Account) -> Result<(), ArchiveError> {
    let key = fold::fold(new.name.trim());
    if conn.prepare_cached("SELECT 1 FROM accounts WHERE name_key = ?1")?.exists([&key])? {
        return Err(ArchiveError::NameTaken(new.name.clone()));
    }
    conn.prepare_cached("INSERT INTO accounts VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)")?.execute(params![
        new.id.uuid().as_bytes(),
        new.name.trim(),
        key,
        new.display_name,
        new.password_hash,
        new.created_at.seconds(),
        new.disabled
    ])?;
    Ok(())
}

fn change_account(
    conn: &Connection,
    id: UserId,
    column: &'static str,
    value: &dyn rusqlite::ToSql,
) -> Result<(), ArchiveError> {
    let sql = format!("UPDATE accounts SET {column} = ?2 WHERE id = ?1");
    match conn.prepare_cached(&sql)?.execute(params![id.uuid().as_bytes(), value])? {
        1 => Ok(()),
        _ => Err(ArchiveError::NoAccount),
    }
}

fn end_all(conn: &Connection, id: UserId) -> Result<(), ArchiveError> {
    conn.prepare_cached("DELETE FROM sessions WHERE user = ?1")?.execute([id.uuid().as_bytes()])?;
    Ok(())
}

fn usable_link(
    conn: &Connection,
    token_hash: &TokenHash,
    now: Timestamp,
) -> Result<Option<Link>, ArchiveError> {
    let sql = "SELECT token_hash, purpose, user, created_at, expires FROM links
               WHERE token_hash = ?1 AND used_at IS NULL AND expires > ?2";
    let read = |row: &Row<'_>| {
        Ok(Link {
            token_hash: row.get(0)?,
            purpose: row.get(1)?,
            user: row.get::<_, Option<[u8; 16]>>(2)?.map(user),
            created_at: Timestamp::from_seconds(row.get(3)?),
            expires: Timestamp::from_seconds(row.get(4)?),
        })
    };
    Ok(conn.prepare_cached(sql)?.query_row(params![token_hash, now.seconds()], read).optional()?)
}
