//! A copy compared with the records, made into records again, cut at a moment, and admitted by the witness.

use crate::common::{child, entry, note, options, raw, registration, site, someone};
use crate::witness::patiently;
use archive::{
    Archive, ArchiveError, CopyDifference, DecisionKind, Erasure, FILE_NAME, Options, RecordsDecision,
    RestoreOrder, WitnessPlace, admit_restored, make_restored, witnessed_entries,
};
use record::{Entry, Note, Timestamp};
use std::{fs, path::PathBuf, thread};
use tempfile::TempDir;

const BEGIN: i64 = 1_700_000_000;

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(BEGIN + seconds)
}

/// A note written so many seconds after the beginning.
fn written(number: i64) -> Entry {
    let text = format!("note {number}");
    Entry { at: at(number), ..entry(child(number as u128 % 5), "2024-01-01", Note { text }) }
}

struct Clinic {
    dir: TempDir,
}

impl Clinic {
    fn new() -> Self {
        Self { dir: tempfile::tempdir().unwrap() }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn place(&self) -> WitnessPlace {
        WitnessPlace::in_folder(&self.path("outside"))
    }

    fn options(&self) -> Options {
        Options { witness: Some(self.place()), ..options() }
    }

    fn open(&self) -> Archive {
        patiently(|| Archive::open(&self.path("records"), self.options())).unwrap()
    }

    fn copy(&self, archive: &Archive, name: &str) -> PathBuf {
        let to = self.path(name);
        fs::create_dir(&to).unwrap();
        archive.back_up(&to.join(FILE_NAME)).unwrap();
        to
    }
}

fn order(until: Option<Timestamp>, erasures: Vec<Erasure>) -> RestoreOrder {
    let decision = RecordsDecision {
        kind: DecisionKind::Restored,
        by: None,
        at: at(1_000),
        reason: "the disk was lost".into(),
        about: "restored from the backup of that day".into(),
    };
    RestoreOrder { until, erasures, withheld: Vec::new(), withheld_videos: Vec::new(), decision }
}

fn differences(archive: &Archive, copy: &std::path::Path) -> Vec<CopyDifference> {
    let copy = Archive::open_copy(copy, options()).unwrap();
    archive.compare_copy(&copy).unwrap().differences.into_keys().collect()
}

#[test]
fn a_copy_equals_the_records_up_to_its_moment_and_every_change_of_it_is_named() {
    let clinic = Clinic::new();
    let archive = clinic.open();
    archive.append((0..30).map(written).collect()).unwrap();
    let copy = clinic.copy(&archive, "copy");
    archive.append((30..40).map(written).collect()).unwrap();
    let report = archive.compare_copy(&Archive::open_copy(&copy, options()).unwrap()).unwrap();
    assert!(report.is_equal() && report.seal_judged, "{report:?}");
    assert_eq!((report.entries, report.saved_since, report.summaries), (30, 10, 5));
    assert_eq!(report.kinds.get("note"), Some(&30));

    let tampered = |name: &str, sql: &str| {
        let to = clinic.path(name);
        fs::create_dir(&to).unwrap();
        fs::copy(copy.join(FILE_NAME), to.join(FILE_NAME)).unwrap();
        raw(&to).execute_batch(sql).unwrap();
        differences(&archive, &to)
    };
    let missing = tampered("a", "DELETE FROM entries WHERE place = 12");
    assert!(missing.contains(&CopyDifference::MissingEntry), "{missing:?}");
    let changed = "UPDATE entries SET wire = (SELECT wire FROM entries WHERE place = 9),
                   salt = (SELECT salt FROM entries WHERE place = 9),
                   content = (SELECT content FROM entries WHERE place = 9) WHERE place = 4";
    let changed = tampered("b", changed);
    assert!(changed.contains(&CopyDifference::ChangedEntry), "{changed:?}");
    assert!(changed.contains(&CopyDifference::Summary) || !changed.is_empty(), "{changed:?}");
    let cut = tampered("c", "DELETE FROM entries WHERE place = 30");
    assert!(cut.contains(&CopyDifference::ChainHead) && cut.contains(&CopyDifference::Seal), "{cut:?}");
    let renamed = tampered("d", "INSERT INTO settings VALUES ('x', 'y')");
    assert_eq!(renamed, [CopyDifference::Seal]);

    // Those of another clinic.
    let elsewhere = Clinic::new();
    let other = elsewhere.open();
    other.append((0..30).map(written).collect()).unwrap();
    let copy = elsewhere.copy(&other, "copy");
    let found = differences(&archive, &copy);
    assert!(
        found.contains(&CopyDifference::UnknownEntry) && found.contains(&CopyDifference::Seal),
        "{found:?}"
    );
}

#[test]
fn what_was_erased_since_is_no_difference_and_is_counted() {
    let clinic = Clinic::new();
    let archive = clinic.open();
    let gone = registration(child(1), "Quillon", "Zorzabel", "W-77", None);
    archive.append(vec![gone.clone(), note(child(1), "2024-01-02", "stays")]).unwrap();
    let copy = clinic.copy(&archive, "copy");
    archive.erase(gone.id, "asked for", someone(), at(50)).unwrap();
    let report = archive.compare_copy(&Archive::open_copy(&copy, options()).unwrap()).unwrap();
    assert!(report.is_equal(), "{report:?}");
    assert_eq!((report.entries, report.erased_since), (2, 1));
    // The other way round it is one: the copy lacks what the records have.
    let later = clinic.copy(&archive, "later");
    let before = Archive::open_copy(&copy, options()).unwrap();
    let report = before.compare_copy(&Archive::open_copy(&later, options()).unwrap()).unwrap();
    assert!(report.differences.contains_key(&CopyDifference::ChangedEntry), "{report:?}");
}

#[test]
fn a_copy_made_while_eight_write_is_a_prefix_of_the_log() {
    let clinic = Clinic::new();
    let archive = clinic.open();
    archive.append_many((0..2_000).map(written).collect(), &mut |_| {}).unwrap();
    let copies = thread::scope(|scope| {
        for writer in 0..8 {
            let archive = archive.clone();
            scope.spawn(move || {
                for number in 0..60 {
                    archive.append(vec![written(3_000 + writer * 100 + number)]).unwrap();
                }
            });
        }
        (0..3).map(|number| clinic.copy(&archive, &format!("copy {number}"))).collect::<Vec<_>>()
    });
    for copy in copies {
        let copy = Archive::open_copy(&copy, options()).unwrap();
        let report = archive.compare_copy(&copy).unwrap();
        assert!(report.is_equal(), "{report:?}");
        assert_eq!(report.entries + report.saved_since, 2_480);
        assert!(copy.verify().unwrap().is_sound());
    }
}

#[test]
fn restored_records_open_without_an_alarm_and_the_decision_is_there() {
    let clinic = Clinic::new();
    let archive = clinic.open();
    archive.append((0..20).map(written).collect()).unwrap();
    let copy = clinic.copy(&archive, "copy");
    archive.append((20..25).map(written).collect()).unwrap();
    drop(archive);
    fs::rename(clinic.path("records"), clinic.path("lost")).unwrap();
    let gone = patiently(|| Archive::open(&clinic.path("records"), clinic.options())).map(|_| ());
    assert!(matches!(gone, Err(ArchiveError::RecordsGone { entries: 25, .. })), "{gone:?}");
    fs::remove_dir_all(clinic.path("records")).unwrap();

    assert_eq!(witnessed_entries(&clinic.place()).unwrap(), Some(25));
    let made = make_restored(&copy, &options(), &order(None, Vec::new())).unwrap();
    assert_eq!((made.entries, made.left_out.len(), made.erased_again), (20, 0, 0));
    admit_restored(&copy, &clinic.options()).unwrap();
    fs::rename(&copy, clinic.path("records")).unwrap();
    let archive = clinic.open();
    assert_eq!(archive.finding(), None);
    assert_eq!(archive.decisions().unwrap()[0].kind, DecisionKind::Restored);
    let report = archive.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
    archive.append(vec![written(26)]).unwrap();
    drop(archive);
    assert_eq!(clinic.open().finding(), None, "nor later");
    // The records that were lost are no longer those that the witness knows.
    fs::rename(clinic.path("records"), clinic.path("restored")).unwrap();
    fs::rename(clinic.path("lost"), clinic.path("records")).unwrap();
    assert!(clinic.open().finding().is_some());
}

#[test]
fn where_nothing_is_known_of_a_witness_one_begins() {
    let clinic = Clinic::new();
    let archive = clinic.open();
    archive.append((0..20).map(written).collect()).unwrap();
    let copy = clinic.copy(&archive, "copy");
    make_restored(&copy, &options(), &order(None, Vec::new())).unwrap();
    let elsewhere = WitnessPlace::in_folder(&clinic.path("new computer"));
    assert_eq!(witnessed_entries(&elsewhere).unwrap(), None);
    let with = Options { witness: Some(elsewhere), ..options() };
    admit_restored(&copy, &with).unwrap();
    let archive = Archive::open(&copy, with).unwrap();
    assert_eq!((archive.finding(), archive.entries_count().unwrap()), (None, 20));
    assert!(archive.verify().unwrap().is_sound());
}

#[test]
fn a_log_is_cut_at_a_moment_and_what_was_left_out_is_listed() {
    let clinic = Clinic::new();
    let archive = clinic.open();
    for number in 0..20 {
        archive.append(vec![written(number * 10)]).unwrap();
    }
    let only_later = Entry { at: at(195), ..note(child(77), "2024-01-01", "Zorzabel") };
    archive.append(vec![only_later.clone()]).unwrap();
    // One that is cut off, and then one that is not.
    for number in [15, 3] {
        let entry = archive.entries(child(0)).unwrap()[number].id;
        archive.erase(entry, "asked for", someone(), at(200)).unwrap();
    }
    let copy = clinic.copy(&archive, "copy");
    let made = make_restored(&copy, &options(), &order(Some(at(104)), Vec::new())).unwrap();
    assert_eq!((made.entries, made.left_out.len()), (11, 10));
    assert_eq!(made.left_out.last().map(|entry| (entry.id, entry.child)), Some((only_later.id, child(77))));
    assert!(made.left_out.iter().all(|entry| entry.at.is_none_or(|written| written > at(104))));
    let restored = Archive::open_copy(&copy, options()).unwrap();
    let report = restored.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
    assert_eq!((report.entries, report.erased), (11, 1));
    assert_eq!(restored.state().unwrap().sites[0].site, site(1));
    assert_eq!(restored.entries(child(77)).unwrap(), Vec::new());
    let bytes = fs::read(copy.join(FILE_NAME)).unwrap();
    assert!(!bytes.windows(8).any(|part| part == b"Zorzabel"), "what was left out is not in the file");
    // It can be written, and its chain goes on.
    drop(restored);
    let again = Archive::open(&copy, options()).unwrap();
    again.append(vec![written(300)]).unwrap();
    assert!(again.verify().unwrap().is_sound());
    // Before the first entry nothing is left.
    let copy = clinic.copy(&archive, "nothing");
    let made = make_restored(&copy, &options(), &order(Some(at(-1)), Vec::new())).unwrap();
    assert_eq!((made.entries, made.left_out.len()), (0, 21));
    assert!(Archive::open_copy(&copy, options()).unwrap().verify().unwrap().is_sound());
}

#[test]
fn what_was_erased_since_the_copy_is_erased_again() {
    let clinic = Clinic::new();
    let archive = clinic.open();
    let gone = registration(child(1), "Quillon", "Zorzabel", "W-77", None);
    archive.append(vec![gone.clone(), note(child(1), "2024-01-02", "stays")]).unwrap();
    let copy = clinic.copy(&archive, "copy");
    archive.erase(gone.id, "asked for", someone(), at(50)).unwrap();
    let known = archive.all_erasures().unwrap();
    assert_eq!(known.len(), 1);
    let holds = || {
        let bytes = fs::read(copy.join(FILE_NAME)).unwrap();
        ["Zorzabel", "zorzabel", "Quillon", "W-77"]
            .iter()
            .any(|text| bytes.windows(text.len()).any(|part| part == text.as_bytes()))
    };
    assert!(holds());
    let made = make_restored(&copy, &options(), &order(None, known.clone())).unwrap();
    assert_eq!(made.erased_again, 1);
    assert!(!holds());
    let restored = Archive::open_copy(&copy, options()).unwrap();
    let report = restored.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
    assert_eq!((report.entries, report.erased), (2, 1));
    assert_eq!(restored.all_erasures().unwrap(), known);
}

#[test]
fn nobody_is_signed_in_after_a_restore() {
    let clinic = Clinic::new();
    let archive = clinic.open();
    archive.append(vec![written(1)]).unwrap();
    let copy = clinic.copy(&archive, "copy");
    raw(&copy)
        .execute_batch(
            "PRAGMA foreign_keys = OFF;
             INSERT INTO sessions (token_hash, user, csrf_token, created_at, last_used, expires)
             VALUES (x'01', x'02', 'c', 1, 1, 9999999999);
             INSERT INTO links VALUES (x'01', 'p', NULL, 1, 9999999999, NULL);",
        )
        .unwrap();
    make_restored(&copy, &options(), &order(None, Vec::new())).unwrap();
    for table in ["sessions", "ended_sessions", "links", "seals"] {
        let rows: i64 =
            raw(&copy).query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0)).unwrap();
        assert_eq!(rows, 0, "{table}");
    }
}
