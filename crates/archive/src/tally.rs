//! The numbers of items that apply on a day, by urgency, rule and phase.
//!
//! With a hundred thousand children, counting a list takes longer than the rest of its page, and every write
//! would make it necessary again. So the writing thread counts it once for a day, and each later commit adds
//! its changes to the counts. The changes are collected in a table of the writer's own connection, so that
//! undoing a job undoes its changes too.

use crate::{
    cache::{CacheKey, CacheValue, LogCache, RecomputeCost},
    error::ArchiveError,
    filter::{WorkFilter, urgencies},
    summary::WorkKind,
};
use record::Day;
use rusqlite::{Connection, params};
use std::{
    collections::{BTreeMap, HashMap},
    sync::Arc,
};

/// The table in which a writing connection collects its changes.
pub(crate) const CHANGES: &str = "PRAGMA temp_store = MEMORY;
    CREATE TEMP TABLE work_changes
    (kind INTEGER, urgency INTEGER, from_day INTEGER, until_day INTEGER, rule TEXT, phase TEXT, added INTEGER);";

/// More changed rows than this at once are an import or a rebuild: the list is then counted again.
const LISTED_CHANGES: usize = 4_096;

/// The columns of the work table that are counted: kind, urgency, from and until which day, rule, phase.
pub(crate) type Line<'a> = (i64, u8, (i32, i32), &'a str, &'a str);

/// Notes rows that were added (1) or removed (-1).
pub(crate) fn note<'a>(
    conn: &Connection,
    lines: impl ExactSizeIterator<Item = Line<'a>>,
    added: i64,
) -> rusqlite::Result<()> {
    if lines.len() > LISTED_CHANGES {
        return note_all(conn);
    }
    let mut insert = conn.prepare_cached("INSERT INTO work_changes VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)")?;
    for (kind, urgency, (from, until), rule, phase) in lines {
        insert.execute(params![kind, urgency, from, until, rule, phase, added])?;
    }
    Ok(())
}

/// Notes that every row may have changed.
pub(crate) fn note_all(conn: &Connection) -> rusqlite::Result<()> {
    conn.execute("INSERT INTO work_changes (added) VALUES (NULL)", []).map(|_| ())
}

/// The changes of a transaction.
pub(crate) enum Changes {
    /// Each changed row.
    Listed(Vec<Change>),
    /// More rows than are listed.
    Many,
}

pub(crate) struct Change {
    kind: i64,
    urgency: u8,
    from: i32,
    until: i32,
    rule: String,
    phase: String,
    added: i64,
}

/// Takes the noted changes, at the end of a transaction.
pub(crate) fn take(conn: &Connection) -> Changes {
    let listed = listed(conn);
    let emptied = conn.prepare_cached("DELETE FROM work_changes").and_then(|mut all| all.execute([]));
    match (listed, emptied) {
        (Ok(Some(listed)), Ok(_)) => Changes::Listed(listed),
        _ => Changes::Many,
    }
}

/// The noted changes; `None` if there are more than are listed.
fn listed(conn: &Connection) -> rusqlite::Result<Option<Vec<Change>>> {
    let sql = "SELECT kind, urgency, from_day, rule, phase, added, until_day FROM work_changes";
    let mut query = conn.prepare_cached(sql)?;
    let mut rows = query.query([])?;
    let mut listed = Vec::new();
    while let Some(row) = rows.next()? {
        let Some(added) = row.get(5)? else { return Ok(None) };
        let (kind, urgency, from, until) = (row.get(0)?, row.get(1)?, row.get(2)?, row.get(6)?);
        listed.push(Change { kind, urgency, from, until, rule: row.get(3)?, phase: row.get(4)?, added });
    }
    Ok(Some(listed))
}

/// Counts by rule, then phase.
type ByRule = HashMap<String, HashMap<String, i64>>;

/// The counts of one kind on one day.
#[derive(Debug, Clone)]
pub(crate) struct Tally {
    kind: WorkKind,
    day: Day,
    counts: BTreeMap<u8, ByRule>,
}

impl Tally {
    /// Counts the items.
    pub(crate) fn of(conn: &Connection, kind: WorkKind, day: Day) -> Result<Self, ArchiveError> {
        let sql = "SELECT rule, phase FROM work WHERE kind = ?1 AND urgency = ?2 AND from_day <= ?3 AND until_day > ?3";
        let mut query = conn.prepare_cached(sql)?;
        let mut tally = Self { kind, day, counts: BTreeMap::new() };
        for urgency in urgencies(conn, kind, u8::MAX)? {
            let mut rows = query.query(params![kind.code(), urgency, day.number()])?;
            let by_rule = tally.by_rule(u8::try_from(urgency).unwrap_or(u8::MAX));
            while let Some(row) = rows.next()? {
                let text = |column| row.get_ref(column)?.as_str().map_err(rusqlite::Error::from);
                add(by_rule, text(0)?, text(1)?, 1);
            }
        }
        Ok(tally)
    }

    fn by_rule(&mut self, urgency: u8) -> &mut ByRule {
        self.counts.entry(urgency).or_default()
    }

    fn apply(&mut self, change: &Change) {
        let day = self.day.number();
        if change.kind == self.kind.code() && change.from <= day && change.until > day {
            add(self.by_rule(change.urgency), &change.rule, &change.phase, change.added);
        }
    }

    /// The counts of the items that pass a filter: urgency, rule, number.
    pub(crate) fn matching(&self, filter: &WorkFilter) -> impl Iterator<Item = (u8, &str, usize)> {
        let urgent = filter.min_urgency.unwrap_or(u8::MAX);
        let levels = self.counts.iter().filter(move |(urgency, _)| **urgency <= urgent);
        let rules = levels.flat_map(|(urgency, by_rule)| {
            by_rule.iter().map(move |(rule, by_phase)| (*urgency, rule, by_phase))
        });
        let rules = rules.filter(|(_, rule, _)| filter.rule.as_ref().is_none_or(|wanted| wanted == *rule));
        rules.map(|(urgency, rule, by_phase)| {
            let phases = by_phase.iter();
            let phases =
                phases.filter(|(phase, _)| filter.phase.as_ref().is_none_or(|wanted| wanted == *phase));
            let count: i64 = phases.map(|(_, count)| count).sum();
            (urgency, rule.as_str(), usize::try_from(count).unwrap_or(0))
        })
    }
}

fn add(by_rule: &mut ByRule, rule: &str, phase: &str, added: i64) {
    match by_rule.get_mut(rule).and_then(|by_phase| by_phase.get_mut(phase)) {
        Some(count) => *count += added,
        None => {
            by_rule.entry(rule.to_owned()).or_default().insert(phase.to_owned(), added);
        }
    }
}

/// The counts in the cache, of at most one day for each kind. Only the writing thread saves and changes them, so
/// they are right for every generation of the log.
pub(crate) struct Tallies {
    cache: Arc<LogCache>,
}

/// Estimated for fifty rules with a dozen phases each.
pub(crate) const TALLY_BYTES: usize = 64 << 10;

impl Tallies {
    pub(crate) const fn of(cache: Arc<LogCache>) -> Self {
        Self { cache }
    }

    /// The counts of a day, if they are saved.
    pub(crate) fn get(&self, kind: WorkKind, day: Day) -> Option<Arc<Tally>> {
        self.cache.latest::<Tally>(&key(kind)).map(|saved| saved.value).filter(|tally| tally.day == day)
    }

    fn put(&self, tally: Tally) {
        let key = key(tally.kind);
        self.cache.put(key, 0, CacheValue { value: tally, bytes: TALLY_BYTES, cost: RecomputeCost::Slow });
    }

    /// Counts and saves, on the writing thread and outside a transaction. If that fails no counts are saved.
    pub(crate) fn count(&self, conn: &Connection, kind: WorkKind, day: Day) {
        if self.get(kind, day).is_some() {
            return;
        }
        match Tally::of(conn, kind, day) {
            Ok(tally) => self.put(tally),
            Err(_) => self.drop_kind(kind),
        }
    }

    fn drop_kind(&self, kind: WorkKind) {
        self.cache.remove(|other| *other == key(kind));
    }

    /// Applies the changes of a transaction after its commit and before any caller is answered.
    pub(crate) fn changed(&self, conn: &Connection, changes: &Changes) {
        for kind in WorkKind::ALL {
            let Some(tally) = self.cache.latest::<Tally>(&key(kind)).map(|saved| saved.value) else {
                continue;
            };
            match changes {
                Changes::Listed(listed) if listed.iter().any(|change| change.kind == kind.code()) => {
                    let mut tally = Tally::clone(&tally);
                    listed.iter().for_each(|change| tally.apply(change));
                    self.put(tally);
                }
                Changes::Listed(_) => {}
                Changes::Many => match Tally::of(conn, kind, tally.day) {
                    Ok(tally) => self.put(tally),
                    Err(_) => self.drop_kind(kind),
                },
            }
        }
    }
}

fn key(kind: WorkKind) -> CacheKey {
    CacheKey::clinic("work tally").with(kind.code().to_string())
}
