//! Reads `reference/`: data sets, and results of other programs with where they come from.

use serde_json::Value;
use std::{collections::BTreeMap, fs, path::PathBuf};

pub fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../reference")
}

/// A data set as columns of text.
pub struct Set {
    columns: BTreeMap<String, Vec<String>>,
}

impl Set {
    pub fn read(name: &str) -> Self {
        let text = fs::read_to_string(folder().join("data").join(format!("{name}.csv"))).expect(name);
        let mut lines = text.lines();
        let cells =
            |line: &str| line.split(',').map(|cell| cell.trim_matches('"').to_owned()).collect::<Vec<_>>();
        let heads = cells(lines.next().expect("a header"));
        let mut columns: BTreeMap<String, Vec<String>> =
            heads.iter().map(|head| (head.clone(), Vec::new())).collect();
        for line in lines.filter(|line| !line.is_empty()) {
            for (head, cell) in heads.iter().zip(cells(line)) {
                columns.get_mut(head).expect("a column").push(cell);
            }
        }
        Self { columns }
    }

    /// Only rows in which none of these columns is missing.
    pub fn complete(mut self, names: &[String]) -> Self {
        let rows = self.columns.values().next().map_or(0, Vec::len);
        let keep: Vec<bool> =
            (0..rows).map(|row| names.iter().all(|name| self.columns[name][row] != "NA")).collect();
        for column in self.columns.values_mut() {
            let mut row = 0;
            column.retain(|_| {
                row += 1;
                keep[row - 1]
            });
        }
        self
    }

    pub fn numbers(&self, name: &str) -> Vec<f64> {
        self.columns[name].iter().map(|cell| cell.parse().expect(cell)).collect()
    }

    pub fn flags(&self, name: &str) -> Vec<bool> {
        self.numbers(name).into_iter().map(|value| value == 1.0).collect()
    }

    /// Levels in alphabetical or numeric order, numbered from 0, and how many there are.
    pub fn codes(&self, name: &str) -> (Vec<u32>, usize) {
        let mut levels = self.columns[name].clone();
        let key = |level: &String| level.parse::<f64>().ok();
        levels.sort_by(|a, b| key(a).partial_cmp(&key(b)).expect("order").then_with(|| a.cmp(b)));
        levels.dedup();
        let place = |cell: &String| levels.iter().position(|level| level == cell).expect("a level") as u32;
        (self.columns[name].iter().map(place).collect(), levels.len())
    }
}

/// The cases of one kind in a file of results.
pub fn cases(file: &str, kind: &str) -> Vec<Value> {
    let text = fs::read_to_string(folder().join(file)).expect(file);
    let whole: Value = serde_json::from_str(&text).expect("JSON");
    let all = whole["cases"].as_array().expect("cases").clone();
    let found: Vec<Value> = all.into_iter().filter(|case| case["kind"] == kind).collect();
    assert!(!found.is_empty(), "no case {kind} in {file}");
    found
}

pub fn text<'a>(case: &'a Value, key: &str) -> Option<&'a str> {
    case[key].as_str()
}

/// Numbers with missing ones as `None`; R writes a single number bare.
pub fn maybe(value: &Value) -> Vec<Option<f64>> {
    match value {
        Value::Array(values) => values.iter().flat_map(maybe).collect(),
        Value::Number(number) => vec![number.as_f64()],
        _ => vec![None],
    }
}

pub fn list(value: &Value) -> Vec<f64> {
    maybe(value).into_iter().map(|value| value.expect("a number")).collect()
}

pub fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"))
}

/// Agreement to a relative tolerance, absolute below 1.
pub fn close(ours: f64, theirs: f64, tolerance: f64) -> bool {
    (ours - theirs).abs() <= tolerance * theirs.abs() || (ours - theirs).abs() <= tolerance * 1e-3
}

#[track_caller]
pub fn same(what: &str, case: &Value, ours: f64, theirs: f64, tolerance: f64) {
    assert!(close(ours, theirs, tolerance), "{what}: {ours:?}, reference {theirs:?}\n{}", case["call"]);
}

#[track_caller]
pub fn same_all(what: &str, case: &Value, ours: &[f64], theirs: &[f64], tolerance: f64) {
    assert_eq!(ours.len(), theirs.len(), "{what} {}", case["call"]);
    for (at, (ours, theirs)) in ours.iter().zip(theirs).enumerate() {
        same(&format!("{what}[{at}]"), case, *ours, *theirs, tolerance);
    }
}

/// Missing where the reference is missing, and the same number where it is not.
#[track_caller]
pub fn same_maybe(what: &str, case: &Value, ours: &[Option<f64>], theirs: &[Option<f64>], tolerance: f64) {
    assert_eq!(ours.len(), theirs.len(), "{what} {}", case["call"]);
    for (at, (ours, theirs)) in ours.iter().zip(theirs).enumerate() {
        match (ours, theirs) {
            (Some(ours), Some(theirs)) => same(&format!("{what}[{at}]"), case, *ours, *theirs, tolerance),
            _ => assert_eq!(ours, theirs, "{what}[{at}] {} {}", case["call"], case["data"]),
        }
    }
}

#[test]
fn every_result_and_every_data_set_says_where_it_comes_from() {
    let mut files = 0;
    for entry in fs::read_dir(folder()).expect("the folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|ending| ending == "json") {
            files += 1;
            let whole: Value = serde_json::from_str(&fs::read_to_string(&path).expect("text")).expect("JSON");
            for field in ["program", "packages", "script", "date", "data"] {
                let value = whole["provenance"][field].as_str().unwrap_or("");
                assert!(!value.trim().is_empty(), "{}: provenance.{field} is empty", path.display());
            }
            for case in whole["cases"].as_array().expect("cases") {
                assert!(text(case, "call").is_some_and(|call| !call.trim().is_empty()), "{case}");
            }
        }
    }
    assert!(files >= 1, "no results were found");
    let provenance = Set::read("PROVENANCE");
    for entry in fs::read_dir(folder().join("data")).expect("the folder") {
        let name =
            entry.expect("an entry").path().file_stem().expect("a name").to_string_lossy().into_owned();
        if name == "PROVENANCE" {
            continue;
        }
        let row = provenance.columns["file"].iter().position(|file| *file == name);
        let row = row.unwrap_or_else(|| panic!("{name} is not in PROVENANCE.csv"));
        for (field, column) in &provenance.columns {
            assert!(!column[row].trim().is_empty(), "{name}: {field} is empty");
        }
    }
}
