//! Second factors of accounts: time-based codes, recovery codes and passkeys, with the history of each account and
//! the number of failed sign-ins. Plain rows: what is accepted is decided by the caller, but each code and each
//! counter is used up here, in one transaction, so that of two requests at once only one is accepted.

use crate::{
    accounts::{Accounts, end_all, forget_failures},
    error::ArchiveError,
};
use record::{Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, Row, params};
use uuid::Uuid;

/// The secret of the time-based codes of a person.
#[derive(Clone, PartialEq, Eq)]
pub struct CodeSecret {
    /// The shared secret.
    pub secret: Vec<u8>,
    /// When it was set up.
    pub set_up_at: Timestamp,
    /// The step of the last code that was accepted; no code of this step or an earlier one is accepted again.
    pub last_step: i64,
}

/// The recovery codes of a person.
#[derive(Clone, PartialEq, Eq)]
pub struct RecoveryCodes {
    /// The salt of all of them.
    pub salt: Vec<u8>,
    /// The hashes of those that were not used.
    pub unused: Vec<Vec<u8>>,
}

/// A passkey.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Passkey {
    /// The id of the credential, given by the authenticator.
    pub id: Vec<u8>,
    /// Whose it is.
    pub account: UserId,
    /// The name its owner gave it.
    pub name: String,
    /// The name of the computer for which it was made.
    pub rp_id: String,
    /// The public key as a COSE key.
    pub public_key: Vec<u8>,
    /// The counter of signatures as last seen; 0 where the authenticator has none.
    pub sign_count: u32,
    /// Whether it may be copied to other devices of its owner.
    pub backup_eligible: bool,
    /// When it was made.
    pub created_at: Timestamp,
    /// When it was last used.
    pub last_used: Option<Timestamp>,
}

/// Which second factors a person has.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct FactorCounts {
    /// Whether time-based codes are set up.
    pub codes: bool,
    /// How many passkeys.
    pub passkeys: usize,
    /// How many recovery codes were not used.
    pub recovery_codes: usize,
}

impl FactorCounts {
    /// Whether there is a second factor. Recovery codes alone are none.
    #[must_use]
    pub const fn any(self) -> bool {
        self.codes || self.passkeys > 0
    }
}

/// Something that happened to the ways in which a person signs in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AccountEvent {
    /// When.
    pub at: Timestamp,
    /// Who did it; `None` for a command on the computer itself.
    pub by: Option<UserId>,
    /// What, a sentence without a full stop.
    pub what: String,
    /// The reason, where one was given.
    pub why: Option<String>,
}

/// Stands for every name that does not exist.
const NOBODY: [u8; 16] = [0; 16];
const PASSKEY: &str = "SELECT id, account, name, rp_id, public_key, sign_count, backup_eligible, created_at, last_used FROM passkeys";

fn person(bytes: [u8; 16]) -> UserId {
    UserId::new(Uuid::from_bytes(bytes))
}

fn passkey(row: &Row<'_>) -> rusqlite::Result<Passkey> {
    Ok(Passkey {
        id: row.get(0)?,
        account: person(row.get(1)?),
        name: row.get(2)?,
        rp_id: row.get(3)?,
        public_key: row.get(4)?,
        sign_count: row.get(5)?,
        backup_eligible: row.get(6)?,
        created_at: Timestamp::from_seconds(row.get(7)?),
        last_used: row.get::<_, Option<i64>>(8)?.map(Timestamp::from_seconds),
    })
}

impl Accounts {
    /// Which second factors a person has.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn factors(&self, id: UserId) -> Result<FactorCounts, ArchiveError> {
        self.read(|conn| {
            let sql = "SELECT EXISTS (SELECT 1 FROM code_secrets WHERE account = ?1),
                       (SELECT count(*) FROM passkeys WHERE account = ?1),
                       (SELECT count(*) FROM recovery_codes WHERE account = ?1 AND used_at IS NULL)";
            let counts = |row: &Row<'_>| {
                let number = |column| row.get::<_, i64>(column).map(|n| usize::try_from(n).unwrap_or(0));
                Ok(FactorCounts { codes: row.get(0)?, passkeys: number(1)?, recovery_codes: number(2)? })
            };
            Ok(conn.prepare_cached(sql)?.query_row([id.uuid().as_bytes()], counts)?)
        })
    }

    /// The secret of a person's time-based codes.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn code_secret(&self, id: UserId) -> Result<Option<CodeSecret>, ArchiveError> {
        self.read(|conn| {
            let sql = "SELECT secret, set_up_at, last_step FROM code_secrets WHERE account = ?1";
            let secret = |row: &Row<'_>| {
                Ok(CodeSecret {
                    secret: row.get(0)?,
                    set_up_at: Timestamp::from_seconds(row.get(1)?),
                    last_step: row.get(2)?,
                })
            };
            Ok(conn.prepare_cached(sql)?.query_row([id.uuid().as_bytes()], secret).optional()?)
        })
    }

    /// Sets up time-based codes, in place of earlier ones.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn set_code_secret(&self, id: UserId, new: CodeSecret) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            let sql = "INSERT OR REPLACE INTO code_secrets VALUES (?1, ?2, ?3, ?4)";
            let (at, id) = (new.set_up_at.seconds(), id.uuid());
            conn.prepare_cached(sql)?.execute(params![id.as_bytes(), new.secret, at, new.last_step])?;
            note(conn, id, at, Some(id), "Time-based codes were set up", None)
        })
    }

    /// Uses up the code of a step. `false` if that step, or a later one, was used before.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn use_code_step(&self, id: UserId, step: i64) -> Result<bool, ArchiveError> {
        self.writes(move |conn| {
            let sql = "UPDATE code_secrets SET last_step = ?2 WHERE account = ?1 AND last_step < ?2";
            Ok(conn.prepare_cached(sql)?.execute(params![id.uuid().as_bytes(), step])? == 1)
        })
    }

    /// Removes the time-based codes of a person, and the recovery codes if no second factor is left.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn remove_codes(&self, id: UserId, now: Timestamp) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            conn.execute("DELETE FROM code_secrets WHERE account = ?1", [id.uuid().as_bytes()])?;
            remove_orphans(conn, id)?;
            note(conn, id.uuid(), now.seconds(), Some(id.uuid()), "Time-based codes were removed", None)
        })
    }

    /// The recovery codes of a person; `None` where none were ever made.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn recovery_codes(&self, id: UserId) -> Result<Option<RecoveryCodes>, ArchiveError> {
        self.read(|conn| {
            let sql = "SELECT code_hash, salt, used_at IS NULL FROM recovery_codes WHERE account = ?1";
            let mut query = conn.prepare_cached(sql)?;
            let rows = query.query_map([id.uuid().as_bytes()], |row| {
                Ok((row.get::<_, Vec<u8>>(0)?, row.get::<_, Vec<u8>>(1)?, row.get::<_, bool>(2)?))
            })?;
            let rows = rows.collect::<Result<Vec<_>, _>>()?;
            let Some((_, salt, _)) = rows.first().cloned() else { return Ok(None) };
            let unused = rows.into_iter().filter(|(.., unused)| *unused).map(|(hash, ..)| hash).collect();
            Ok(Some(RecoveryCodes { salt, unused }))
        })
    }

    /// Saves a new set of recovery codes; the earlier ones stop working.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn set_recovery_codes(
        &self,
        id: UserId,
        new: RecoveryCodes,
        now: Timestamp,
    ) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            let (key, salt) = (id.uuid(), new.salt);
            conn.execute("DELETE FROM recovery_codes WHERE account = ?1", [key.as_bytes()])?;
            let mut insert = conn.prepare_cached("INSERT INTO recovery_codes VALUES (?1, ?2, ?3, NULL)")?;
            for hash in new.unused {
                insert.execute(params![key.as_bytes(), hash, salt])?;
            }
            note(conn, key, now.seconds(), Some(key), "New recovery codes were made", None)
        })
    }

    /// Uses up a recovery code. `false` if it is unknown or was used before.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn use_recovery_code(&self, id: UserId, hash: Vec<u8>, now: Timestamp) -> Result<bool, ArchiveError> {
        self.change(move |conn| {
            let sql = "UPDATE recovery_codes SET used_at = ?3
                       WHERE account = ?1 AND code_hash = ?2 AND used_at IS NULL";
            let (key, at) = (id.uuid(), now.seconds());
            if conn.prepare_cached(sql)?.execute(params![key.as_bytes(), hash, at])? == 0 {
                return Ok(false);
            }
            note(conn, key, at, Some(key), "A recovery code was used", None)?;
            Ok(true)
        })
    }

    /// The passkeys of a person, the oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn passkeys(&self, id: UserId) -> Result<Vec<Passkey>, ArchiveError> {
        self.read(|conn| {
            let sql = format!("{PASSKEY} WHERE account = ?1 ORDER BY created_at, id");
            let mut query = conn.prepare_cached(&sql)?;
            Ok(query.query_map([id.uuid().as_bytes()], passkey)?.collect::<Result<_, _>>()?)
        })
    }

    /// The passkey of a credential's id.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn passkey(&self, credential: &[u8]) -> Result<Option<Passkey>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(&format!("{PASSKEY} WHERE id = ?1"))?;
            Ok(query.query_row([credential], passkey).optional()?)
        })
    }

    /// Whether anybody has a passkey for a name of this computer.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn has_passkeys_for(&self, rp_id: &str) -> Result<bool, ArchiveError> {
        self.read(|conn| {
            Ok(conn.prepare_cached("SELECT 1 FROM passkeys WHERE rp_id = ?1")?.exists([rp_id])?)
        })
    }

    /// Saves a passkey. `false` if there is one with the same id, whose ever it is.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn add_passkey(&self, new: Passkey) -> Result<bool, ArchiveError> {
        self.change(move |conn| {
            let sql = "INSERT OR IGNORE INTO passkeys VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, NULL)";
            let (key, at) = (new.account.uuid(), new.created_at.seconds());
            let added = conn.prepare_cached(sql)?.execute(params![
                new.id,
                key.as_bytes(),
                new.name,
                new.rp_id,
                new.public_key,
                new.sign_count,
                new.backup_eligible,
                at
            ])?;
            if added == 1 {
                note(conn, key, at, Some(key), &format!("The passkey “{}” was added", new.name), None)?;
            }
            Ok(added == 1)
        })
    }

    /// Notes the use of a passkey with the counter of its authenticator. `false` if that counter did not go up
    /// since the last use, as it does not if there is a copy of the key; nothing is then changed.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn use_passkey(
        &self,
        credential: Vec<u8>,
        sign_count: u32,
        now: Timestamp,
    ) -> Result<bool, ArchiveError> {
        self.writes(move |conn| {
            let sql = "UPDATE passkeys SET sign_count = ?2, last_used = ?3
                       WHERE id = ?1 AND (sign_count < ?2 OR (sign_count = 0 AND ?2 = 0))";
            let used = conn.prepare_cached(sql)?.execute(params![credential, sign_count, now.seconds()])?;
            Ok(used == 1)
        })
    }

    /// Removes a passkey of a person, and the recovery codes if no second factor is left. Returns its name.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn remove_passkey(
        &self,
        id: UserId,
        credential: Vec<u8>,
        now: Timestamp,
    ) -> Result<Option<String>, ArchiveError> {
        self.change(move |conn| {
            let (key, at) = (id.uuid(), now.seconds());
            let sql = "DELETE FROM passkeys WHERE id = ?1 AND account = ?2 RETURNING name";
            let mut delete = conn.prepare_cached(sql)?;
            let name: Option<String> =
                delete.query_row(params![credential, key.as_bytes()], |row| row.get(0)).optional()?;
            drop(delete);
            if let Some(name) = &name {
                remove_orphans(conn, id)?;
                note(conn, key, at, Some(key), &format!("The passkey “{name}” was removed"), None)?;
            }
            Ok(name)
        })
    }

    /// Removes every second factor of a person and ends the sessions.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn reset_factors(&self, id: UserId, event: AccountEvent) -> Result<(), ArchiveError> {
        self.change(move |conn| {
            for table in ["code_secrets", "recovery_codes", "passkeys"] {
                let sql = format!("DELETE FROM {table} WHERE account = ?1");
                conn.prepare_cached(&sql)?.execute([id.uuid().as_bytes()])?;
            }
            end_all(conn, id, None)?;
            note_event(conn, id, &event)
        })
    }

    /// Adds a line to the history of an account.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn note_event(&self, id: UserId, event: AccountEvent) -> Result<(), ArchiveError> {
        self.writes(move |conn| note_event(conn, id, &event))
    }

    /// The history of an account, the latest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn events(&self, id: UserId) -> Result<Vec<AccountEvent>, ArchiveError> {
        self.read(|conn| {
            let sql =
                "SELECT at, done_by, what, why FROM account_events WHERE account = ?1 ORDER BY number DESC";
            let event = |row: &Row<'_>| {
                Ok(AccountEvent {
                    at: Timestamp::from_seconds(row.get(0)?),
                    by: row.get::<_, Option<[u8; 16]>>(1)?.map(person),
                    what: row.get(2)?,
                    why: row.get(3)?,
                })
            };
            let mut query = conn.prepare_cached(sql)?;
            Ok(query.query_map([id.uuid().as_bytes()], event)?.collect::<Result<_, _>>()?)
        })
    }

    /// How often signing in failed since the last sign-in or the last new password.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn failures(&self, id: UserId) -> Result<u32, ArchiveError> {
        self.read(|conn| {
            let sql = "SELECT in_a_row FROM failed_sign_ins WHERE account = ?1";
            let found = conn.prepare_cached(sql)?.query_row([id.uuid().as_bytes()], |row| row.get(0));
            Ok(found.optional()?.unwrap_or(0))
        })
    }

    /// Counts a failed sign-in; `None` for a name that does not exist, which takes as long.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn count_failure(&self, id: Option<UserId>) -> Result<(), ArchiveError> {
        self.writes(move |conn| {
            let sql = "INSERT INTO failed_sign_ins VALUES (?1, 1)
                       ON CONFLICT (account) DO UPDATE SET in_a_row = min(in_a_row + 1, 1000000)";
            let key = id.map_or(NOBODY, |id| *id.uuid().as_bytes());
            conn.prepare_cached(sql)?.execute([key])?;
            Ok(())
        })
    }

    /// Begins to count failed sign-ins anew.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn forget_failures(&self, id: UserId) -> Result<(), ArchiveError> {
        self.writes(move |conn| forget_failures(conn, id))
    }
}

/// Recovery codes are of no use, and no second factor, without what they stand in for.
fn remove_orphans(conn: &Connection, id: UserId) -> Result<(), ArchiveError> {
    let sql = "DELETE FROM recovery_codes WHERE account = ?1
               AND NOT EXISTS (SELECT 1 FROM code_secrets WHERE account = ?1)
               AND NOT EXISTS (SELECT 1 FROM passkeys WHERE account = ?1)";
    conn.prepare_cached(sql)?.execute([id.uuid().as_bytes()])?;
    Ok(())
}

fn note_event(conn: &Connection, id: UserId, event: &AccountEvent) -> Result<(), ArchiveError> {
    let by = event.by.map(UserId::uuid);
    note(conn, id.uuid(), event.at.seconds(), by, &event.what, event.why.as_deref())
}

fn note(
    conn: &Connection,
    id: Uuid,
    at: i64,
    by: Option<Uuid>,
    what: &str,
    why: Option<&str>,
) -> Result<(), ArchiveError> {
    let sql = "INSERT INTO account_events (account, at, done_by, what, why) VALUES (?1, ?2, ?3, ?4, ?5)";
    let by = by.map(|by| *by.as_bytes());
    conn.prepare_cached(sql)?.execute(params![id.as_bytes(), at, by, what, why])?;
    Ok(())
}
