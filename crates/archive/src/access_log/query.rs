//! Reading the log: filtered, the latest row first.

use super::{
    AccessLog,
    file::{COLUMNS, open_for_reading, row_of},
    row::{AccessOutcome, AccessRow},
};
use crate::error::ArchiveError;
use record::{ChildId, Timestamp, UserId};
use rusqlite::ToSql;

/// Which rows are wanted; by default all.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AccessFilter {
    /// About these children; `Some` of none finds nothing.
    pub children: Option<Vec<ChildId>>,
    /// By this person.
    pub person: Option<UserId>,
    /// By nobody who signed in.
    pub not_signed_in: bool,
    /// From the device with this name.
    pub device: Option<String>,
    /// From this instant on.
    pub from: Option<Timestamp>,
    /// Before this instant.
    pub before: Option<Timestamp>,
    /// Only what was refused.
    pub refused: bool,
    /// Only openings of restricted records by people who are not named.
    pub restricted_openings: bool,
}

impl AccessFilter {
    fn conditions(&self) -> (String, Vec<Box<dyn ToSql>>) {
        let (mut sql, mut values): (Vec<String>, Vec<Box<dyn ToSql>>) = (vec!["1".to_owned()], Vec::new());
        let mut also = |condition: &str, value: Box<dyn ToSql>| {
            values.push(value);
            sql.push(condition.replace('?', &format!("?{}", values.len())));
        };
        if let Some(person) = self.person {
            also("person = ?", Box::new(*person.uuid().as_bytes()));
        }
        if let Some(device) = &self.device {
            also("device = ?", Box::new(device.clone()));
        }
        if let Some(from) = self.from {
            also("at >= ?", Box::new(from.seconds()));
        }
        if let Some(before) = self.before {
            also("at < ?", Box::new(before.seconds()));
        }
        if let Some(children) = &self.children {
            // Ids are hexadecimal digits, so they may be written out.
            let ids: Vec<String> = children.iter().map(|id| format!("x'{}'", id.uuid().simple())).collect();
            sql.push(format!("child IN ({})", ids.join(",")));
        }
        if self.not_signed_in {
            sql.push("person IS NULL".to_owned());
        }
        if self.refused {
            let refused =
                [AccessOutcome::Refused, AccessOutcome::Restricted].map(|one| one.code().to_string());
            sql.push(format!("outcome IN ({})", refused.join(",")));
        }
        if self.restricted_openings {
            sql.push(format!("outcome = {}", AccessOutcome::OpenedRestricted.code()));
        }
        (sql.join(" AND "), values)
    }
}

impl AccessLog {
    /// A page of the rows, the latest first, and the number of all that are wanted.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn rows(
        &self,
        filter: &AccessFilter,
        offset: usize,
        limit: usize,
    ) -> Result<(Vec<AccessRow>, usize), ArchiveError> {
        self.flush()?;
        let Some(conn) = open_for_reading(self.dir(), self.key())? else { return Ok((Vec::new(), 0)) };
        let (sql, values) = filter.conditions();
        let values: Vec<&dyn ToSql> = values.iter().map(AsRef::as_ref).collect();
        let count = format!("SELECT count(*) FROM access WHERE {sql}");
        let total: i64 = conn.query_row(&count, &*values, |row| row.get(0))?;
        let number = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
        let page = format!(
            "SELECT {COLUMNS} FROM access WHERE {sql} ORDER BY number DESC LIMIT {} OFFSET {}",
            number(limit),
            number(offset)
        );
        let mut query = conn.prepare(&page)?;
        let mut rows = query.query(&*values)?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            found.extend(row_of(row)?);
        }
        Ok((found, usize::try_from(total).unwrap_or(0)))
    }

    /// The names of the devices in the log, by name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn devices(&self) -> Result<Vec<String>, ArchiveError> {
        let Some(conn) = open_for_reading(self.dir(), self.key())? else { return Ok(Vec::new()) };
        let mut query = conn.prepare("SELECT DISTINCT device FROM access ORDER BY device")?;
        let names = query.query_map([], |row| row.get(0))?;
        Ok(names.collect::<Result<_, _>>()?)
    }
}
