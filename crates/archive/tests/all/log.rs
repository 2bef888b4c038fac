//! Appending and reading.

use crate::common::{child, entry, id, note, open, options, registration, site};
use archive::{Archive, ArchiveError};
use record::{Entry, EntryId, Note};
use std::collections::HashSet;

#[test]
fn what_is_appended_is_read_back_in_order_after_reopening() {
    let dir = tempfile::tempdir().unwrap();
    let (a, b) = (child(1), child(2));
    // Ids that sort against the order of writing, so that order cannot come from them.
    let mut first = registration(a, "Amina", "Osei", "CF-1", Some("2023-10-05"));
    first.id = EntryId::new(id(900));
    let mut second = note(a, "2023-12-01", "earlier clinical day, written later");
    second.id = EntryId::new(id(100));
    let third = note(b, "2024-02-01", "another child");
    let written = vec![first.clone(), third.clone(), second.clone()];

    let archive = open(dir.path());
    let receipt = archive.append(written).unwrap();
    assert_eq!((receipt.entries, receipt.children), (3, vec![a, b]));
    drop(archive);

    let archive = open(dir.path());
    assert_eq!(archive.entries(a).unwrap(), vec![first.clone(), second]);
    assert_eq!(archive.entries(b).unwrap(), vec![third.clone()]);
    assert_eq!(archive.entries(child(3)).unwrap(), Vec::<Entry>::new());
    assert_eq!(archive.entry(first.id).unwrap(), Some(first.clone()));
    assert_eq!(archive.entry(EntryId::new(id(5))).unwrap(), None);
    assert_eq!(archive.present(&[third.id, EntryId::new(id(5))]).unwrap(), HashSet::from([third.id]));
    assert_eq!((archive.children_count().unwrap(), archive.entries_count().unwrap()), (2, 3));
    assert_eq!(archive.summary(a).unwrap().unwrap().given_name, "Amina");
    assert_eq!(archive.summary(child(3)).unwrap(), None);
}

#[test]
fn a_duplicate_id_is_named_and_nothing_of_the_append_is_written() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let there = note(child(1), "2024-01-01", "there");
    archive.append(vec![there.clone()]).unwrap();
    let fresh = note(child(2), "2024-01-01", "fresh");
    let refused = archive.append(vec![fresh.clone(), there.clone()]).unwrap_err();
    assert_eq!(refused, ArchiveError::Duplicate(there.id));
    let refused = archive.append_many(vec![fresh, there.clone()], &mut |_| {}).unwrap_err();
    assert_eq!(refused, ArchiveError::Duplicate(there.id));
    assert!(refused.to_string().contains(&there.id.to_string()), "{refused}");
    assert_eq!((archive.children_count().unwrap(), archive.entries_count().unwrap()), (1, 1));
    assert!(archive.verify().unwrap().is_sound());
}

#[test]
fn a_large_import_agrees_with_the_same_entries_one_by_one() {
    let (one, many) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mut entries = Vec::new();
    for number in 0..3_000_u128 {
        let who = child(number % 1_100);
        let mut next = match number {
            0..1_100 => registration(who, &format!("Given{number}"), "Same", &format!("N-{number}"), None),
            _ => {
                note(who, "2024-03-01", &format!("attention/rule/{}/2024-03-0{}", number % 3, number % 9 + 1))
            }
        };
        next.site = site(1 + number % 2);
        entries.push(next);
    }
    let (bulk, single) = (open(many.path()), open(one.path()));
    // Some of the children are known before the import.
    let (before, after) = entries.split_at(500);
    for part in entries.chunks(50) {
        single.append(part.to_vec()).unwrap();
    }
    bulk.append(before.to_vec()).unwrap();
    let mut told = Vec::new();
    let receipt = bulk.append_many(after.to_vec(), &mut |written| told.push(written)).unwrap();
    assert_eq!((receipt.entries, receipt.children.len()), (2_500, 1_100));
    assert_eq!(told.last(), Some(&2_500));
    for number in 0..1_100 {
        let who = child(number);
        assert_eq!(bulk.entries(who).unwrap(), single.entries(who).unwrap());
        assert_eq!(bulk.summary(who).unwrap(), single.summary(who).unwrap());
    }
    for archive in [bulk, single] {
        let report = archive.verify().unwrap();
        assert!(report.is_sound() && report.summaries_compared, "{report}");
        assert_eq!((report.entries, report.children, report.sites), (3_000, 1_100, 2));
    }
}

#[test]
fn every_child_is_handed_out_once_with_its_log() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let entries: Vec<_> = (0..30).map(|n| note(child(n % 10), "2024-01-01", &n.to_string())).collect();
    archive.append(entries).unwrap();
    let mut seen = Vec::new();
    archive.for_each_child(&mut |who, log| seen.push((who, log.len()))).unwrap();
    assert_eq!(seen, (0..10).map(|n| (child(n), 3)).collect::<Vec<_>>());
}

#[test]
fn a_summary_that_fails_or_is_of_another_child_writes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let refused = archive.append(vec![note(child(1), "2024-01-01", "panic")]).unwrap_err();
    assert_eq!(refused, ArchiveError::Summary(child(1)));
    assert_eq!(archive.entries_count().unwrap(), 0);
    archive.append(vec![note(child(1), "2024-01-01", "the writer goes on")]).unwrap();
    drop(archive);
    let wrong = crate::common::options_of("wrong child", |_: &[Entry]| archive::Summary::empty(child(99)));
    let archive = Archive::open(dir.path(), wrong).map(|_| ()).unwrap_err();
    assert_eq!(archive, ArchiveError::Summary(child(1)));
}

#[test]
fn records_opened_for_reading_refuse_to_be_written() {
    let dir = tempfile::tempdir().unwrap();
    let nothing = Archive::open_for_reading(dir.path(), options()).map(|_| ()).unwrap_err();
    assert_eq!(nothing, ArchiveError::NoRecords(dir.path().into()));
    let writing = open(dir.path());
    let there = entry(child(1), "2024-01-01", Note { text: "there".into() });
    writing.append(vec![there.clone()]).unwrap();
    let reading = Archive::open_for_reading(dir.path(), options()).unwrap();
    assert_eq!(reading.entries(child(1)).unwrap(), vec![there]);
    assert!(reading.summaries_current());
    let refused = reading.append(vec![note(child(1), "2024-01-02", "no")]).unwrap_err();
    assert_eq!(refused, ArchiveError::ReadingOnly);
    // What is written meanwhile is seen, counts included.
    writing.append(vec![note(child(2), "2024-01-02", "yes")]).unwrap();
    assert_eq!(reading.children_count().unwrap(), 2);
    let other =
        Archive::open_for_reading(dir.path(), crate::common::options_of("2", crate::common::summarise))
            .unwrap();
    assert!(!other.summaries_current());
}
