//! Accounts, sessions, one-time links and settings: plain rows. Secrets arrive hashed.

use crate::{archive::Archive, error::ArchiveError, fold};
use record::{Role, Roles, Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, Row, params};
use std::sync::atomic::Ordering;
use uuid::Uuid;

/// The hash of a token; the token itself is never stored.
pub type TokenHash = [u8; 32];

/// For how long it is remembered whose an ended session was, so that a form filled in it can be given back to its
/// person.
pub const FORMS_KNOWN_SECONDS: i64 = 30 * 86_400;

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
    /// What the person is at the clinic.
    pub roles: Roles,
    /// Until when a one-time password is valid, which its owner must replace; `None` for an own password.
    pub one_time_until: Option<Timestamp>,
    /// When the person last signed in; saved by [`Accounts::start_session`].
    pub last_sign_in: Option<Timestamp>,
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
    /// Since when it is locked; `None` while it is open.
    pub locked_at: Option<Timestamp>,
    /// The device on which it began, as a hash; `None` where the device is not known.
    pub place: Option<TokenHash>,
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

pub(crate) const ACCOUNT: &str =
    "SELECT id, name, display_name, password_hash, created_at, disabled, one_time_until,
    last_sign_in, (SELECT group_concat(role) FROM account_roles WHERE account = id) FROM accounts";
pub(crate) const SESSION: &str =
    "SELECT token_hash, user, csrf_token, created_at, last_used, expires, locked_at, place
    FROM sessions";

pub(crate) fn account(row: &Row<'_>) -> rusqlite::Result<Account> {
    Ok(Account {
        id: user(row.get(0)?),
        name: row.get(1)?,
        display_name: row.get(2)?,
        password_hash: row.get(3)?,
        created_at: Timestamp::from_seconds(row.get(4)?),
        disabled: row.get(5)?,
        one_time_until: row.get::<_, Option<i64>>(6)?.map(Timestamp::from_seconds),
        last_sign_in: row.get::<_, Option<i64>>(7)?.map(Timestamp::from_seconds),
        roles: roles(row.get::<_, Option<String>>(8)?.as_deref().unwrap_or_default()),
    })
}

/// The roles of a list of keys. A role that this program does not know brings no right.
fn roles(keys: &str) -> Roles {
    keys.split(',').filter_map(Role::from_key).collect()
}

pub(crate) fn session(row: &Row<'_>) -> rusqlite::Result<Session> {
    Ok(Session {
        token_hash: row.get(0)?,
        user: user(row.get(1)?),
        csrf_token: row.get(2)?,
        created_at: Timestamp::from_seconds(row.get(3)?),
        last_used: Timestamp::from_seconds(row.get(4)?),
        expires: Timestamp::from_seconds(row.get(5)?),
        locked_at: row.get::<_, Option<i64>>(6)?.map(Timestamp::from_seconds),
        place: row.get(7)?,
    })
}

pub(crate) const fn user(bytes: [u8; 16]) -> UserId {
    UserId::new(Uuid::from_bytes(bytes))
}

/// The form of a sign-in name by which its account is found, however it is typed: without case, accents and width.
#[must_use]
pub fn sign_in_key(name: &str) -> String {
    fold::fold(name.trim())
}

/// The accounts, sessions and one-time links of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct Accounts(pub(crate) Archive);

impl Archive {
    /// The accounts, sessions and one-time links.
    #[must_use]
    pub fn accounts(&self) -> Accounts {
        Accounts(self.clone())
    }
}

impl Accounts {
    /// A number that rises with every change of an account or its sessions, except with the use of a session.
    /// Who remembers a session asks for the number again before trusting it. Only one process can write.
    #[must_use]
    pub fn changes(&self) -> u64 {
        self.0.account_changes().load(Ordering::Acquire)
    }

    /// Reads rows of accounts.
    pub(crate) fn read<T>(
        &self,
        read: impl FnOnce(&Connection) -> Result<T, ArchiveError>,
    ) -> Result<T, ArchiveError> {
        self.0.read(read)
    }

    /// Writes what no remembered session depends on.
    pub(crate) fn writes<T: Send + 'static>(
        &self,
        write: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    ) -> Result<T, ArchiveError> {
        self.0.writer()?.run(write)
    }

    /// Runs a change of accounts; afterwards no remembered session counts.
    pub(crate) fn change<T: Send + 'static>(
        &self,
        change: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    ) -> Result<T, ArchiveError> {
        let result = self.0.writer()?.run(move |conn| change(conn));
        self.0.account_changes().fetch_add(1, Ordering::AcqRel);
        result
    }

    /// Creates an account.
    ///
    /// # Errors
    /// [`ArchiveError::NameTaken`] when the name is in use; case and accents do not matter.
    pub fn create_account(&self, new: Account) -> Result<(), ArchiveError> {
        self.change(move |conn| insert_account(conn, &new))
    }

    /// Creates an account only if there is none yet, for the first start. Returns whether it did.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn create_first_account(&self, new: Account) -> Result<bool, ArchiveError> {
        self.change(move |conn| {
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
            Ok(query.query_row([sign_in_key(name)], account).optional()?)
        })
    }

    /// Sets the hash of a password that its owner chose, ends the account's sessions except for one, and removes its
    /// PINs.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account.
    pub fn set_password(
        &self,
        id: UserId,
        password_hash: String,
        keep: Option<TokenHash>,
    ) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            change_account(conn, id, "password_hash", &password_hash)?;
            change_account(conn, id, "one_time_until", &None::<i64>)?;
            forget_failures(conn, id)?;
            end_links(conn, id)?;
            remove_pins(conn, id)?;
            end_all(conn, id, keep)
        })
    }

    /// Sets the hash of a one-time password, valid until a time; ends the account's sessions and links,
    /// and removes its PINs.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account.
    pub fn set_one_time_password(
        &self,
        id: UserId,
        password_hash: String,
        until: Timestamp,
    ) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            change_account(conn, id, "password_hash", &password_hash)?;
            change_account(conn, id, "one_time_until", &until.seconds())?;
            forget_failures(conn, id)?;
            end_links(conn, id)?;
            remove_pins(conn, id)?;
            end_all(conn, id, None)
        })
    }

    /// Sets the sign-in name and the displayed name.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account, [`ArchiveError::NameTaken`] when the name is in
    /// use by another; case and accents do not matter.
    pub fn rename(&self, id: UserId, name: String, display_name: String) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            let key = sign_in_key(&name);
            let other = "SELECT 1 FROM accounts WHERE name_key = ?1 AND id <> ?2";
            if conn.prepare_cached(other)?.exists(params![key, id.uuid().as_bytes()])? {
                return Err(ArchiveError::NameTaken(name));
            }
            change_account(conn, id, "name", &name.trim())?;
            change_account(conn, id, "name_key", &key)?;
            change_account(conn, id, "display_name", &display_name.trim())
        })
    }

    /// Sets the roles.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account, [`ArchiveError::LastLead`] when nobody who can
    /// sign in would be a lead.
    pub fn set_roles(&self, id: UserId, roles: Roles) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            let known = "SELECT 1 FROM accounts WHERE id = ?1";
            if !conn.prepare_cached(known)?.exists([id.uuid().as_bytes()])? {
                return Err(ArchiveError::NoAccount);
            }
            if !roles.has(Role::Lead) {
                refuse_last_lead(conn, id)?;
            }
            conn.prepare_cached("DELETE FROM account_roles WHERE account = ?1")?
                .execute([id.uuid().as_bytes()])?;
            insert_roles(conn, id, roles)
        })
    }

    /// Disables an account, which ends its sessions and removes its PINs, or enables it again.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account, [`ArchiveError::LastLead`] when nobody who can
    /// sign in would be a lead.
    pub fn set_disabled(&self, id: UserId, disabled: bool) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            if disabled {
                refuse_last_lead(conn, id)?;
                end_links(conn, id)?;
                remove_pins(conn, id)?;
                end_all(conn, id, None)?;
            }
            change_account(conn, id, "disabled", &disabled)
        })
    }

    /// Starts a session.
    ///
    /// # Errors
    /// [`ArchiveError::NoAccount`] when there is no such account or it is disabled.
    pub fn start_session(&self, new: Session) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            change_account(conn, new.user, "last_sign_in", &new.created_at.seconds())?;
            let sql = "INSERT INTO sessions (token_hash, user, csrf_token, created_at, last_used, expires, locked_at, place)
                       SELECT ?1, id, ?3, ?4, ?5, ?6, ?7, ?8 FROM accounts WHERE id = ?2 AND NOT disabled";
            let changed = conn.prepare_cached(sql)?.execute(params![
                new.token_hash,
                new.user.uuid().as_bytes(),
                new.csrf_token,
                new.created_at.seconds(),
                new.last_used.seconds(),
                new.expires.seconds(),
                new.locked_at.map(Timestamp::seconds),
                new.place
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
        self.change(move |conn| {
            conn.prepare_cached("DELETE FROM sessions WHERE token_hash = ?1")?.execute([token_hash])?;
            Ok(())
        })
    }

    /// Ends every session of an account and removes its PINs.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn end_sessions_of(&self, id: UserId) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            remove_pins(conn, id)?;
            end_all(conn, id, None)
        })
    }

    /// The sessions of an account, the latest use first. They may have expired: the caller compares the time.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sessions_of(&self, id: UserId) -> Result<Vec<Session>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn
                .prepare_cached(&format!("{SESSION} WHERE user = ?1 ORDER BY last_used DESC, created_at"))?;
            Ok(query.query_map([id.uuid().as_bytes()], session)?.collect::<Result<_, _>>()?)
        })
    }

    /// Deletes sessions and links that expired before `now`. Returns how many. Whose an ended session was is
    /// forgotten after 30 more days.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn delete_expired(&self, now: Timestamp) -> Result<usize, ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sessions = conn.execute("DELETE FROM sessions WHERE expires <= ?1", [now.seconds()])?;
            let links = conn.execute("DELETE FROM links WHERE expires <= ?1", [now.seconds()])?;
            let forgotten = now.seconds().saturating_sub(FORMS_KNOWN_SECONDS);
            conn.execute("DELETE FROM ended_sessions WHERE expired <= ?1", [forgotten])?;
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
    let key = sign_in_key(&new.name);
    if conn.prepare_cached("SELECT 1 FROM accounts WHERE name_key = ?1")?.exists([&key])? {
        return Err(ArchiveError::NameTaken(new.name.clone()));
    }
    let sql = "INSERT INTO accounts (id, name, name_key, display_name, password_hash, created_at, disabled,
               one_time_until, last_sign_in) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)";
    conn.prepare_cached(sql)?.execute(params![
        new.id.uuid().as_bytes(),
        new.name.trim(),
        key,
        new.display_name,
        new.password_hash,
        new.created_at.seconds(),
        new.disabled,
        new.one_time_until.map(Timestamp::seconds),
        new.last_sign_in.map(Timestamp::seconds)
    ])?;
    insert_roles(conn, new.id, new.roles)
}

fn insert_roles(conn: &Connection, id: UserId, roles: Roles) -> Result<(), ArchiveError> {
    let mut insert = conn.prepare_cached("INSERT INTO account_roles VALUES (?1, ?2)")?;
    for role in roles.iter() {
        insert.execute(params![id.uuid().as_bytes(), role.key()])?;
    }
    Ok(())
}

/// Refuses a change after which nobody who can sign in would be a lead.
fn refuse_last_lead(conn: &Connection, id: UserId) -> Result<(), ArchiveError> {
    let lead = "SELECT 1 FROM accounts JOIN account_roles ON account = id
                WHERE role = 'lead' AND NOT disabled AND id";
    let is_one = conn.prepare_cached(&format!("{lead} = ?1"))?.exists([id.uuid().as_bytes()])?;
    let another = conn.prepare_cached(&format!("{lead} <> ?1"))?.exists([id.uuid().as_bytes()])?;
    if is_one && !another { Err(ArchiveError::LastLead) } else { Ok(()) }
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

/// Ends the sessions of an account except for one.
pub(crate) fn end_all(conn: &Connection, id: UserId, keep: Option<TokenHash>) -> Result<(), ArchiveError> {
    let sql = "DELETE FROM sessions WHERE user = ?1 AND token_hash IS NOT ?2";
    conn.prepare_cached(sql)?.execute(params![id.uuid().as_bytes(), keep])?;
    Ok(())
}

/// Begins to count failed sign-ins anew.
pub(crate) fn forget_failures(conn: &Connection, id: UserId) -> Result<(), ArchiveError> {
    conn.prepare_cached("DELETE FROM failed_sign_ins WHERE account = ?1")?.execute([id.uuid().as_bytes()])?;
    Ok(())
}

fn remove_pins(conn: &Connection, id: UserId) -> Result<(), ArchiveError> {
    conn.prepare_cached("DELETE FROM pins WHERE account = ?1")?.execute([id.uuid().as_bytes()])?;
    Ok(())
}

fn end_links(conn: &Connection, id: UserId) -> Result<(), ArchiveError> {
    conn.prepare_cached("DELETE FROM links WHERE user = ?1")?.execute([id.uuid().as_bytes()])?;
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
