//! Finding children by a mark without their logs, and reading the texts that are saved for computing over
//! all children.

use crate::{archive::Archive, error::ArchiveError, reader};
use record::{ChildId, Day, DayRange};
use rusqlite::{OptionalExtension, params};
use uuid::Uuid;

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
