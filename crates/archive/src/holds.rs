//! Records that are kept until a day, whatever the retention period says. Plain rows, only added.

use crate::{archive::Archive, error::ArchiveError};
use record::{ChildId, Day, Timestamp, UserId};
use rusqlite::{Row, params};
use uuid::Uuid;

/// A hold that was set, changed or lifted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordHold {
    /// The child.
    pub child: ChildId,
    /// The last day on which the record is kept in any case; `None` where the hold was lifted.
    pub until: Option<Day>,
    /// Who did it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Why.
    pub reason: String,
}

/// The holds of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct RecordHolds(Archive);

impl Archive {
    /// The records that are kept until a day.
    #[must_use]
    pub fn holds(&self) -> RecordHolds {
        RecordHolds(self.clone())
    }
}

impl RecordHolds {
    /// The holds in force, whatever their day.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn in_force(&self) -> Result<Vec<RecordHold>, ArchiveError> {
        let sql = "SELECT child, until, by, at, reason FROM holds h WHERE until IS NOT NULL
                   AND number = (SELECT max(number) FROM holds o WHERE o.child = h.child)";
        self.0.read(|conn| {
            let mut query = conn.prepare_cached(sql)?;
            let holds = query.query_map([], hold)?;
            Ok(holds.collect::<Result<_, _>>()?)
        })
    }

    /// Stores what was done.
    ///
    /// # Errors
    /// When the reason is empty or the file cannot be written.
    pub fn add(&self, new: RecordHold) -> Result<(), ArchiveError> {
        if new.reason.trim().is_empty() {
            return Err(ArchiveError::NoReason);
        }
        self.0.writer()?.run(move |conn| {
            let sql = "INSERT INTO holds (child, until, by, at, reason) VALUES (?1, ?2, ?3, ?4, ?5)";
            conn.prepare_cached(sql)?.execute(params![
                new.child.uuid().as_bytes(),
                new.until.map(Day::number),
                new.by.uuid().as_bytes(),
                new.at.seconds(),
                new.reason.trim()
            ])?;
            Ok(())
        })
    }
}

fn hold(row: &Row<'_>) -> rusqlite::Result<RecordHold> {
    Ok(RecordHold {
        child: ChildId::new(Uuid::from_bytes(row.get(0)?)),
        until: row.get::<_, Option<i32>>(1)?.map(Day::from_number),
        by: UserId::new(Uuid::from_bytes(row.get(2)?)),
        at: Timestamp::from_seconds(row.get(3)?),
        reason: row.get(4)?,
    })
}
