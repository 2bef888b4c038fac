//! The wire form of every kind, pinned. A file here may never change: a new shape needs a new version.
//!
//! Each file is a JSON array of two entries, one a line: every field filled, then only what is needed.

use crate::examples::{entry, full, full_entry, minimal};
use record::{Entry, Kind};
use std::{collections::BTreeSet, fs, path::PathBuf};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden")
}

fn examples(kind: Kind) -> [Entry; 2] {
    [full_entry(kind), entry(minimal(kind))]
}

fn written(kind: Kind) -> String {
    let [full, minimal] = examples(kind).map(|entry| entry.to_json().unwrap());
    format!("[\n{full},\n{minimal}\n]\n")
}

/// The two lines of a golden file, as they stand in it.
pub fn lines(kind: Kind) -> [String; 2] {
    let path = folder().join(format!("{}.v1.json", kind.wire()));
    let text = fs::read_to_string(&path).unwrap_or_else(|_| {
        panic!("{} has no golden file; it would now be written as\n{}", kind.wire(), written(kind))
    });
    let body = text.strip_prefix("[\n").and_then(|rest| rest.strip_suffix("\n]\n")).expect("an array");
    let (full, minimal) = body.split_once(",\n").expect("two entries");
    [full.to_owned(), minimal.to_owned()]
}

#[test]
fn every_kind_has_a_golden_file_and_every_file_a_kind() {
    let kinds: BTreeSet<String> = Kind::ALL.iter().map(|kind| format!("{}.v1.json", kind.wire())).collect();
    let files: BTreeSet<String> = fs::read_dir(folder())
        .expect("the folder of golden files")
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(kinds, files);
    assert_eq!(kinds.len(), 28); // the kinds named in the design
}

#[test]
fn reading_gives_the_entry_and_writing_gives_the_same_bytes() {
    for &kind in Kind::ALL {
        for (line, expected) in lines(kind).iter().zip(examples(kind)) {
            let read = Entry::from_json(line).unwrap_or_else(|error| panic!("{}: {error}", kind.wire()));
            assert_eq!(read, expected, "{}", kind.wire());
            assert_eq!(read.kind(), kind);
            assert_eq!(read.to_json().unwrap(), *line, "{}", kind.wire());
        }
    }
}

/// A full example that leaves a field out would pin less than it claims.
#[test]
fn full_examples_leave_nothing_out() {
    for &kind in Kind::ALL {
        let text = format!("{:?}", full(kind));
        for absent in ["None", "[]", ": \"\""] {
            assert!(!text.contains(absent), "{}: {absent} in {text}", kind.wire());
        }
    }
}

/// Takes each key of a minimal example away in turn: reading must fail and name it, never fill it in.
/// Two things may be absent: a brace about which nothing is known, and an assessment's only sign.
#[test]
fn nothing_needed_is_filled_in() {
    for &kind in Kind::ALL {
        let [_, line] = lines(kind);
        let whole: serde_json::Value = serde_json::from_str(&line).unwrap();
        for key in whole.as_object().unwrap().keys() {
            let mut less = whole.clone();
            less.as_object_mut().unwrap().remove(key);
            let error = Entry::from_json(&less.to_string()).expect_err(key).to_string();
            assert!(error.contains(&format!("missing field `{key}`")), "{error}");
        }
        for key in whole["body"].as_object().unwrap().keys() {
            let mut less = whole.clone();
            less["body"].as_object_mut().unwrap().remove(key);
            let read = Entry::from_json(&less.to_string());
            match (kind, key.as_str()) {
                (Kind::BraceFitted, "brace") | (Kind::Assessment, "pirani") | (Kind::Screening, "hips") => {
                    assert!(read.is_ok())
                }
                _ => {
                    let error = read.expect_err(key).to_string();
                    assert!(error.contains(&format!("missing field `{key}`")), "{error}");
                }
            }
        }
    }
}

#[test]
fn keys_and_words_of_kinds_are_unique_and_lead_back() {
    let mut seen = BTreeSet::new();
    for &kind in Kind::ALL {
        assert_eq!(Kind::from_wire(kind.wire()), Some(kind));
        assert_eq!(kind.wire().parse::<Kind>().unwrap(), kind);
        assert!(seen.insert(kind.wire()) && !kind.words().is_empty());
    }
    assert_eq!(Kind::from_wire("Assessment"), None);
}
