//! Lists of work: indexed queries on dates.

use crate::{
    archive::Archive,
    error::ArchiveError,
    reader::summary_of,
    summary::{AppointmentItem, Summary, WorkItem, WorkKind},
};
use record::{ChildId, Day, DayRange};
use rusqlite::{Connection, ToSql};

/// Which items are wanted. The default is every item.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct WorkFilter {
    /// Only this kind.
    pub kind: Option<WorkKind>,
    /// Only of this rule.
    pub rule: Option<String>,
    /// Only at least this urgent: an urgency of at most this number.
    pub min_urgency: Option<u8>,
    /// Only children in the phase of this key.
    pub phase: Option<String>,
}

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
    /// Day of birth, where known.
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
    /// What there is to do.
    pub item: WorkItem,
}

impl WorkRow {
    fn of(mut summary: Summary, item: i64) -> Option<Self> {
        let item = usize::try_from(item).ok().filter(|item| *item < summary.items.len())?;
        let item = summary.items.swap_remove(item);
        let Summary { child, family_name, given_name, numbers, born, .. } = summary;
        let Summary { sides, phase, phase_key, last_seen, next_visit, .. } = summary;
        Some(Self {
            child,
            family_name,
            given_name,
            numbers,
            born,
            sides,
            phase,
            phase_key,
            last_seen,
            next_visit,
            item,
        })
    }
}

/// The conditions of a filter as SQL with numbered parameters.
struct Conditions {
    sql: String,
    values: Vec<Box<dyn ToSql>>,
}

impl Conditions {
    /// `days` are the first and last `from` wanted. Both kind and urgency are spelt out as lists, so that
    /// the index is entered once for each and only items of the days wanted are looked at.
    fn of(conn: &Connection, filter: &WorkFilter, days: DayRange) -> Result<Self, ArchiveError> {
        let mut levels = Vec::new();
        for kind in filter.kind.map_or(WorkKind::ALL.to_vec(), |kind| vec![kind]) {
            levels.extend(urgencies(conn, kind, filter.min_urgency.unwrap_or(u8::MAX))?);
        }
        levels.sort_unstable();
        levels.dedup();
        let levels = levels.iter().map(i64::to_string).collect::<Vec<_>>().join(",");
        let kinds = filter.kind.map_or("0,1,2".to_owned(), |kind| kind.code().to_string());
        let mut all = Self {
            sql: format!("kind IN ({kinds}) AND urgency IN ({levels}) AND from_day BETWEEN ?1 AND ?2"),
            values: vec![Box::new(days.from.number()), Box::new(days.to.number())],
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

/// The urgencies in use, found by leaping through the index.
fn urgencies(conn: &Connection, kind: WorkKind, most: u8) -> Result<Vec<i64>, ArchiveError> {
    let mut next = conn.prepare_cached("SELECT min(urgency) FROM work WHERE kind = ?1 AND urgency > ?2")?;
    let mut found = Vec::new();
    let mut last = -1_i64;
    while let Some(urgency) = next.query_row([kind.code(), last], |row| row.get::<_, Option<i64>>(0))? {
        if urgency > i64::from(most) {
            break;
        }
        found.push(urgency);
        last = urgency;
    }
    Ok(found)
}

impl Archive {
    /// The items that apply on a day (`from` on or before it), the most urgent first, then the longest
    /// waiting; with the number of all of them.
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
        let rows = self.read(|conn| page(conn, filter, days, offset, limit))?;
        let total = self.count(&format!("work {day} {filter:?}"), |conn| {
            let conditions = Conditions::of(conn, filter, days)?;
            let sql = format!("SELECT count(*) FROM work WHERE {}", conditions.sql);
            Ok(conn.prepare_cached(&sql)?.query_row(&*conditions.values(), |row| row.get(0))?)
        })?;
        Ok((rows, total))
    }

    /// The items that begin to apply within some days, in the same order.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn due(&self, days: DayRange, filter: &WorkFilter) -> Result<Vec<WorkRow>, ArchiveError> {
        self.read(|conn| page(conn, filter, days, 0, usize::MAX))
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

    /// How many appointments there are on each day of a range that has any.
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

    /// The rules that apply on a day, with the number of items of each, the most frequent first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn rules(&self, day: Day, kind: WorkKind) -> Result<Vec<(String, usize)>, ArchiveError> {
        self.read(|conn| {
            let filter = WorkFilter { kind: Some(kind), ..WorkFilter::default() };
            let conditions = Conditions::of(conn, &filter, DayRange { from: Day::FIRST, to: day })?;
            let sql = format!(
                "SELECT rule, count(*) FROM work WHERE {} GROUP BY rule ORDER BY count(*) DESC, rule",
                conditions.sql
            );
            let mut query = conn.prepare_cached(&sql)?;
            let rules = query.query_map(&*conditions.values(), |row| {
                Ok((row.get(0)?, usize::try_from(row.get::<_, i64>(1)?).unwrap_or(0)))
            })?;
            Ok(rules.collect::<Result<_, _>>()?)
        })
    }
}

fn page(
    conn: &Connection,
    filter: &WorkFilter,
    days: DayRange,
    offset: usize,
    limit: usize,
) -> Result<Vec<WorkRow>, ArchiveError> {
    let conditions = Conditions::of(conn, filter, days)?;
    let sql = format!(
        "SELECT child, item FROM work WHERE {} ORDER BY urgency, from_day, child, item LIMIT {} OFFSET {}",
        conditions.sql,
        i64::try_from(limit).unwrap_or(i64::MAX),
        i64::try_from(offset).unwrap_or(i64::MAX)
    );
    let mut query = conn.prepare(&sql)?;
    let mut rows = query.query(&*conditions.values())?;
    let mut page = Vec::new();
    while let Some(row) = rows.next()? {
        if let Some(summary) = summary_of(conn, row.get(0)?)? {
            page.extend(WorkRow::of(summary, row.get(1)?));
        }
    }
    Ok(page)
}
