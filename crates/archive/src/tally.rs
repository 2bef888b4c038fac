//! How many items apply on a day, by urgency, rule and phase.
//!
//! Counting a list at a hundred thousand children takes longer than everything else on its page, and
//! every write would make it be counted again. So it is counted once for a day, on the thread that
//! writes, and from then on each commit adds and takes away what it changed. The changes are gathered in
//! a table of the writer's own connection, so that a job that is undone takes its changes back with it.

use crate::{
    cache::{CacheKey, LogCache, Weighed, Worth},
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

/// Where a connection that writes gathers what it changes.
pub(crate) const CHANGES: &str = "PRAGMA temp_store = MEMORY;
    CREATE TEMP TABLE work_changes
    (kind INTEGER, urgency INTEGER, from_day INTEGER, until_day INTEGER, rule TEXT, phase TEXT, added INTEGER);";

/// More rows than this at once are an import or a rebuild: counted again rather than told one by one.
const TOLD_ONE_BY_ONE: usize = 4_096;

/// A row of the work table as far as it is counted: kind, urgency, from which day and until which, rule, phase.
pub(crate) type Line<'a> = (i64, u8, (i32, i32), &'a str, &'a str);

/// Notes rows that came (1) or went (-1).
pub(crate) fn note<'a>(
    conn: &Connection,
    lines: impl ExactSizeIterator<Item = Line<'a>>,
    added: i64,
) -> rusqlite::Result<()> {
    if lines.len() > TOLD_ONE_BY_ONE {
        conn.execute("INSERT INTO work_changes (added) VALUES (NULL)", [])?;
        return Ok(());
    }
    let mut insert = conn.prepare_cached("INSERT INTO work_changes VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)")?;
    for (kind, urgency, (from, until), rule, phase) in lines {
        insert.execute(params![kind, urgency, from, until, rule, phase, added])?;
    }
    Ok(())
}

/// What a transaction changed.
pub(crate) enum Changes {
    /// Row by row.
    Listed(Vec<Change>),
    /// More than is told.
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

/// Takes what was noted, at the end of a transaction.
pub(crate) fn take(conn: &Connection) -> Changes {
    let told = told(conn);
    let emptied = conn.prepare_cached("DELETE FROM work_changes").and_then(|mut all| all.execute([]));
    match (told, emptied) {
        (Ok(Some(listed)), Ok(_)) => Changes::Listed(listed),
        _ => Changes::Many,
    }
}

/// `None` where there are more than are told.
fn told(conn: &Connection) -> rusqlite::Result<Option<Vec<Change>>> {
    let sql = "SELECT kind, urgency, from_day, rule, phase, added, until_day FROM work_changes";
    let mut query = conn.prepare_cached(sql)?;
    let mut rows = query.query([])?;
    let mut told = Vec::new();
    while let Some(row) = rows.next()? {
        let Some(added) = row.get(5)? else { return Ok(None) };
        let (kind, urgency, from, until) = (row.get(0)?, row.get(1)?, row.get(2)?, row.get(6)?);
        told.push(Change { kind, urgency, from, until, rule: row.get(3)?, phase: row.get(4)?, added });
    }
    Ok(Some(told))
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
    /// Counts.
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

    /// The counts that a filter lets through: urgency, rule, how many.
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

/// The counts in the cache, at most one day of each kind. Only the thread that writes saves and changes them,
/// so they are right in every generation of the log.
pub(crate) struct Tallies {
    cache: Arc<LogCache>,
}

/// By estimate: some fifty rules, each with a dozen phases.
const TALLY_BYTES: usize = 64 << 10;

impl Tallies {
    pub(crate) const fn of(cache: Arc<LogCache>) -> Self {
        Self { cache }
    }

    /// The counts of a day, where they are at hand.
    pub(crate) fn get(&self, kind: WorkKind, day: Day) -> Option<Arc<Tally>> {
        self.cache.latest::<Tally>(&key(kind)).map(|saved| saved.value).filter(|tally| tally.day == day)
    }

    fn put(&self, tally: Tally) {
        let key = key(tally.kind);
        self.cache.put(key, 0, Weighed { value: tally, bytes: TALLY_BYTES, worth: Worth::Slow });
    }

    /// Counts, on the thread that writes and outside a transaction. Where that fails they are not at hand.
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

    /// What a transaction changed, now that it is on disk and before anybody is answered.
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
