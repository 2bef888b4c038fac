//! The wire form of every kind, pinned. A file here may never change: a new shape needs a new version.
//!
//! Each file is a JSON array of two entries, one a line: every field filled, then only what is needed.

use crate::examples::{full_entry, full_of_four, full_of_one, full_of_three, full_of_two};
use record::{Body, Entry, Kind, field::Presence};
use std::{collections::BTreeSet, fs, path::PathBuf};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden")
}

/// Every golden file: its kind and version.
fn files() -> BTreeSet<(Kind, u16)> {
    let of_name = |name: String| {
        let (wire, version) = name.strip_suffix(".json")?.split_once(".v")?;
        Some((Kind::from_wire(wire)?, version.parse().ok()?))
    };
    let names = fs::read_dir(folder()).expect("the folder of golden files");
    let names = names.map(|file| file.unwrap().file_name().into_string().unwrap());
    names.map(|name| of_name(name.clone()).unwrap_or_else(|| panic!("{name} is of no kind"))).collect()
}

/// The full examples written out in `examples`: kind, version and the entry that its golden file pins.
fn written_out() -> Vec<(Kind, u16, Entry)> {
    let around = |body| Entry { body, ..full_entry(Kind::Note) };
    let of_version = [full_of_one, full_of_two, full_of_three, full_of_four];
    let of_kind =
        |kind: Kind| (1..).zip(of_version).filter_map(move |(v, full)| Some((kind, v, around(full(kind)?))));
    Kind::ALL.iter().copied().flat_map(of_kind).collect()
}

fn name(kind: Kind, version: u16) -> String {
    format!("{}.v{version}.json", kind.wire())
}

/// The two lines of a golden file of a version, unchanged.
fn lines_of(kind: Kind, version: u16) -> [String; 2] {
    let name = name(kind, version);
    let text = fs::read_to_string(folder().join(&name)).unwrap_or_else(|error| panic!("{name}: {error}"));
    let body = text.strip_prefix("[\n").and_then(|rest| rest.strip_suffix("\n]\n")).expect("an array");
    let (full, minimal) = body.split_once(",\n").expect("two entries");
    [full.to_owned(), minimal.to_owned()]
}

/// The two entries of the latest golden file of a kind.
pub fn latest(kind: Kind) -> [Entry; 2] {
    let version = files().into_iter().filter(|(of, _)| *of == kind).map(|(_, version)| version).max();
    lines_of(kind, version.expect("a golden file")).map(|line| Entry::from_json(&line).unwrap())
}

/// The two lines of the oldest golden file of a kind.
pub fn lines(kind: Kind) -> [String; 2] {
    lines_of(kind, kind.spec().since)
}

/// A correction has the shape of what it holds, so that it may have further files.
#[test]
fn every_kind_has_a_golden_file_of_each_of_its_shapes_and_every_file_a_kind() {
    let of_kind = |&kind: &Kind| kind.spec().versions().into_iter().map(move |version| (kind, version));
    let mut expected: BTreeSet<(Kind, u16)> = Kind::ALL.iter().flat_map(of_kind).collect();
    expected.insert((Kind::Correction, 2));
    assert_eq!(expected, files());
    // The 28 of version 1, the 6 that version 2 changed or brought, the 1 that version 3 brought, and the
    // 2 that version 4 changed.
    assert_eq!(expected.iter().filter(|(_, version)| *version <= 4).count(), 28 + 6 + 1 + 2);
}

#[test]
fn reading_gives_the_entry_and_writing_gives_the_same_bytes() {
    for (kind, version) in files() {
        for line in lines_of(kind, version) {
            let read = Entry::from_json(&line).unwrap_or_else(|error| panic!("{}: {error}", kind.wire()));
            assert_eq!(read.kind(), kind);
            assert_eq!(read.to_json().unwrap(), line, "{}", kind.wire());
        }
        let full = Entry::from_json(&lines_of(kind, version)[0]).unwrap();
        assert_eq!(full.body.version(), version, "{}", kind.wire());
    }
}

#[test]
fn each_key_of_the_wire_form_is_the_field_of_that_name() {
    for (kind, version, expected) in written_out() {
        let [full, _] = lines_of(kind, version);
        assert_eq!(Entry::from_json(&full).unwrap(), expected, "{}", kind.wire());
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
        let text = format!("{:?}", latest(kind)[0].body);
        for absent in ["None", "[]", ": \"\""] {
            assert!(!text.contains(absent), "{}: {absent} in {text}", kind.wire());
        }
    }
}

/// Takes each key of a minimal example away in turn: reading must fail and name it, never fill it in, where
/// the kind declares it required; where it declares it optional, the entry is read without. A brace about
/// which nothing is known may be absent.
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
            let spec = kind.spec().fields.iter().find(|spec| spec.key == key).expect(key);
            if (kind, key.as_str()) == (Kind::BraceFitted, "brace") {
                assert!(read.is_ok());
            } else if spec.presence == Presence::Optional {
                // What a minimal example holds although it is optional is missed when it is gone.
                let findings = read.unwrap().findings();
                assert!(findings.iter().any(|finding| finding.field == key), "{key}: {findings:?}");
            } else {
                let error = read.expect_err(key).to_string();
                assert!(error.contains(&format!("missing field `{key}`")), "{error}");
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
