//! Marks, by which a child is found without its log, and texts kept for computing over all children.
//! Both come with the summary and are written with it.

use crate::{archive::Archive, error::ArchiveError, reader, summary::Summary};
use record::{ChildId, Day, DayRange};
use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// Something by which a child is to be found.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Mark {
    /// What kind of mark: the caller's word.
    #[serde(rename = "t")]
    pub topic: String,
    /// The mark.
    #[serde(rename = "k")]
    pub key: String,
    /// The first day over which it holds.
    #[serde(rename = "f")]
    pub from: Day,
    /// The last day.
    #[serde(rename = "u")]
    pub to: Day,
}

/// A text of the caller's own, to compute over all children from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Kept {
    /// What for: the caller's word; a child has at most one text for each.
    #[serde(rename = "t")]
    pub topic: String,
    /// The text.
    #[serde(rename = "x")]
    pub text: String,
}

/// The rows of marks and texts of a summary.
#[derive(Default, PartialEq, Eq)]
pub(crate) struct Rows {
    marks: Vec<Mark>,
    kept: Vec<Kept>,
}

impl Rows {
    pub(crate) fn of(summary: &Summary) -> Self {
        let (marks, mut kept) = (summary.marks.clone(), summary.kept.clone());
        kept.sort();
        kept.dedup_by(|one, other| one.topic == other.topic);
        Self { marks, kept }
    }

    pub(crate) fn counts(&self) -> [usize; 2] {
        [self.marks.len(), self.kept.len()]
    }

    pub(crate) fn put(&self, conn: &Connection, child: i64) -> rusqlite::Result<()> {
        let mut insert = conn.prepare_cached("INSERT INTO marks VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?;
        for (item, mark) in (0_i64..).zip(&self.marks) {
            let (from, to) = (mark.from.number(), mark.to.number());
            insert.execute(params![mark.topic, mark.key, child, item, from, to])?;
        }
        let mut insert = conn.prepare_cached("INSERT INTO kept VALUES (?1, ?2, ?3)")?;
        for kept in &self.kept {
            insert.execute(params![kept.topic, child, kept.text])?;
        }
        Ok(())
    }

    pub(crate) fn remove(&self, conn: &Connection, child: i64) -> rusqlite::Result<()> {
        let mut delete = conn
            .prepare_cached("DELETE FROM marks WHERE topic = ?1 AND key = ?2 AND child = ?3 AND item = ?4")?;
        for (item, mark) in (0_i64..).zip(&self.marks) {
            delete.execute(params![mark.topic, mark.key, child, item])?;
        }
        let mut delete = conn.prepare_cached("DELETE FROM kept WHERE topic = ?1 AND child = ?2")?;
        for kept in &self.kept {
            delete.execute(params![kept.topic, child])?;
        }
        Ok(())
    }

    pub(crate) fn agree(&self, conn: &Connection, child: i64) -> rusqlite::Result<bool> {
        let mut query = conn.prepare_cached(
            "SELECT 1 FROM marks WHERE topic = ?1 AND key = ?2 AND child = ?3 AND item = ?4
             AND from_day = ?5 AND to_day = ?6",
        )?;
        for (item, mark) in (0_i64..).zip(&self.marks) {
            let (from, to) = (mark.from.number(), mark.to.number());
            if !query.exists(params![mark.topic, mark.key, child, item, from, to])? {
                return Ok(false);
            }
        }
        let mut query =
            conn.prepare_cached("SELECT 1 FROM kept WHERE topic = ?1 AND child = ?2 AND text = ?3")?;
        for kept in &self.kept {
            if !query.exists(params![kept.topic, child, kept.text])? {
                return Ok(false);
            }
        }
        Ok(true)
    }
}

fn child_of(bytes: [u8; 16]) -> ChildId {
    ChildId::new(Uuid::from_bytes(bytes))
}

impl Archive {
    /// The children who bear a mark over any of some days, each once, in the order of first writing.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn marked(&self, topic: &str, key: &str, days: DayRange) -> Result<Vec<ChildId>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT DISTINCT c.number, c.id FROM marks m JOIN children c ON c.number = m.child
                 WHERE m.topic = ?1 AND m.key = ?2 AND m.from_day <= ?4 AND m.to_day >= ?3 ORDER BY 1",
            )?;
            let found = query
                .query_map(params![topic, key, days.from.number(), days.to.number()], |row| {
                    Ok(child_of(row.get(1)?))
                })?;
            Ok(found.collect::<Result<_, _>>()?)
        })
    }

    /// How often each mark of a topic stands, those that begin after a day left out.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn marks_counted(&self, topic: &str, until: Day) -> Result<Vec<(String, usize)>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT key, count(*) FROM marks WHERE topic = ?1 AND from_day <= ?2 GROUP BY key",
            )?;
            let counted = query.query_map(params![topic, until.number()], |row| {
                Ok((row.get(0)?, usize::try_from(row.get::<_, i64>(1)?).unwrap_or(0)))
            })?;
            Ok(counted.collect::<Result<_, _>>()?)
        })
    }

    /// Every text kept for a topic with its child, one after the other.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn for_each_kept(&self, topic: &str, f: &mut dyn FnMut(ChildId, &str)) -> Result<(), ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT c.id, k.text FROM kept k JOIN children c ON c.number = k.child WHERE k.topic = ?1",
            )?;
            let mut rows = query.query([topic])?;
            while let Some(row) = rows.next()? {
                let text = row.get_ref(1)?.as_str().map_err(rusqlite::Error::from)?;
                f(child_of(row.get(0)?), text);
            }
            Ok(())
        })
    }

    /// The text kept of a child for a topic.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn kept(&self, topic: &str, child: ChildId) -> Result<Option<String>, ArchiveError> {
        self.read(|conn| {
            let Some(number) = reader::child_number(conn, child)? else { return Ok(None) };
            let mut query = conn.prepare_cached("SELECT text FROM kept WHERE topic = ?1 AND child = ?2")?;
            Ok(query.query_row(params![topic, number], |row| row.get(0)).optional()?)
        })
    }
}
