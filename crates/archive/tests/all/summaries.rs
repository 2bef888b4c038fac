//! Summaries computed entry by entry are those computed again from the whole log.

use crate::common::{child, note, open, options, raw, registration, someone, summarise};
use archive::{Archive, ArchiveError, Options, Summary};
use proptest::prelude::*;
use record::{Entry, Timestamp};
use std::{path::Path, sync::Arc, sync::Mutex};

/// Every computed row, with words in place of their numbers.
fn computed_rows(dir: &Path) -> Vec<String> {
    let queries = [
        "SELECT format('%d|%s|%s|%s|%s|%d|%s', child, name_key, names, born, phase_key, active, body) FROM summaries",
        "SELECT format('work %d|%d|%d|%d|%d|%s|%s', kind, urgency, from_day, child, item, rule, phase) FROM work",
        "SELECT format('made %d|%s|%d|%d', for_day, time, child, item) FROM appointments",
        "SELECT format('word %s|%d', w.word, c.child) FROM words w LEFT JOIN word_children c ON c.word = w.number",
        "SELECT format('number %s|%d', number, child) FROM numbers",
        "SELECT format('mark %s|%s|%d|%d|%d|%d', topic, key, child, item, from_day, to_day) FROM marks",
        "SELECT format('kept %s|%d|%s', topic, child, text) FROM kept",
    ];
    let conn = raw(dir);
    let mut rows = Vec::new();
    for sql in queries {
        let mut query = conn.prepare(sql).unwrap();
        rows.extend(query.query_map([], |row| row.get::<_, String>(0)).unwrap().map(Result::unwrap));
    }
    rows.sort();
    rows
}

fn an_entry() -> impl Strategy<Value = Entry> {
    let who = (1..6_u128).prop_map(child);
    let name = prop::sample::select(vec!["Ama", "Kofi", "Zoë", "Al-Hassan", "O'Brien", ""]);
    let text = prop::sample::select(vec![
        "attention/a/0/2024-01-01",
        "attention/b/1/2024-02-01",
        "step/c/2/2024-03-01",
        "visit/2024-04-01/09:00",
        "visit/2024-04-01",
        "phase/casting",
        "phase/bracing",
        "mark/logger/K-4/2024-01-01/2024-01-07",
        "mark/logger/K-5/2024-02-01/2024-02-07",
        "keep/growth/short",
        "keep/growth/long",
        "plain words",
    ]);
    let registered = (who.clone(), name.clone(), name, 0..4_u8).prop_map(|(who, given, family, number)| {
        registration(who, given, family, &format!("N {number}"), None)
    });
    prop_oneof![registered, (who, text).prop_map(|(who, text)| note(who, "2024-01-01", text))]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn a_rebuild_gives_what_was_there(batches in prop::collection::vec(prop::collection::vec(an_entry(), 1..5), 1..8),
                                      erase in any::<prop::sample::Index>()) {
        let dir = tempfile::tempdir().unwrap();
        let archive = open(dir.path());
        let ids: Vec<_> = batches.iter().flatten().map(|entry| entry.id).collect();
        for batch in batches {
            archive.append(batch).unwrap();
        }
        archive.erase(*erase.get(&ids), "because", someone(), Timestamp::from_seconds(0)).unwrap();
        let report = archive.verify().unwrap();
        prop_assert!(report.is_sound() && report.summaries_compared, "{}", report);
        drop(archive);
        let before = computed_rows(dir.path());
        drop(Archive::open(dir.path(), Options { summary_version: "2".into(), ..options() }).unwrap());
        prop_assert_eq!(computed_rows(dir.path()), before);
    }
}

#[test]
fn summaries_are_computed_again_only_when_the_version_differs() {
    let dir = tempfile::tempdir().unwrap();
    let told = Arc::new(Mutex::new(Vec::new()));
    let with = |version: &str| {
        let told = Arc::clone(&told);
        let mut options = crate::common::options_of(version, |entries: &[Entry]| {
            let mut summary = summarise(entries);
            summary.sides = "newer wording".into();
            summary
        });
        options.on_rebuild = Some(Arc::new(move |done, of| told.lock().unwrap().push((done, of))));
        options
    };
    let archive = open(dir.path());
    let entries = (0..5_000).map(|n| registration(child(n), "Ama", "Mensah", "", None)).collect();
    archive.append_many(entries, &mut |_| {}).unwrap();
    drop(archive);

    drop(Archive::open(dir.path(), with("1")).unwrap());
    assert_eq!(*told.lock().unwrap(), []);
    let archive = Archive::open(dir.path(), with("2")).unwrap();
    // 4,096 children at a time.
    assert_eq!(*told.lock().unwrap(), [(4_096, 5_000), (5_000, 5_000)]);
    assert_eq!(archive.summary(child(4_999)).unwrap().unwrap().sides, "newer wording");
    let report = archive.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
}

/// A summary in newer wording.
fn newer(entries: &[Entry]) -> Summary {
    Summary { sides: "newer wording".into(), ..summarise(entries) }
}

#[test]
fn another_way_of_computing_applies_at_once_to_every_child_and_to_what_is_written_later() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let entries: Vec<_> = (0..5_000).map(|n| registration(child(n), "Ama", "Mensah", "", None)).collect();
    archive.append_many(entries, &mut |_| {}).unwrap();
    let (before, of_one) = (archive.generation().unwrap(), archive.generation_of(child(3)).unwrap());
    let seen = Arc::new(Mutex::new(None));
    let (told, watching) = (Arc::clone(&seen), archive.clone());
    let then = move || *told.lock().unwrap() = Some(watching.generation().unwrap());
    archive.change_summaries("2", Arc::new(newer), then).unwrap();
    assert_eq!(
        *seen.lock().unwrap(),
        Some(before),
        "whoever reads the new generation finds what was changed"
    );
    assert!(archive.generation().unwrap() > before && archive.generation_of(child(3)).unwrap() > of_one);
    assert_eq!(archive.written_since(before).unwrap(), None, "every child counts as changed");
    archive.append(vec![registration(child(9_000), "Kofi", "Mensah", "", None)]).unwrap();
    for number in [0, 4_999, 9_000] {
        assert_eq!(archive.summary(child(number)).unwrap().unwrap().sides, "newer wording", "{number}");
    }
    let report = archive.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
    drop(archive);
    // Opened in the same way, nothing has to be computed again.
    let told = Arc::new(Mutex::new(0));
    let counter = Arc::clone(&told);
    let mut options = crate::common::options_of("2", newer);
    options.on_rebuild = Some(Arc::new(move |_, _| *counter.lock().unwrap() += 1));
    drop(Archive::open(dir.path(), options).unwrap());
    assert_eq!(*told.lock().unwrap(), 0);
}

#[test]
fn a_way_of_computing_that_fails_changes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    archive.append(vec![registration(child(1), "Ama", "Mensah", "", None)]).unwrap();
    let (rows, generation) = (computed_rows(dir.path()), archive.generation().unwrap());
    let fails = |_: &[Entry]| -> Summary { panic!("asked to") };
    let refused = archive.change_summaries("2", Arc::new(fails), || panic!("it was not changed"));
    assert_eq!(refused, Err(ArchiveError::Summary(child(1))));
    assert_eq!((computed_rows(dir.path()), archive.generation().unwrap()), (rows, generation));
    archive.append(vec![note(child(1), "2024-01-02", "seen")]).unwrap();
    assert!(archive.verify().unwrap().summaries_compared);
}
