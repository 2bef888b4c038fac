//! The wire form of every kind, pinned. A file here may never change: a new shape needs a new version.
//!
//! Each file is a JSON array of two entries, one a line: every field filled, then only what is needed.

use crate::examples::{entry, full_entry, full_of_four, full_of_one, full_of_three, full_of_two, minimal};
use record::{Body, Entry, Kind};
use std::{collections::BTreeSet, fs, path::PathBuf};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden")
}

/// The version that brought a kind.
const fn first_version(kind: Kind) -> u16 {
    match kind {
        Kind::BodyMeasured => 2,
        Kind::SecondScore => 3,
        _ => 1,
    }
}

/// Every golden file: its kind and version, and the two entries it pins.
fn files() -> Vec<(Kind, u16, [Entry; 2])> {
    let around = |body| Entry { body, ..full_entry(Kind::Note) };
    let mut files = Vec::new();
    for &kind in Kind::ALL {
        files.extend(full_of_one(kind).map(|full| (kind, 1, [around(full), entry(minimal(kind))])));
        files.extend(full_of_two(kind).map(|full| (kind, 2, [around(full), entry(minimal(kind))])));
        files.extend(full_of_three(kind).map(|full| (kind, 3, [around(full), entry(minimal(kind))])));
        files.extend(full_of_four(kind).map(|full| (kind, 4, [around(full), entry(minimal(kind))])));
    }
    files
}

fn name(kind: Kind, version: u16) -> String {
    format!("{}.v{version}.json", kind.wire())
}

/// The two lines of a golden file of a version, as they stand in it.
fn lines_of(kind: Kind, version: u16) -> [String; 2] {
    let text = fs::read_to_string(folder().join(name(kind, version))).unwrap_or_else(|_| {
        let written = files().into_iter().find(|file| (file.0, file.1) == (kind, version));
        let written = written.map(|(_, _, pair)| pair.map(|entry| entry.to_json().unwrap()).join(",\n"));
        panic!("{} is missing; it would now be\n[\n{}\n]", name(kind, version), written.unwrap_or_default())
    });
    let body = text.strip_prefix("[\n").and_then(|rest| rest.strip_suffix("\n]\n")).expect("an array");
    let (full, minimal) = body.split_once(",\n").expect("two entries");
    [full.to_owned(), minimal.to_owned()]
}

/// The two lines of the oldest golden file of a kind.
pub fn lines(kind: Kind) -> [String; 2] {
    lines_of(kind, first_version(kind))
}

#[test]
fn every_kind_has_a_golden_file_of_each_of_its_shapes_and_every_file_a_kind() {
    let expected: BTreeSet<String> = files().iter().map(|(kind, version, _)| name(*kind, *version)).collect();
    let found: BTreeSet<String> = fs::read_dir(folder())
        .expect("the folder of golden files")
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(expected, found);
    // The 28 kinds named in the design, the child measured, and the second score.
    assert_eq!(Kind::ALL.len(), 30);
    // The 28 of version 1, the 6 that version 2 changed or brought, the 1 that version 3 brought, and the
    // 2 that version 4 changed.
    assert_eq!(found.len(), 28 + 6 + 1 + 2);
}

#[test]
fn reading_gives_the_entry_and_writing_gives_the_same_bytes() {
    for (kind, version, pinned) in files() {
        for (line, expected) in lines_of(kind, version).iter().zip(pinned) {
            let read = Entry::from_json(line).unwrap_or_else(|error| panic!("{}: {error}", kind.wire()));
            assert_eq!(read, expected, "{}", kind.wire());
            assert_eq!(read.kind(), kind);
            assert_eq!(read.to_json().unwrap(), *line, "{}", kind.wire());
        }
    }
}

/// An entry of version 1 is read with everything absent that version 2 added, and written as it was.
#[test]
fn an_older_entry_reads_with_what_was_added_absent() {
    let [line, _] = lines_of(Kind::Assessment, 1);
    let Body::Assessment(read) = Entry::from_json(&line).unwrap().body else { panic!("not an assessment") };
    assert!(read.signs.is_empty() && read.foot_length_mm == Some(84));
    let [line, _] = lines_of(Kind::Problem, 1);
    let Body::Problem(read) = Entry::from_json(&line).unwrap().body else { panic!("not a problem") };
    assert_eq!((read.advised, read.helped), (None, None));
}

/// The number of the version is no ornament: what version 1 did not have is refused under it.
#[test]
fn what_a_version_did_not_have_is_refused_under_it() {
    for kind in [Kind::Assessment, Kind::BraceFitted, Kind::BraceChanged, Kind::Problem, Kind::BodyMeasured] {
        let older = lines_of(kind, 2)[0].replacen("\"v\":2", "\"v\":1", 1);
        let error = Entry::from_json(&older).expect_err(kind.wire()).to_string();
        assert!(error.contains("version 1 has no such field or kind, version 2 has"), "{error}");
    }
    let older = lines_of(Kind::SecondScore, 3)[0].replacen("\"v\":3", "\"v\":2", 1);
    let error = Entry::from_json(&older).expect_err("second score").to_string();
    assert!(error.contains("version 2 has no such field or kind, version 3 has"), "{error}");
    for kind in [Kind::BraceFitted, Kind::BraceChanged] {
        let older = lines_of(kind, 4)[0].replacen("\"v\":4", "\"v\":3", 1);
        let error = Entry::from_json(&older).expect_err(kind.wire()).to_string();
        assert!(error.contains("version 3 has no such field or kind, version 4 has"), "{error}");
    }
}

/// A full example that leaves a field out would pin less than it claims.
#[test]
fn full_examples_leave_nothing_out() {
    for &kind in Kind::ALL {
        let latest = full_of_four(kind).or_else(|| full_of_three(kind));
        let latest = latest.or_else(|| full_of_two(kind)).or_else(|| full_of_one(kind));
        let latest = latest.expect("an example");
        let text = format!("{latest:?}");
        for absent in ["None", "[]", ": \"\""] {
            assert!(!text.contains(absent), "{}: {absent} in {text}", kind.wire());
        }
    }
}

/// Takes each key of a minimal example away in turn: reading must fail and name it, never fill it in.
/// Two things may be absent: a brace about which nothing is known, and an assessment's only sign. A
/// measure of the body is read without its number and refused, or without its kind and questioned.
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
                (Kind::BraceFitted, "brace")
                | (Kind::Assessment | Kind::SecondScore, "pirani")
                | (Kind::Screening, "hips") => {
                    assert!(read.is_ok())
                }
                (Kind::BodyMeasured, _) => {
                    let findings = read.unwrap().findings();
                    assert!(findings.iter().any(|finding| finding.field == key), "{key}: {findings:?}");
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
