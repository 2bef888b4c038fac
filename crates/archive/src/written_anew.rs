//! Writes a file anew with another key: how records that were not encrypted are, and how a key is changed.

use crate::{
    database_file::DatabaseFile,
    database_key::DatabaseKey,
    error::{ArchiveError, at_path},
    whole_copy::settle,
};
use rusqlite::{Connection, params};
use std::{fmt::Write as _, path::Path};
use zeroize::Zeroizing;

/// The name under which the new file is attached.
const NEW: &str = "written";

/// Writes everything of the file `from` into the new file `to`, encrypted with `key`, and compares the two row by row.
/// `from_key` is the key of `from`; `None` where it is not encrypted. Nothing of `from` is changed. When this returns
/// the new file is on the disk.
///
/// # Errors
/// [`ArchiveError::NoCipher`] in a build that cannot encrypt; [`ArchiveError::Exists`] when there is a file `to`; [`ArchiveError::Damaged`] when a row differs; otherwise when
/// a file cannot be read or written.
pub fn write_with_key(
    (from, from_key): (&Path, Option<&DatabaseKey>),
    to: &Path,
    key: &DatabaseKey,
) -> Result<(), ArchiveError> {
    if to.exists() {
        return Err(ArchiveError::Exists(to.into()));
    }
    let old = DatabaseFile::new(from, from_key);
    let conn = old.connect_to_write()?;
    // Made by the one door, so that it is certain to be encrypted.
    let made = DatabaseFile::new(to, Some(key)).connect_or_make()?;
    made.execute_batch("CREATE TABLE begun (x); DROP TABLE begun")?;
    made.close().map_err(|(_, error)| at_path(error, to))?;
    attach(&conn, to, key)?;
    conn.query_row("SELECT sqlcipher_export(?1)", [NEW], |_| Ok(()))?;
    for pragma in ["application_id", "user_version"] {
        let value: i64 = conn.pragma_query_value(None, pragma, |row| row.get(0))?;
        conn.pragma_update(Some(NEW), pragma, value)?;
    }
    compare(&conn)?;
    conn.execute_batch(&format!("DETACH {NEW}"))?;
    settle(to, to)
}

fn attach(conn: &Connection, to: &Path, key: &DatabaseKey) -> Result<(), ArchiveError> {
    let mut text = Zeroizing::new(String::from("x'"));
    for byte in key.bytes() {
        // Writing to a string does not fail.
        let _ = write!(text, "{byte:02x}");
    }
    text.push('\'');
    let sql = format!("ATTACH DATABASE ?1 AS {NEW} KEY ?2");
    conn.execute(&sql, params![to.to_string_lossy(), *text]).map_err(|error| at_path(error, to))?;
    Ok(())
}

/// Compares every table and every definition.
fn compare(conn: &Connection) -> Result<(), ArchiveError> {
    let differs =
        |name: &str| ArchiveError::Damaged(format!("the encrypted copy of “{name}” differs from it"));
    let definitions = "SELECT type, name, tbl_name, sql FROM";
    if !same(
        conn,
        &format!("{definitions} main.sqlite_schema"),
        &format!("{definitions} {NEW}.sqlite_schema"),
    )? {
        return Err(differs("sqlite_schema"));
    }
    let mut query =
        conn.prepare("SELECT name FROM main.sqlite_schema WHERE type = 'table' AND rootpage > 0")?;
    let names = query.query_map([], |row| row.get::<_, String>(0))?;
    for name in names {
        let name = name?;
        let quoted = name.replace('"', "\"\"");
        let of = |schema: &str| format!("SELECT * FROM {schema}.\"{quoted}\"");
        if !same(conn, &of("main"), &of(NEW))? {
            return Err(differs(&name));
        }
    }
    Ok(())
}

/// Whether two queries give the same rows, in whatever order.
fn same(conn: &Connection, one: &str, other: &str) -> Result<bool, ArchiveError> {
    let count =
        |sql: &str| conn.query_row(&format!("SELECT count(*) FROM ({sql})"), [], |row| row.get::<_, i64>(0));
    Ok(count(one)? == count(other)?
        && count(&format!("{one} EXCEPT {other}"))? == 0
        && count(&format!("{other} EXCEPT {one}"))? == 0)
}
