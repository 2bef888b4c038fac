//! The rows of marks and texts of a summary, written with it.

use crate::summary::{Mark, SavedText, Summary};
use rusqlite::{Connection, params};

/// The rows of marks and texts of a summary.
#[derive(Default, PartialEq, Eq)]
pub(crate) struct Rows {
    marks: Vec<Mark>,
    texts: Vec<SavedText>,
}

impl Rows {
    pub(crate) fn of(summary: &Summary) -> Self {
        let (marks, mut texts) = (summary.marks.clone(), summary.texts.clone());
        texts.sort();
        texts.dedup_by(|one, other| one.topic == other.topic);
        Self { marks, texts }
    }

    pub(crate) fn counts(&self) -> [usize; 2] {
        [self.marks.len(), self.texts.len()]
    }

    pub(crate) fn put(&self, conn: &Connection, child: i64) -> rusqlite::Result<()> {
        let mut insert = conn.prepare_cached("INSERT INTO marks VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?;
        for (item, mark) in (0_i64..).zip(&self.marks) {
            let (from, to) = (mark.from.number(), mark.to.number());
            insert.execute(params![mark.topic, mark.key, child, item, from, to])?;
        }
        let mut insert = conn.prepare_cached("INSERT INTO kept VALUES (?1, ?2, ?3)")?;
        for saved in &self.texts {
            insert.execute(params![saved.topic, child, saved.text])?;
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
        for saved in &self.texts {
            delete.execute(params![saved.topic, child])?;
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
        for saved in &self.texts {
            if !query.exists(params![saved.topic, child, saved.text])? {
                return Ok(false);
            }
        }
        Ok(true)
    }
}
