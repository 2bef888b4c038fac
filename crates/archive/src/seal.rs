//! The seal: what the records hold after a commit, with a code (MAC) made with a key that is not in the records.
//!
//! It is written in the transaction that it describes, so that it is never older or newer than the records, and
//! once more as a line of the witness. The code is BLAKE3 in its keyed mode (BLAKE3 paper, section 2.2: a keyed
//! hash is a MAC) over every other field and the code of the seal before.

use crate::{chain::Hash, error::ArchiveError};
use record::Timestamp;
use rusqlite::{Connection, OptionalExtension, params, types::ValueRef};

/// A secret key of the witness.
pub(crate) type Key = [u8; 32];

/// The present list of what is covered besides the entries. Raised when [`COVERED`] grows.
pub(crate) const FORM: u8 = 2;

/// What is covered besides the entries, each with the form since which it is and the table: every value that this
/// program only changes on behalf of somebody. When somebody last signed in or a device was last used is left out.
const COVERED: &[(u8, &str, &str)] = &[
    (
        1,
        "accounts",
        "SELECT id, name, name_key, display_name, password_hash, created_at, disabled, one_time_until
         FROM accounts ORDER BY id",
    ),
    (1, "account_roles", "SELECT account, role FROM account_roles ORDER BY account, role"),
    (
        1,
        "devices",
        "SELECT id, name, made_by, made_at, code_hash, code_expires, token_hash, enrolled_at, removed_by,
         removed_at FROM devices ORDER BY id",
    ),
    (1, "settings", "SELECT key, value FROM settings ORDER BY key"),
    (1, "erasures", "SELECT number, entry, reason, by, at, hash FROM erasures ORDER BY number"),
    (1, "imports", "SELECT id, file, by, at, first_place, last_place, children FROM imports ORDER BY id"),
    (
        1,
        "undone_imports",
        "SELECT import, by, at, reason, withdrawn, kept FROM undone_imports ORDER BY import",
    ),
    (1, "code_secrets", "SELECT account, secret, set_up_at FROM code_secrets ORDER BY account"),
    (
        1,
        "recovery_codes",
        "SELECT account, code_hash, salt, used_at FROM recovery_codes ORDER BY account, code_hash",
    ),
    (
        1,
        "passkeys",
        "SELECT id, account, name, rp_id, public_key, backup_eligible, created_at FROM passkeys ORDER BY id",
    ),
    (
        1,
        "account_events",
        "SELECT number, account, at, done_by, what, why FROM account_events ORDER BY number",
    ),
    (1, "pins", "SELECT account, place, pin_hash, set_at FROM pins ORDER BY account, place"),
    (1, "restrictions", "SELECT number, child, by, at, reason, people FROM restrictions ORDER BY number"),
    (
        1,
        "restricted_openings",
        "SELECT number, child, by, at, until, reason, device FROM restricted_openings ORDER BY number",
    ),
    (
        1,
        "erasure_requests",
        "SELECT number, child, entries, by, at, reason, basis, decided_by, decided_at, done, decision
         FROM erasure_requests ORDER BY number",
    ),
    (1, "erased_kinds", "SELECT request, kind, count FROM erased_kinds ORDER BY request, kind"),
    (1, "holds", "SELECT number, child, until, by, at, reason FROM holds ORDER BY number"),
    (1, "decisions", "SELECT number, what, by, at, reason, about, place FROM decisions ORDER BY number"),
    (
        2,
        "practice_answers",
        "SELECT number, form, account, day, sign, seed, drawing, given, reference FROM practice_answers
         ORDER BY number",
    ),
    (
        2,
        "practice_photographs",
        "SELECT number, account, day, child, photograph, sign, given, reference FROM practice_photographs
         ORDER BY number",
    ),
];

/// Columns whose change alone is not covered.
const NOT_COVERED: [&str; 5] = ["last_sign_in", "last_used", "last_step", "sign_count", "wrong"];

/// The state after a commit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Seal {
    /// How many commits were sealed, from 1.
    pub number: i64,
    /// The form of the list of what is covered besides the entries.
    pub form: u8,
    /// Entries of all sites, erased ones included.
    pub entries: i64,
    /// When the latest of the last entries was written, seconds since 1970; 0 before the first.
    pub at: i64,
    /// A hash of every site with the length and the head of its chain.
    pub log: Hash,
    /// A hash of what is covered besides the entries.
    pub rest: Hash,
    /// The code of the seal before; zeros for the first.
    pub previous: Hash,
    /// The code.
    pub mac: Hash,
}

impl Seal {
    /// When the latest of the last entries was written.
    pub(crate) fn written_at(&self) -> Option<Timestamp> {
        (self.at != 0).then(|| Timestamp::from_seconds(self.at))
    }

    /// The code that belongs to the other fields.
    pub(crate) fn code(&self, key: &Key) -> Hash {
        let mut hasher = blake3::Hasher::new_keyed(key);
        for number in [self.number, i64::from(self.form), self.entries, self.at] {
            hasher.update(&number.to_be_bytes());
        }
        hasher.update(&self.log).update(&self.rest).update(&self.previous);
        *hasher.finalize().as_bytes()
    }

    pub(crate) fn is_genuine(&self, key: &Key) -> bool {
        // `blake3::Hash` compares in constant time.
        blake3::Hash::from(self.code(key)) == blake3::Hash::from(self.mac)
    }

    /// The seal of the file; `None` where it has none yet.
    pub(crate) fn read(conn: &Connection) -> Result<Option<Self>, ArchiveError> {
        let table = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'seals'";
        if !conn.prepare(table)?.exists([])? {
            return Ok(None);
        }
        let sql = "SELECT number, form, entries, at, log, rest, previous, mac FROM seals";
        Ok(conn
            .query_row(sql, [], |row| {
                Ok(Self {
                    number: row.get(0)?,
                    form: row.get(1)?,
                    entries: row.get(2)?,
                    at: row.get(3)?,
                    log: row.get(4)?,
                    rest: row.get(5)?,
                    previous: row.get(6)?,
                    mac: row.get(7)?,
                })
            })
            .optional()?)
    }

    fn write(&self, conn: &Connection) -> Result<(), ArchiveError> {
        let sql = "INSERT OR REPLACE INTO seals VALUES (1, ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)";
        conn.prepare_cached(sql)?.execute(params![
            self.number,
            self.form,
            self.entries,
            self.at,
            self.log,
            self.rest,
            self.previous,
            self.mac
        ])?;
        Ok(())
    }
}

/// Writes the seal that follows `last` (or the first) for the present state, in the transaction of the caller.
pub(crate) fn seal(
    conn: &Connection,
    key: &Key,
    number: i64,
    last: Option<&Seal>,
) -> Result<Seal, ArchiveError> {
    seal_as(conn, key, number, last, FORM)
}

/// The same in a form that an earlier program knows.
pub(crate) fn seal_as(
    conn: &Connection,
    key: &Key,
    number: i64,
    last: Option<&Seal>,
    form: u8,
) -> Result<Seal, ArchiveError> {
    let (entries, log) = log_state(conn)?;
    let at = latest_after(conn, 0, LAST_ENTRIES)?.or_else(|| last.map(|last| last.at)).unwrap_or(0);
    let previous = last.map_or([0; 32], |last| last.mac);
    let rest = rest_state(conn, form)?;
    let mut new = Seal { number, form, entries, at, log, rest, previous, mac: [0; 32] };
    new.mac = new.code(key);
    new.write(conn)?;
    Ok(new)
}

/// What the writing thread does before each commit and remembers between them.
pub(crate) struct Sealer {
    pub(crate) key: Key,
    pub(crate) last: Seal,
}

impl Sealer {
    /// Writes the next seal, if the transaction changed anything that is covered.
    pub(crate) fn before_commit(&self, conn: &Connection) -> Result<Option<Seal>, ArchiveError> {
        let (entries, log) = log_state(conn)?;
        let rest = if take_covered_changes(conn)? { rest_state(conn, FORM)? } else { self.last.rest };
        if log == self.last.log && rest == self.last.rest {
            return Ok(None);
        }
        let (number, previous) = (self.last.number + 1, self.last.mac);
        let at = latest_after(conn, 0, entries - self.last.entries)?.unwrap_or(self.last.at);
        let mut new = Seal { number, form: FORM, entries, at, log, rest, previous, mac: [0; 32] };
        new.mac = new.code(&self.key);
        new.write(conn)?;
        Ok(Some(new))
    }
}

/// Has a writing connection note that something is changed that is covered besides the entries. The note is a row
/// of a table of the connection, so that undoing a job undoes it too.
pub(crate) fn watch_covered(conn: &Connection) -> Result<(), ArchiveError> {
    conn.execute_batch("CREATE TEMP TABLE covered_changes (one INTEGER PRIMARY KEY)")?;
    for (_, table, _) in COVERED {
        let columns = covered_columns(conn, table)?.join(", ");
        for event in ["INSERT", "DELETE", &format!("UPDATE OF {columns}")] {
            let name = format!("covered_{table}_{}", event.split(' ').next().unwrap_or_default());
            conn.execute_batch(&format!(
                "CREATE TEMP TRIGGER {name} AFTER {event} ON main.{table}
                 BEGIN INSERT OR IGNORE INTO covered_changes VALUES (1); END;"
            ))?;
        }
    }
    Ok(())
}

fn covered_columns(conn: &Connection, table: &str) -> Result<Vec<String>, ArchiveError> {
    let mut query = conn.prepare("SELECT name FROM pragma_table_info(?1)")?;
    let names = query.query_map([table], |row| row.get::<_, String>(0))?;
    let names = names.collect::<Result<Vec<_>, _>>()?;
    Ok(names.into_iter().filter(|name| !NOT_COVERED.contains(&name.as_str())).collect())
}

fn take_covered_changes(conn: &Connection) -> Result<bool, ArchiveError> {
    Ok(conn.prepare_cached("DELETE FROM covered_changes")?.execute([])? > 0)
}

/// The number of entries and a hash of every site with the length and head of its chain.
pub(crate) fn log_state(conn: &Connection) -> Result<(i64, Hash), ArchiveError> {
    let mut query = conn.prepare_cached("SELECT id, length, head FROM sites ORDER BY id")?;
    let sites = query.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    let sites = sites.collect::<Result<Vec<([u8; 16], i64, Hash)>, _>>()?;
    Ok(state_of(sites.iter().copied()))
}

/// The same of sites in the order of their ids. A site without entries counts as none.
pub(crate) fn state_of(sites: impl Iterator<Item = ([u8; 16], i64, Hash)>) -> (i64, Hash) {
    let mut hasher = blake3::Hasher::new();
    let mut entries = 0;
    for (id, length, head) in sites.filter(|(_, length, _)| *length > 0) {
        entries += length;
        hasher.update(&id).update(&length.to_be_bytes()).update(&head);
    }
    (entries, *hasher.finalize().as_bytes())
}

/// The first table that is covered and differs between a file of an earlier layout and a later one; tables that the
/// earlier layout does not have are passed over, and the settings, where every start may write the name of the site.
pub(crate) fn differs_in(earlier: &Connection, later: &Connection) -> Option<&'static str> {
    let differs = |(_, table, sql): &&(u8, &str, &str)| match table_state(earlier, sql) {
        Ok(before) => table_state(later, sql).is_ok_and(|after| after != before) && *table != "settings",
        Err(_) => false,
    };
    COVERED.iter().find(differs).map(|(_, table, _)| *table)
}

fn table_state(conn: &Connection, sql: &str) -> Result<Hash, ArchiveError> {
    let mut hasher = blake3::Hasher::new();
    hash_table(&mut hasher, conn, sql)?;
    Ok(*hasher.finalize().as_bytes())
}

/// A hash of what is covered besides the entries.
pub(crate) fn rest_state(conn: &Connection, form: u8) -> Result<Hash, ArchiveError> {
    let mut hasher = blake3::Hasher::new();
    for (_, table, sql) in COVERED.iter().filter(|(since, ..)| *since <= form) {
        hasher.update(table.as_bytes()).update(b"\0");
        hash_table(&mut hasher, conn, sql)?;
    }
    Ok(*hasher.finalize().as_bytes())
}

fn hash_table(hasher: &mut blake3::Hasher, conn: &Connection, sql: &str) -> Result<(), ArchiveError> {
    let mut query = conn.prepare_cached(sql)?;
    let columns = query.column_count();
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        for column in 0..columns {
            hash_value(hasher, row.get_ref(column)?);
        }
    }
    Ok(())
}

// Each value with its type and length, so that different rows give different bytes.
fn hash_value(hasher: &mut blake3::Hasher, value: ValueRef<'_>) {
    match value {
        ValueRef::Null => hasher.update(b"n"),
        ValueRef::Integer(number) => hasher.update(b"i").update(&number.to_be_bytes()),
        ValueRef::Real(number) => hasher.update(b"r").update(&number.to_be_bytes()),
        ValueRef::Text(bytes) => {
            hasher.update(b"t").update(&(bytes.len() as u64).to_be_bytes()).update(bytes)
        }
        ValueRef::Blob(bytes) => {
            hasher.update(b"b").update(&(bytes.len() as u64).to_be_bytes()).update(bytes)
        }
    };
}

/// Entries at the end of the log that are asked when they were written. An import has one time for all of its
/// entries; people's entries come a few at a time.
const LAST_ENTRIES: i64 = 64;

/// Of the wire form only when the entry was written.
#[derive(serde::Deserialize)]
struct WrittenAt {
    at: Timestamp,
}

/// When the first entry that is not erased was written.
pub(crate) fn first_written(conn: &Connection) -> Result<Option<Timestamp>, ArchiveError> {
    let sql = "SELECT wire FROM entries WHERE wire IS NOT NULL ORDER BY place LIMIT 1";
    let wire: Option<String> = conn.query_row(sql, [], |row| row.get(0)).optional()?;
    let written = wire.and_then(|wire| serde_json::from_str::<WrittenAt>(&wire).ok());
    Ok(written.map(|written| written.at))
}

/// When the latest of the last entries behind a place of the log was written, seconds since 1970; of at most
/// `entries`. Entries that cannot be read are passed over: whoever reads them finds out.
pub(crate) fn latest_after(conn: &Connection, place: i64, entries: i64) -> Result<Option<i64>, ArchiveError> {
    let sql = "SELECT wire FROM entries WHERE place > ?1 ORDER BY place DESC LIMIT ?2";
    let mut query = conn.prepare_cached(sql)?;
    let mut rows = query.query([place, entries.min(LAST_ENTRIES)])?;
    let mut latest = None;
    while let Some(row) = rows.next()? {
        let wire = row.get_ref(0)?.as_str_or_null().map_err(rusqlite::Error::from)?;
        let written = wire.and_then(|wire| serde_json::from_str::<WrittenAt>(wire).ok());
        latest = latest.max(written.map(|written| written.at.seconds()));
    }
    Ok(latest)
}
