//! What a person decided about the records as a whole, saved with them and covered by the seal.

use crate::{archive::Archive, error::ArchiveError, seal};
use record::{Timestamp, UserId};
use rusqlite::{Connection, OptionalExtension, params};
use uuid::Uuid;

/// What was decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DecisionKind {
    /// To go on with records that are not those the witness knows.
    Records,
    /// To begin a witness where records were opened without the key of theirs: not by a person, but because they were
    /// copied or moved there. It counts until a person confirms the records.
    NewPlace,
    /// To use records that were restored from a backup, or from before an upgrade.
    Restored,
    /// To save although the clock of the computer is earlier than the last entry.
    Clock,
}

impl DecisionKind {
    const fn key(self) -> &'static str {
        match self {
            Self::Records => "records",
            Self::NewPlace => "new place",
            Self::Restored => "restored",
            Self::Clock => "clock",
        }
    }

    fn from_key(key: &str) -> Option<Self> {
        [Self::Records, Self::NewPlace, Self::Restored, Self::Clock]
            .into_iter()
            .find(|kind| kind.key() == key)
    }
}

/// A decision.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordsDecision {
    /// What was decided.
    pub kind: DecisionKind,
    /// Who decided; `None` for the owner of the computer at the command line, and for a new place.
    pub by: Option<UserId>,
    /// When, by the clock of the computer.
    pub at: Timestamp,
    /// Why.
    pub reason: String,
    /// What it was about, in words.
    pub about: String,
}

impl Archive {
    /// Saves that somebody confirmed an earlier clock, or records that were copied or moved here. Entries written
    /// before a clock was confirmed no longer count for [`Archive::last_written_at`].
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn confirm(&self, decision: RecordsDecision) -> Result<(), ArchiveError> {
        self.writer()?.run(move |conn| put(conn, &decision))
    }

    /// Every decision, the latest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn decisions(&self) -> Result<Vec<RecordsDecision>, ArchiveError> {
        self.read(|conn| {
            let sql = "SELECT what, by, at, reason, about FROM decisions ORDER BY number DESC";
            let mut query = conn.prepare_cached(sql)?;
            let decisions = query.query_map([], |row| {
                Ok((row.get::<_, String>(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?))
            })?;
            let decisions = decisions.collect::<Result<Vec<_>, _>>()?;
            // A kind that a later program wrote is nothing that this one could show.
            let decision =
                |(what, by, at, reason, about): (String, Option<[u8; 16]>, i64, String, String)| {
                    let kind = DecisionKind::from_key(&what)?;
                    let by = by.map(|by| UserId::new(Uuid::from_bytes(by)));
                    Some(RecordsDecision { kind, by, at: Timestamp::from_seconds(at), reason, about })
                };
            Ok(decisions.into_iter().filter_map(decision).collect())
        })
    }

    /// When the first entry that is not erased was written; `None` before.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn first_written_at(&self) -> Result<Option<Timestamp>, ArchiveError> {
        self.read(seal::first_written)
    }

    /// When the latest of the last entries was written, or a person last confirmed the clock, whichever came last:
    /// a clock that shows an earlier time has gone back. `None` before the first entry.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_written_at(&self) -> Result<Option<Timestamp>, ArchiveError> {
        self.read(|conn| {
            let sql = "SELECT place, at FROM decisions WHERE what = 'clock' ORDER BY number DESC LIMIT 1";
            let confirmed: Option<(i64, i64)> =
                conn.prepare_cached(sql)?.query_row([], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
            let (place, at) = confirmed.map_or((0, None), |(place, at)| (place, Some(at)));
            Ok(seal::latest_after(conn, place, i64::MAX)?.max(at).map(Timestamp::from_seconds))
        })
    }
}

pub(crate) fn put(conn: &Connection, new: &RecordsDecision) -> Result<(), ArchiveError> {
    let reason = new.reason.trim();
    if reason.is_empty() {
        return Err(ArchiveError::NoReason);
    }
    let sql = "INSERT INTO decisions (what, by, at, reason, about, place)
               VALUES (?1, ?2, ?3, ?4, ?5, (SELECT coalesce(max(place), 0) FROM entries))";
    let by = new.by.map(|by| *by.uuid().as_bytes());
    conn.execute(sql, params![new.kind.key(), by, new.at.seconds(), reason, new.about])?;
    Ok(())
}
