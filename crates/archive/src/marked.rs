//! Finds children by a mark without reading their logs, and reads the texts that are saved for computations
//! over all children.

use crate::{archive::Archive, error::ArchiveError, reader};
use record::{ChildId, Day, DayRange};
use rusqlite::{OptionalExtension, params};
use uuid::Uuid;

fn child_of(bytes: [u8; 16]) -> ChildId {
    ChildId::new(Uuid::from_bytes(bytes))
}

impl Archive {
    /// The children who have a mark on any of these days, each once, in the order of their first entry.
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

    /// How often each mark of a topic occurs, without those that begin after a day.
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

    /// Calls `each` with every child that has a text of a topic, and the text.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn for_each_saved_text(
        &self,
        topic: &str,
        each: &mut dyn FnMut(ChildId, &str),
    ) -> Result<(), ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT c.id, k.text FROM kept k JOIN children c ON c.number = k.child WHERE k.topic = ?1",
            )?;
            let mut rows = query.query([topic])?;
            while let Some(row) = rows.next()? {
                let text = row.get_ref(1)?.as_str().map_err(rusqlite::Error::from)?;
                each(child_of(row.get(0)?), text);
            }
            Ok(())
        })
    }

    /// The text of a child for a topic.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn saved_text(&self, topic: &str, child: ChildId) -> Result<Option<String>, ArchiveError> {
        self.read(|conn| {
            let Some(number) = reader::child_number(conn, child)? else { return Ok(None) };
            let mut query = conn.prepare_cached("SELECT text FROM kept WHERE topic = ?1 AND child = ?2")?;
            Ok(query.query_row(params![topic, number], |row| row.get(0)).optional()?)
        })
    }
}
