//! The children whose pictures, or videos, are withheld: the same table for each, under its own name.

use crate::error::ArchiveError;
use record::{ChildId, Timestamp};
use rusqlite::{Connection, TransactionBehavior, params};
use uuid::Uuid;

/// A child whose pictures are withheld since a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WithheldPictures {
    /// The child.
    pub child: ChildId,
    /// When its family took back the consent. Only a consent written later shows them again.
    pub at: Timestamp,
}

/// Adds children to a table; a later moment replaces an earlier one.
pub(crate) fn add(
    conn: &mut Connection,
    table: &'static str,
    children: &[WithheldPictures],
) -> Result<(), ArchiveError> {
    let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let sql = format!(
        "INSERT INTO {table} VALUES (?1, ?2) ON CONFLICT (child) DO UPDATE SET at = max(at, excluded.at)"
    );
    for WithheldPictures { child, at } in children {
        change.prepare_cached(&sql)?.execute(params![child.uuid().as_bytes(), at.seconds()])?;
    }
    Ok(change.commit()?)
}

/// Every child in a table.
pub(crate) fn all(conn: &Connection, table: &'static str) -> Result<Vec<WithheldPictures>, ArchiveError> {
    let mut query = conn.prepare(&format!("SELECT child, at FROM {table} ORDER BY child"))?;
    let rows = query.query_map([], |row| {
        let child = ChildId::new(Uuid::from_bytes(row.get(0)?));
        Ok(WithheldPictures { child, at: Timestamp::from_seconds(row.get(1)?) })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}
