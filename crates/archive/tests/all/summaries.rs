//! Summaries computed entry by entry are those computed again from the whole log.

use crate::common::{child, note, open, options, raw, registration, someone, summarise};
use archive::{Archive, Options};
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
        let mut options = Options::new(version, |entries: &[Entry]| {
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
