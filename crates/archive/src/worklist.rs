//! Worklists: indexed queries on dates.

use crate::{
    archive::Archive,
    cache::{CacheKey, CacheValue, RecomputeCost},
    error::ArchiveError,
    filter::{WorkFilter, urgencies},
    reader::summary_of,
    summary::{AppointmentItem, Summary, WorkItem, WorkKind},
    tally::{TALLY_BYTES, Tally},
};
use record::{ChildId, Day, DayRange};
use rusqlite::{Connection, ToSql};
use std::{collections::BTreeMap, sync::Arc, time::Duration};
use uuid::Uuid;

/// How long a list waits for the writing thread to count and save its counts.
const WAIT_FOR_COUNT: Duration = Duration::from_millis(400);

/// One line of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkRow {
    /// The child.
    pub child: ChildId,
    /// Family name.
    pub family_name: String,
    /// Given name.
    pub given_name: String,
    /// Hospital numbers.
    pub numbers: Vec<String>,
    /// Day of birth, if known.
    pub born: Option<Day>,
    /// "both feet" …
    pub sides: String,
    /// The phase in words.
    pub phase: String,
    /// The key of the phase.
    pub phase_key: String,
    /// The last day the child was seen.
    pub last_seen: Option<Day>,
    /// The next appointment.
    pub next_visit: Option<Day>,
    /// The item of work.
    pub item: WorkItem,
    /// For a child's own row in a list: the calls that apply to the child on that day.
    pub further: Vec<WorkItem>,
}

impl WorkRow {
    fn of(summary: &Summary, item: i64, day: Day) -> Option<Self> {
        let item = usize::try_from(item).ok().and_then(|item| summary.items.get(item))?;
        let kind = match item.kind {
            WorkKind::Row => Some(WorkKind::Attention),
            WorkKind::Lost => Some(WorkKind::FurtherLost),
            _ => None,
        };
        let further = summary.items.iter().filter(|other| Some(other.kind) == kind && other.applies(day));
        Some(Self {
            child: summary.child,
            family_name: summary.family_name.clone(),
            given_name: summary.given_name.clone(),
            numbers: summary.numbers.clone(),
            born: summary.born,
            sides: summary.sides.clone(),
            phase: summary.phase.clone(),
            phase_key: summary.phase_key.clone(),
            last_seen: summary.last_seen,
            next_visit: summary.next_visit,
            item: item.clone(),
            further: further.cloned().collect(),
        })
    }
}

/// The conditions of a filter as SQL with numbered parameters.
struct Conditions {
    sql: String,
    values: Vec<Box<dyn ToSql>>,
}

impl Conditions {
    /// `days` is the range of the items' first days; items that have ended on `open_on` are left out. Kinds and
    /// urgencies are written as lists, so that SQLite searches the index once for each and reads only items of
    /// these days.
    fn of(
        conn: &Connection,
        filter: &WorkFilter,
        days: DayRange,
        open_on: Day,
    ) -> Result<Self, ArchiveError> {
        let mut levels = Vec::new();
        for kind in filter.kind.map_or(WorkKind::ALL.to_vec(), |kind| vec![kind]) {
            levels.extend(urgencies(conn, kind, filter.min_urgency.unwrap_or(u8::MAX))?);
        }
        levels.sort_unstable();
        levels.dedup();
        let levels = levels.iter().map(i64::to_string).collect::<Vec<_>>().join(",");
        let kinds = filter.kind.map_or(WorkKind::ALL.to_vec(), |kind| vec![kind]);
        let kinds: Vec<String> = kinds.iter().map(|kind| kind.code().to_string()).collect();
        let mut all = Self {
            sql: format!(
                "kind IN ({}) AND urgency IN ({levels}) AND from_day BETWEEN ?1 AND ?2 AND until_day > ?3",
                kinds.join(",")
            ),
            values: vec![
                Box::new(days.from.number()),
                Box::new(days.to.number()),
                Box::new(open_on.number()),
            ],
        };
        all.also("rule", filter.rule.as_ref());
        all.also("phase", filter.phase.as_ref());
        Ok(all)
    }

    fn also(&mut self, column: &str, value: Option<&String>) {
        if let Some(value) = value {
            self.values.push(Box::new(value.clone()));
            self.sql.push_str(&format!(" AND {column} = ?{}", self.values.len()));
        }
    }

    fn values(&self) -> Vec<&dyn ToSql> {
        self.values.iter().map(AsRef::as_ref).collect()
    }
}

impl Archive {
    /// A page of the items that apply on a day, the most urgent first, then in order of their first day; and the
    /// number of all of them.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn worklist(
        &self,
        day: Day,
        filter: &WorkFilter,
        offset: usize,
        limit: usize,
    ) -> Result<(Vec<WorkRow>, usize), ArchiveError> {
        let days = DayRange { from: Day::FIRST, to: day };
        let rows = if limit == 0 { Vec::new() } else { self.page(filter, days, day, offset, limit)? };
        let total = self.counts(day, filter)?.into_iter().map(|(_, _, count)| count).sum();
        Ok((rows, total))
    }

    /// The numbers of items that apply on a day, by urgency and rule, in no order.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn counts(&self, day: Day, filter: &WorkFilter) -> Result<Vec<(u8, String, usize)>, ArchiveError> {
        let mut counts = Vec::new();
        for kind in filter.kind.map_or(WorkKind::ALL.to_vec(), |kind| vec![kind]) {
            let tally = self.tally(kind, day)?;
            let counted = tally.matching(filter).filter(|(_, _, count)| *count > 0);
            counts.extend(counted.map(|(urgency, rule, count)| (urgency, rule.to_owned(), count)));
        }
        Ok(counts)
    }

    fn tally(&self, kind: WorkKind, day: Day) -> Result<Arc<Tally>, ArchiveError> {
        if let Ok(writer) = self.writer() {
            if let Some(tally) = writer.tallies.get(kind, day) {
                return Ok(tally);
            }
            // During a long import the writer cannot count; then one reader counts for all who wait, and these counts
            // are not brought up to date.
            let _ = writer.count(kind, day)?.recv_timeout(WAIT_FOR_COUNT);
            if let Some(tally) = writer.tallies.get(kind, day) {
                return Ok(tally);
            }
        }
        let key = CacheKey::clinic("work tally of a reader").as_of(day).with(kind.code().to_string());
        self.cache().once(&key, self.generation()?, |_| {
            let value = self.read(|conn| Tally::of(conn, kind, day))?;
            Ok(CacheValue { value, bytes: TALLY_BYTES, cost: RecomputeCost::Quick })
        })
    }

    fn page(
        &self,
        filter: &WorkFilter,
        days: DayRange,
        open_on: Day,
        offset: usize,
        limit: usize,
    ) -> Result<Vec<WorkRow>, ArchiveError> {
        let number = |number| i64::try_from(number).unwrap_or(i64::MAX);
        self.read(|conn| {
            let mut conditions = Conditions::of(conn, filter, days, open_on)?;
            conditions.values.extend([Box::new(number(limit)) as Box<dyn ToSql>, Box::new(number(offset))]);
            let sql = format!(
                "SELECT child, item FROM work WHERE {} ORDER BY urgency, from_day, child, item
                 LIMIT ?{} OFFSET ?{}",
                conditions.sql,
                conditions.values.len() - 1,
                conditions.values.len()
            );
            let mut query = conn.prepare_cached(&sql)?;
            let mut rows = query.query(&*conditions.values())?;
            let mut page = Vec::new();
            while let Some(row) = rows.next()? {
                if let Some(summary) = self.summary_now(conn, row.get(0)?)? {
                    page.extend(WorkRow::of(&summary, row.get(1)?, open_on));
                }
            }
            Ok(page)
        })
    }

    /// The items that begin to apply within a range of days, in the order of [`Archive::worklist`].
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn due(&self, days: DayRange, filter: &WorkFilter) -> Result<Vec<WorkRow>, ArchiveError> {
        self.page(filter, days, days.from, 0, usize::MAX)
    }

    /// The appointments of a day by time of day, with the summary of each child.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn expected(&self, day: Day) -> Result<Vec<(Summary, AppointmentItem)>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT child, item FROM appointments WHERE for_day = ?1 ORDER BY time, child",
            )?;
            let mut rows = query.query([day.number()])?;
            let mut expected = Vec::new();
            while let Some(row) = rows.next()? {
                let item = usize::try_from(row.get::<_, i64>(1)?).unwrap_or(usize::MAX);
                let Some(summary) = summary_of(conn, row.get(0)?)? else { continue };
                if let Some(made) = summary.appointments.get(item).cloned() {
                    expected.push((summary, made));
                }
            }
            Ok(expected)
        })
    }

    /// The children of a day's appointments in the same order; a child with several is listed once for each.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn expected_children(&self, day: Day) -> Result<Vec<ChildId>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT c.id FROM appointments a JOIN children c ON c.number = a.child
                 WHERE a.for_day = ?1 ORDER BY a.time, a.child",
            )?;
            let ids = query.query_map([day.number()], |row| row.get(0))?;
            Ok(ids.map(|id| id.map(|id| ChildId::new(Uuid::from_bytes(id)))).collect::<Result<_, _>>()?)
        })
    }

    /// The number of appointments on each day of a range; days without any are left out.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn appointments_per_day(&self, days: DayRange) -> Result<Vec<(Day, usize)>, ArchiveError> {
        let sql =
            "SELECT for_day, count(*) FROM appointments WHERE for_day BETWEEN ?1 AND ?2 GROUP BY for_day";
        self.read(|conn| {
            let mut query = conn.prepare_cached(sql)?;
            let days = query.query_map([days.from.number(), days.to.number()], |row| {
                Ok((Day::from_number(row.get(0)?), usize::try_from(row.get::<_, i64>(1)?).unwrap_or(0)))
            })?;
            Ok(days.collect::<Result<_, _>>()?)
        })
    }

    /// The rules whose items apply on a day, with the number of items of each, the most frequent first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn rules(&self, day: Day, kind: WorkKind) -> Result<Vec<(String, usize)>, ArchiveError> {
        let filter = WorkFilter { kind: Some(kind), ..WorkFilter::default() };
        let mut rules: BTreeMap<String, usize> = BTreeMap::new();
        for (_, rule, count) in self.counts(day, &filter)? {
            *rules.entry(rule).or_default() += count;
        }
        let mut rules: Vec<_> = rules.into_iter().collect();
        rules.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        Ok(rules)
    }
}
