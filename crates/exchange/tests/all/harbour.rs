//! A clinic's real kind of file, kept next to the repository, against what a correct import finds.

use crate::common::{Memory, ids, stamp};
use exchange::{Known, Nothing, Plan, guess, plan, read_table, refused_rows_csv};
use serde_json::Value;
use std::path::PathBuf;

fn sample(name: &str) -> Option<Vec<u8>> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../../shared/samples").join(name);
    let found = std::fs::read(path).ok();
    if found.is_none() {
        println!("skipped: {name} is not next to the repository");
    }
    found
}

fn import(bytes: &[u8], known: &dyn Known, start: u128) -> Plan {
    let table = read_table(bytes, "harbour-visits.csv", None).unwrap();
    plan(&table, &guess(&table), known, &stamp(), &mut ids(start), &mut |_| {})
}

#[test]
fn the_import_agrees_with_the_truth_in_every_respect() {
    let (Some(bytes), Some(truth)) = (sample("harbour-visits.csv"), sample("harbour-truth.json")) else {
        return;
    };
    let truth: Value = serde_json::from_slice(&truth).unwrap();
    let found = serde_json::to_value(&import(&bytes, &Nothing, 1).report).unwrap();
    for key in truth.as_object().unwrap().keys().filter(|key| !matches!(key.as_str(), "note" | "not_plain")) {
        assert_eq!(found[key], truth[key], "{key}");
    }
    let rows = truth["not_plain"].as_array().unwrap();
    let mine = found["not_plain"].as_array().unwrap();
    for (mine, row) in mine.iter().zip(rows) {
        for key in ["row", "disposition", "reason", "assessments"] {
            assert_eq!(mine[key], row[key], "{row} {mine}");
        }
    }
    assert_eq!(mine.len(), rows.len());
}

#[test]
fn a_second_import_adds_nothing() {
    let Some(bytes) = sample("harbour-visits.csv") else { return };
    let first = import(&bytes, &Nothing, 1);
    let known = Memory(first.entries.clone());
    let second = import(&bytes, &known, 2);
    assert_eq!(second.entries, Vec::new());
    // 679 rows less the 11 refused.
    assert_eq!((second.report.dispositions.duplicate, second.report.dispositions.refused), (668, 11));
    assert_eq!(second.report.children, 48);
    assert_eq!(second.report.new_children, 0);
}

#[test]
fn the_refused_rows_come_back_in_and_are_refused_for_the_same_reasons() {
    let Some(bytes) = sample("harbour-visits.csv") else { return };
    let table = read_table(&bytes, "harbour-visits.csv", None).unwrap();
    let first = import(&bytes, &Nothing, 1);
    let again = refused_rows_csv(&table, &first.report);
    let second = import(again.as_bytes(), &Memory(first.entries.clone()), 2);
    let reasons = |plan: &Plan| plan.report.refused().map(|row| row.remark.reason).collect::<Vec<_>>();
    assert_eq!(reasons(&second), reasons(&first));
    assert_eq!(second.report.rows, 11);
}
