//! Restricted records: who may open them, and openings by others for a stated reason. Plain rows, only added.

use crate::{archive::Archive, error::ArchiveError};
use record::{ChildId, Timestamp, UserId};
use rusqlite::{Row, params};
use uuid::Uuid;

/// A restriction that was set, changed or lifted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestrictionStep {
    /// The child.
    pub child: ChildId,
    /// The people who may open the record; `None` where the restriction was lifted.
    pub people: Option<Vec<UserId>>,
    /// Who did it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Why.
    pub reason: String,
}

/// An opening of a restricted record by somebody who is not named, to be stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewRestrictedOpening {
    /// The child.
    pub child: ChildId,
    /// Who.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// Until when the record stays open for this person.
    pub until: Timestamp,
    /// Why.
    pub reason: String,
    /// On which device.
    pub device: String,
}

/// A stored opening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestrictedOpening {
    /// Its number.
    pub number: i64,
    /// What it says.
    pub opening: NewRestrictedOpening,
}

/// The restrictions of an archive. A clone is another handle to the same.
#[derive(Clone)]
pub struct Restrictions(Archive);

impl Archive {
    /// The restricted records.
    #[must_use]
    pub fn restrictions(&self) -> Restrictions {
        Restrictions(self.clone())
    }
}

const STEP: &str = "SELECT child, people, by, at, reason FROM restrictions";
const OPENING: &str = "SELECT number, child, by, at, until, reason, device FROM restricted_openings";

impl Restrictions {
    /// The restrictions in force.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn in_force(&self) -> Result<Vec<RestrictionStep>, ArchiveError> {
        let sql = format!(
            "{STEP} r WHERE people IS NOT NULL
             AND number = (SELECT max(number) FROM restrictions o WHERE o.child = r.child)"
        );
        self.steps(&sql, &[])
    }

    /// Everything that was done about the restriction of a child, the latest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn history(&self, child: ChildId) -> Result<Vec<RestrictionStep>, ArchiveError> {
        let sql = format!("{STEP} WHERE child = ?1 ORDER BY number DESC");
        self.steps(&sql, &[child.uuid().as_bytes()])
    }

    fn steps(&self, sql: &str, values: &[&[u8; 16]]) -> Result<Vec<RestrictionStep>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn.prepare_cached(sql)?;
            let steps = query.query_map(rusqlite::params_from_iter(values), step)?;
            Ok(steps.collect::<Result<_, _>>()?)
        })
    }

    /// Stores what was done.
    ///
    /// # Errors
    /// When the reason is empty, nobody is named, or the file cannot be written.
    pub fn add(&self, new: RestrictionStep) -> Result<(), ArchiveError> {
        if new.reason.trim().is_empty() {
            return Err(ArchiveError::NoReason);
        }
        self.0.writer()?.run(move |conn| {
            let people = new.people.map(|people| {
                let ids: Vec<String> = people.iter().map(ToString::to_string).collect();
                ids.join(",")
            });
            let sql = "INSERT INTO restrictions (child, people, by, at, reason) VALUES (?1, ?2, ?3, ?4, ?5)";
            let (child, by) = (new.child.uuid(), new.by.uuid());
            conn.prepare_cached(sql)?.execute(params![
                child.as_bytes(),
                people,
                by.as_bytes(),
                new.at.seconds(),
                new.reason.trim()
            ])?;
            Ok(())
        })
    }

    /// Stores an opening.
    ///
    /// # Errors
    /// When the reason is empty or the file cannot be written.
    pub fn open(&self, new: NewRestrictedOpening) -> Result<(), ArchiveError> {
        if new.reason.trim().is_empty() {
            return Err(ArchiveError::NoReason);
        }
        self.0.writer()?.run(move |conn| {
            let sql = "INSERT INTO restricted_openings (child, by, at, until, reason, device)
                       VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
            conn.prepare_cached(sql)?.execute(params![
                new.child.uuid().as_bytes(),
                new.by.uuid().as_bytes(),
                new.at.seconds(),
                new.until.seconds(),
                new.reason.trim(),
                new.device
            ])?;
            Ok(())
        })
    }

    /// The openings that last until after an instant.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn open_after(&self, now: Timestamp) -> Result<Vec<RestrictedOpening>, ArchiveError> {
        self.openings(&format!("{OPENING} WHERE until > ?1 ORDER BY number"), params![now.seconds()])
    }

    /// The openings that a lead has not acknowledged, the earliest first; never the lead's own.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn unseen_by(&self, lead: UserId) -> Result<Vec<RestrictedOpening>, ArchiveError> {
        let sql = format!(
            "{OPENING} o WHERE by <> ?1
             AND NOT EXISTS (SELECT 1 FROM seen_openings s WHERE s.opening = o.number AND s.lead = ?1)
             ORDER BY number"
        );
        self.openings(&sql, params![lead.uuid().as_bytes()])
    }

    fn openings(
        &self,
        sql: &str,
        values: &[&dyn rusqlite::ToSql],
    ) -> Result<Vec<RestrictedOpening>, ArchiveError> {
        self.0.read(|conn| {
            let mut query = conn.prepare_cached(sql)?;
            let openings = query.query_map(values, opening)?;
            Ok(openings.collect::<Result<_, _>>()?)
        })
    }

    /// Notes that a lead has seen every opening up to a number.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn acknowledge(&self, lead: UserId, up_to: i64, now: Timestamp) -> Result<(), ArchiveError> {
        self.0.writer()?.run(move |conn| {
            let sql = "INSERT OR IGNORE INTO seen_openings (opening, lead, at)
                       SELECT number, ?1, ?2 FROM restricted_openings WHERE number <= ?3";
            conn.prepare_cached(sql)?.execute(params![lead.uuid().as_bytes(), now.seconds(), up_to])?;
            Ok(())
        })
    }
}

fn step(row: &Row<'_>) -> rusqlite::Result<RestrictionStep> {
    let people: Option<String> = row.get(1)?;
    Ok(RestrictionStep {
        child: ChildId::new(Uuid::from_bytes(row.get(0)?)),
        // An id that cannot be read names nobody, so that the record stays closed.
        people: people.map(|ids| ids.split(',').filter_map(|id| id.parse().ok()).collect()),
        by: UserId::new(Uuid::from_bytes(row.get(2)?)),
        at: Timestamp::from_seconds(row.get(3)?),
        reason: row.get(4)?,
    })
}

fn opening(row: &Row<'_>) -> rusqlite::Result<RestrictedOpening> {
    Ok(RestrictedOpening {
        number: row.get(0)?,
        opening: NewRestrictedOpening {
            child: ChildId::new(Uuid::from_bytes(row.get(1)?)),
            by: UserId::new(Uuid::from_bytes(row.get(2)?)),
            at: Timestamp::from_seconds(row.get(3)?),
            until: Timestamp::from_seconds(row.get(4)?),
            reason: row.get(5)?,
            device: row.get(6)?,
        },
    })
}
