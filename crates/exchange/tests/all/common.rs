//! A clinic's file as text, an import of it, and a record that remembers what was imported.

use exchange::{
    Disposition, HoldingEntry, Known, KnownChild, MapFile, Plan, Report, RowReport, Stamp, Table, guess,
    plan, read_table,
};
use record::{Body, ChildId, Day, Entry, Registration, SiteId, Timestamp, UserId};
use std::sync::atomic::{AtomicU32, Ordering};
use uuid::Uuid;

/// 2 June 2025, noon.
pub fn stamp() -> Stamp {
    Stamp {
        at: "2025-06-02T12:00:00Z".parse::<Timestamp>().unwrap(),
        today: day("2025-06-02"),
        by: UserId::new(Uuid::from_u128(1)),
        site: SiteId::new(Uuid::from_u128(2)),
    }
}

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// A record held in memory.
#[derive(Default, Clone)]
pub struct Memory(pub Vec<Entry>);

impl Memory {
    fn children(&self) -> impl Iterator<Item = (ChildId, &Registration)> {
        self.0.iter().filter_map(|entry| match &entry.body {
            Body::Registration(body) => Some((entry.child, body)),
            _ => None,
        })
    }
}

impl Known for Memory {
    fn by_number(&self, number: &str) -> Vec<ChildId> {
        self.children().filter(|(_, r)| r.numbers.iter().any(|n| n == number)).map(|(id, _)| id).collect()
    }
    fn alike(&self, _family: &str, _given: &str, _born: Option<Day>) -> Vec<KnownChild> {
        self.children()
            .map(|(id, r)| KnownChild {
                id,
                family_name: r.family_name.clone(),
                given_name: r.given_name.clone(),
                born: r.born,
                numbers: r.numbers.clone(),
            })
            .collect()
    }
    fn entries(&self, child: ChildId) -> Vec<Entry> {
        self.0.iter().filter(|entry| entry.child == child).cloned().collect()
    }
    /// The last correction of each entry; these tests withdraw nothing.
    fn holding(&self, child: ChildId) -> Vec<HoldingEntry> {
        let entries = self.entries(child);
        let plain = entries.iter().filter(|entry| !matches!(entry.body, Body::Correction(_)));
        let holds = plain.map(|entry| {
            let last = entries.iter().rev().find_map(|other| match &other.body {
                Body::Correction(correction) if correction.entry == entry.id => Some(&*correction.body),
                _ => None,
            });
            HoldingEntry { id: entry.id, on: entry.on, body: last.unwrap_or(&entry.body).clone() }
        });
        holds.collect()
    }
}

/// Ids that count up, so that a plan is the same every time.
pub fn ids(start: u128) -> impl FnMut() -> Uuid {
    let mut next = start << 64;
    move || {
        next += 1;
        Uuid::from_u128(next)
    }
}

pub fn table(text: &str) -> Table {
    read_table(text.as_bytes(), "visits.csv", None).unwrap()
}

pub fn import_table(table: &Table, map: Option<&str>, known: &dyn Known) -> Plan {
    let map = match map {
        Some(toml) => MapFile::from_toml(toml).unwrap().apply(table).unwrap(),
        None => guess(table),
    };
    static IMPORTS: AtomicU32 = AtomicU32::new(1);
    let start = IMPORTS.fetch_add(1, Ordering::Relaxed).into();
    let plan = plan(table, &map, known, &stamp(), &mut ids(start), &mut |_| {});
    check(&plan);
    plan
}

/// What holds for every plan whatever the file.
fn check(plan: &Plan) {
    for entry in &plan.entries {
        assert_eq!(entry.refusal(), None, "{entry:?}");
    }
    let Report { rows, dispositions: d, .. } = &plan.report;
    assert_eq!(*rows, d.imported + d.question + d.duplicate + d.refused + d.passed_over);
    let assessments = plan.entries.iter().filter(|e| matches!(e.body, Body::Assessment(_))).count();
    assert_eq!(plan.report.assessments, assessments);
}

pub fn import(text: &str) -> Plan {
    import_table(&table(text), None, &exchange::Nothing)
}

pub fn import_with(text: &str, map: &str) -> Plan {
    import_table(&table(text), Some(map), &exchange::Nothing)
}

/// Reason and disposition of a row that did not go in plainly.
pub fn of_row(plan: &Plan, row: usize) -> Option<(Disposition, &'static str)> {
    row_report(plan, row).map(|report| (report.disposition, report.remark.reason.key()))
}

pub fn row_report(plan: &Plan, row: usize) -> Option<&RowReport> {
    plan.report.not_plain.iter().find(|report| report.row == row)
}

/// "right cast_applied 2024-01-05" for every entry but registrations, in order.
pub fn told(plan: &Plan) -> Vec<String> {
    let told = plan.entries.iter().filter(|entry| !matches!(entry.body, Body::Registration(_)));
    told.map(|entry| {
        let side = entry.body.side().map(|side| format!("{side} ")).unwrap_or_default();
        format!("{side}{} {}", entry.kind().wire(), entry.on)
    })
    .collect()
}

pub fn bodies<T>(plan: &Plan, pick: impl Fn(&Body) -> Option<T>) -> Vec<T> {
    plan.entries.iter().filter_map(|entry| pick(&entry.body)).collect()
}
