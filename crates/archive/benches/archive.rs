//! How fast entries are written and found, as ratios to the bare SQLite library in the same run.
//!
//! `cargo bench -p archive` first compares small imports with care, then does one of the size of a
//! large clinic network: 100,000 rows of a spreadsheet, three entries to a row.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use archive::{Archive, FILE_NAME, Options, Summary, WorkFilter, WorkItem, WorkKind};
use criterion::{BatchSize, Criterion};
use record::{Body, ChildId, Day, Entry, EntryId, Note, Registration, SiteId, Timestamp, UserId};
use rusqlite::{Connection, params};
use std::{
    path::Path,
    time::{Duration, Instant},
};
use uuid::Uuid;

const SYLLABLES: [&str; 16] =
    ["ka", "mo", "li", "ra", "sen", "to", "ba", "ni", "fe", "wu", "dal", "pi", "zo", "em", "ru", "ost"];
const FIRST_DAY: i32 = 18_000;

/// An invented name: few given names, many family names.
fn name(number: u64, syllables: u32) -> String {
    (0..syllables).map(|at| SYLLABLES[(number >> (4 * at)) as usize % SYLLABLES.len()]).collect()
}

fn entry(number: u128, child: ChildId, body: Body) -> Entry {
    let on = Day::from_number(FIRST_DAY + (number % 2_000) as i32);
    let (id, at) = (EntryId::new(Uuid::now_v7()), Timestamp::from_seconds(1_700_000_000));
    let (by, site) = (UserId::new(Uuid::from_u128(7)), SiteId::new(Uuid::from_u128(1)));
    Entry { id, child, body, on, at, by, site, follows: None }
}

/// Three entries to a row; one row to a child, so that every row is also a new child to summarise.
fn entries(rows: u64) -> Vec<Entry> {
    let text =
        "Cast applied above the knee, foot in abduction, toes pink and warm, mother shown what to look for.";
    let mut all = Vec::new();
    for row in 0..rows {
        let child = ChildId::new(Uuid::from_u128(0x1_0000_0000 + u128::from(row)));
        let mixed = row.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 20;
        let registration = Registration {
            family_name: name(mixed, 4),
            given_name: name(mixed >> 16, 2),
            numbers: vec![format!("CF-{row:06}")],
            born: Some(Day::from_number(FIRST_DAY + (mixed % 2_000) as i32)),
            ..Registration::default()
        };
        all.push(entry(row.into(), child, registration.into()));
        for _ in 0..2 {
            all.push(entry(row.into(), child, Note { text: text.into() }.into()));
        }
    }
    all
}

fn item(kind: WorkKind, rule: &str, urgency: u8, from: Day) -> WorkItem {
    let (rule, text) = (rule.into(), "Change the cast".into());
    let detail =
        r#"[{"fact":"the last cast was put on 7 days ago","rule":"cast interval","source":"local"}]"#.into();
    WorkItem { kind, rule, urgency, side: None, from, until: None, to: None, text, detail }
}

/// A summary with the work a real one does: four items, of which about one in ten children has one due.
fn summarise(log: &[Entry]) -> Summary {
    let mut summary = Summary::empty(log[0].child);
    let mut last = log[0].on;
    for entry in log {
        if let Body::Registration(who) = &entry.body {
            summary.family_name.clone_from(&who.family_name);
            summary.given_name.clone_from(&who.given_name);
            summary.numbers.clone_from(&who.numbers);
            summary.born = who.born;
        }
        last = last.max(entry.on);
    }
    let rules = ["cast_long", "review_overdue", "no_appointment"];
    summary.active = true;
    summary.phase_key = "casting".into();
    summary.last_seen = Some(last);
    summary.items.push(item(WorkKind::Step, "cast", 1, last + 7));
    summary.items.extend(
        (0_u8..)
            .zip(rules)
            .map(|(at, rule)| item(WorkKind::Attention, rule, at, last + 21 * i32::from(at + 1))),
    );
    summary
}

fn options() -> Options {
    Options::new("bench", summarise)
}

/// The floor: the same wire rows into a plain table of the bare library, one transaction, flushed.
fn bare(dir: &Path, entries: &[Entry]) -> Duration {
    let begun = Instant::now();
    let mut conn = Connection::open(dir.join("bare.sqlite")).unwrap();
    conn.pragma_update(None, "journal_mode", "WAL").unwrap();
    conn.pragma_update(None, "synchronous", "FULL").unwrap();
    conn.execute_batch("CREATE TABLE entries (id BLOB PRIMARY KEY, child BLOB, wire TEXT)").unwrap();
    conn.execute_batch("CREATE INDEX of_child ON entries (child)").unwrap();
    let transaction = conn.transaction().unwrap();
    {
        let mut insert = transaction.prepare("INSERT INTO entries VALUES (?1, ?2, ?3)").unwrap();
        for entry in entries {
            let (id, child) = (entry.id.uuid(), entry.child.uuid());
            insert.execute(params![id.as_bytes(), child.as_bytes(), entry.to_json().unwrap()]).unwrap();
        }
    }
    transaction.commit().unwrap();
    begun.elapsed()
}

fn import(dir: &Path, entries: Vec<Entry>) -> Duration {
    let archive = Archive::open(dir, options()).unwrap();
    let begun = Instant::now();
    archive.append_many(entries, &mut |_| {}).unwrap();
    begun.elapsed()
}

fn small(criterion: &mut Criterion) {
    let entries = entries(2_000);
    let mut group = criterion.benchmark_group("6,000 entries");
    group.sample_size(10);
    group.bench_function("bare library", |bencher| {
        bencher.iter_batched(
            || tempfile::tempdir().unwrap(),
            |dir| bare(dir.path(), &entries),
            BatchSize::PerIteration,
        );
    });
    group.bench_function("archive", |bencher| {
        let ready = || (tempfile::tempdir().unwrap(), entries.clone());
        bencher.iter_batched(ready, |(dir, entries)| import(dir.path(), entries), BatchSize::PerIteration);
    });
    group.finish();
}

fn timed<T>(what: &str, times: u32, mut work: impl FnMut() -> T) {
    let begun = Instant::now();
    for _ in 0..times {
        std::hint::black_box(work());
    }
    println!("{what}: {:.2} ms", begun.elapsed().as_secs_f64() * 1_000.0 / f64::from(times));
}

fn large() {
    let dir = tempfile::tempdir().unwrap();
    let entries = entries(100_000);
    let count = entries.len();
    let mut pairs = Vec::new();
    for _ in 0..2 {
        let aside = tempfile::tempdir().unwrap();
        pairs.push((bare(aside.path(), &entries), import(aside.path(), entries.clone())));
    }
    let floor = pairs.iter().map(|pair| pair.0).min().unwrap();
    let import = pairs.iter().map(|pair| pair.1).min().unwrap().min(import(dir.path(), entries));
    let ratio = import.as_secs_f64() / floor.as_secs_f64();
    println!("import of {count} entries: bare library {floor:.2?}, archive {import:.2?}, ratio {ratio:.2}");
    let size = std::fs::metadata(dir.path().join(FILE_NAME)).unwrap().len();
    println!("size of the records file: {} MB", size >> 20);
    // In a process of its own, so that its memory can be told.
    let mut process = std::process::Command::new(std::env::current_exe().unwrap());
    assert!(process.env(FOLDER, dir.path()).status().unwrap().success());
}

/// Names the folder to read for the process that measures reading.
const FOLDER: &str = "ARCHIVE_BENCH_FOLDER";

/// The most memory this process has held, where the system tells.
fn memory(when: &str) {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let most = status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or("VmHWM: not told here");
    println!("memory {when}: {most}");
}

fn reading(dir: &Path) {
    timed("open", 5, || Archive::open(dir, options()).unwrap());
    let archive = Archive::open(dir, options()).unwrap();
    memory("after opening");
    let child = ChildId::new(Uuid::from_u128(0x1_0000_0000 + 55_555));
    timed("entries of a child", 200, || archive.entries(child).unwrap());
    for question in
        ["kamo", "ka", "m", "kamolira ras", "kamolirra", "CF-055555", "5555", "2024-03-05", "xyzzyq"]
    {
        timed(&format!("search “{question}”"), 5, || archive.search(question, 20).unwrap());
    }
    let day = Day::from_number(FIRST_DAY + 200);
    let attention = WorkFilter { kind: Some(WorkKind::Attention), ..WorkFilter::default() };
    let rare = WorkFilter { rule: Some("no_appointment".into()), ..attention.clone() };
    for (what, filter) in
        [("attention", &attention), ("one rule", &rare), ("everything", &WorkFilter::default())]
    {
        let total = archive.worklist(day, filter, 0, 50).unwrap().1;
        timed(&format!("worklist, {what}, first of {total}"), 20, || {
            archive.worklist(day, filter, 0, 50).unwrap()
        });
        timed(&format!("worklist, {what}, last"), 5, || {
            archive.worklist(day, filter, total - 1, 50).unwrap()
        });
        let late = Day::from_number(FIRST_DAY + 3_000);
        timed(&format!("worklist, {what}, all due, counted"), 1, || {
            archive.worklist(late, filter, 0, 50).unwrap()
        });
    }
    timed("rules", 5, || archive.rules(day, WorkKind::Attention).unwrap());
    timed("first page of children", 5, || archive.children(Some(true), None, 0, 50).unwrap());
    memory("after searches and lists");
    timed("verify", 1, || assert!(archive.verify().unwrap().is_sound()));
    timed("every child", 1, || archive.for_each_child(&mut |_, _| {}).unwrap());
    let again = Options { summary_version: "other".into(), ..options() };
    drop(archive);
    timed("all summaries again", 1, || Archive::open(dir, again.clone()).unwrap());
}

fn main() {
    if let Some(dir) = std::env::var_os(FOLDER) {
        return reading(dir.as_ref());
    }
    let mut criterion = Criterion::default().configure_from_args();
    small(&mut criterion);
    criterion.final_summary();
    if std::env::args().any(|arg| arg == "--bench") {
        large();
    }
}
