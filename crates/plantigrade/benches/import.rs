//! A spreadsheet of 100,000 rows brought in, from bytes to the durable commit, as a ratio to the bare
//! SQLite library inserting the same entries in one transaction.
//!
//! `ROWS` sets how many rows (100,000 where it is not set), `RUNS` how often each is done (3).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use clinic::{ClinicRecords, RecordsOptions};
use plantigrade::{clock::Clock, importing, importing::UploadedSheet};
use record::Entry;
use std::{fmt::Write as _, path::Path, time::Instant};

fn setting(name: &str, otherwise: usize) -> usize {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

/// A sheet of one row per foot and visit: casts a week apart, twelve rows a child.
fn sheet(rows: usize) -> String {
    let mut text =
        "Hosp No,Name,DOB,Sex,Visit,Side,PC,EH,RE,MC,CLB,LHT,Total,Abd,DF,Done,Seen by\n".to_owned();
    for row in 0..rows {
        let (child, visit) = (row / 12, row % 12);
        let born = record::Day::from_number(18_500 + (child % 1500) as i32);
        let seen = born + 20 + 7 * visit as i32;
        let (year, month, day) = seen.parts();
        let (by, bm, bd) = born.parts();
        let done = ["cast", "cast", "cast", "cast", "cast", "tenotomy + cast"]
            .get(visit)
            .copied()
            .unwrap_or("review");
        let half = |limit: usize| if visit < limit { "1" } else { "0.5" };
        let total = [12usize, 12, 11, 11, 10, 8, 6, 6, 6, 6, 6, 6][visit];
        let _ = writeln!(
            text,
            "{},\"Fam{}, Given{}\",{bd:02}/{bm:02}/{by},F,{day:02}/{month:02}/{year},R,{},{},{},{},{},{},{},{},{},{done},AB",
            500_000 + child,
            child % 977,
            child % 1213,
            half(6),
            half(6),
            half(5),
            half(5),
            half(4),
            half(2),
            total as f64 / 2.0,
            visit * 6,
            visit as i32 * 3 - 30,
        );
    }
    text
}

fn import(bytes: &[u8], dir: &Path) -> (f64, usize) {
    let clock = Clock::default();
    let begun = Instant::now();
    let sheet = UploadedSheet::read(bytes, "visits.csv", None).unwrap();
    let protocol = guidance::Protocol::built_in();
    let records = ClinicRecords::open(dir, protocol.into(), RecordsOptions::default()).unwrap();
    let stamp = importing::command_line_stamp(&records, clock, None).unwrap();
    let plan = sheet.plan(Some(&records), &stamp, clock, &mut |_| {}).unwrap();
    assert_eq!(plan.report.dispositions.refused, 0, "{:?}", plan.report.reasons);
    let receipt = records.import(plan.entries, &mut |_| {}).unwrap();
    (begun.elapsed().as_secs_f64(), receipt.entries)
}

/// The entries as another import left them, for the floor to insert.
fn entries(dir: &Path) -> Vec<Entry> {
    let protocol = guidance::Protocol::built_in();
    let records = ClinicRecords::open_for_reading(dir, protocol.into(), None).unwrap();
    let mut all = Vec::new();
    records.for_each_child(&mut |_, entries| all.extend(entries)).unwrap();
    all
}

/// The bare library: the same wire rows with the two indexes any store of them needs, one transaction.
fn floor(entries: &[Entry], dir: &Path) -> f64 {
    let rows: Vec<(Vec<u8>, Vec<u8>, String)> = entries
        .iter()
        .map(|entry| {
            let (id, child) = (entry.id.uuid().as_bytes().to_vec(), entry.child.uuid().as_bytes().to_vec());
            (id, child, entry.to_json().unwrap())
        })
        .collect();
    let begun = Instant::now();
    let mut sqlite = rusqlite::Connection::open(dir.join("bare.sqlite")).unwrap();
    sqlite.execute_batch("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL").unwrap();
    sqlite
        .execute_batch(
            "CREATE TABLE entry (seq INTEGER PRIMARY KEY, id BLOB NOT NULL UNIQUE, child BLOB NOT NULL, wire TEXT NOT NULL) STRICT;
             CREATE INDEX entry_child ON entry (child, seq)",
        )
        .unwrap();
    let writing = sqlite.transaction().unwrap();
    {
        let mut insert = writing.prepare("INSERT INTO entry (id, child, wire) VALUES (?1, ?2, ?3)").unwrap();
        for (id, child, wire) in &rows {
            insert.execute((id, child, wire)).unwrap();
        }
    }
    writing.commit().unwrap();
    begun.elapsed().as_secs_f64()
}

fn main() {
    let (rows, runs) = (setting("ROWS", 100_000), setting("RUNS", 3));
    let text = sheet(rows);
    let mut ratios = Vec::new();
    for run in 1..=runs {
        let (house, bare) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let (took, count) = import(text.as_bytes(), house.path());
        let floor = floor(&entries(house.path()), bare.path());
        println!(
            "run {run}: {rows} rows, {count} entries: import {took:.2} s, bare insert {floor:.2} s, ratio {:.2}",
            took / floor
        );
        ratios.push(took / floor);
    }
    ratios.sort_by(f64::total_cmp);
    println!("median ratio          {:.2} (target: at most 4)", ratios[ratios.len() / 2]);
}
