//! Imports are remembered as a whole, so that they can be undone as a whole.

use crate::common::{child, entry, id, note, open, registration, someone};
use archive::{Archive, ArchiveError, NewImport, UndoneImport};
use record::{Entry, ImportId, Timestamp, Withdrawal};
use std::{collections::HashSet, thread};

fn import_id(number: u128) -> ImportId {
    ImportId::new(id(number))
}

fn about(number: u128) -> NewImport {
    let at = Timestamp::from_seconds(1_700_000_000);
    NewImport { id: import_id(number), file: format!("visits-{number}.csv"), by: someone(), at }
}

fn brought(archive: &Archive, number: u128, entries: &[Entry]) {
    archive.append_import(entries.to_vec(), about(number), &mut |_| {}).unwrap();
}

fn undone(reason: &str) -> UndoneImport {
    let at = Timestamp::from_seconds(1_700_000_100);
    UndoneImport { by: someone(), at, reason: reason.to_owned(), withdrawn: 1, kept: 2 }
}

#[test]
fn each_import_has_its_own_entries_whatever_was_written_between() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let first = [registration(child(1), "Amina", "Osei", "CF-1", None), note(child(1), "2024-01-02", "one")];
    let second = [note(child(1), "2024-01-03", "two"), note(child(2), "2024-01-03", "three")];
    brought(&archive, 901, &first);
    archive.append(vec![note(child(1), "2024-01-04", "by hand")]).unwrap();
    brought(&archive, 902, &second);
    archive.append_import(Vec::new(), about(903), &mut |_| {}).unwrap();
    drop(archive);
    let archive = open(dir.path());
    let imports = archive.imports().unwrap();
    let seen: Vec<_> = imports.iter().map(|one| (one.file.as_str(), one.entries, one.children)).collect();
    assert_eq!(seen, [("visits-902.csv", 2, 2), ("visits-901.csv", 2, 1)]);
    assert_eq!(archive.entries_of_import(import_id(901)).unwrap(), first);
    assert_eq!(archive.entries_of_import(import_id(902)).unwrap(), second);
    assert_eq!(archive.entries_of_import(import_id(903)).unwrap(), Vec::<Entry>::new());
    assert_eq!(archive.past_import(import_id(903)).unwrap(), None);
    assert!(archive.verify().unwrap().is_sound());
}

#[test]
fn an_import_is_undone_once_with_a_reason() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let imported = note(child(1), "2024-01-02", "one");
    brought(&archive, 901, std::slice::from_ref(&imported));
    let withdrawal = || {
        let body = Withdrawal { entry: imported.id, reason: "wrong file".into() };
        vec![entry(child(1), "2024-02-01", body)]
    };
    let undo = |number, reason| {
        let now = archive.generation().unwrap();
        archive.undo_import(import_id(number), withdrawal(), undone(reason), now, &mut |_| {})
    };
    assert_eq!(undo(901, " ").unwrap_err(), ArchiveError::NoReason);
    assert_eq!(undo(777, "wrong file").unwrap_err(), ArchiveError::NoImport(import_id(777)));
    assert_eq!(archive.entries_count().unwrap(), 1, "a refused undo writes nothing");
    assert_eq!(archive.undone_entries(child(1)).unwrap(), HashSet::new());
    undo(901, "wrong file").unwrap();
    assert_eq!(undo(901, "again").unwrap_err(), ArchiveError::AlreadyUndone(import_id(901)));
    assert_eq!(archive.entries_count().unwrap(), 2);
    assert_eq!(archive.imports().unwrap()[0].undone, Some(undone("wrong file")));
    assert_eq!(archive.undone_entries(child(1)).unwrap(), HashSet::from([imported.id]));
    assert_eq!(archive.undone_entries(child(2)).unwrap(), HashSet::new());
    assert!(archive.verify().unwrap().is_sound());
}

#[test]
fn an_undo_planned_before_a_write_about_its_child_writes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let imported = note(child(1), "2024-01-02", "one");
    brought(&archive, 901, std::slice::from_ref(&imported));
    let undo_planned_at = |generation| {
        let body = Withdrawal { entry: imported.id, reason: "wrong file".into() };
        let withdrawals = vec![entry(child(1), "2024-02-01", body)];
        archive.undo_import(import_id(901), withdrawals, undone("wrong file"), generation, &mut |_| {})
    };
    let planned_at = archive.generation().unwrap();
    archive.append(vec![note(child(1), "2024-01-03", "by hand")]).unwrap();
    assert_eq!(undo_planned_at(planned_at).unwrap_err(), ArchiveError::ChangedMeanwhile);
    assert_eq!(archive.entries_count().unwrap(), 2);
    assert_eq!(archive.imports().unwrap()[0].undone, None);
    // What is written about another child does not matter.
    let planned_at = archive.generation().unwrap();
    archive.append(vec![note(child(2), "2024-01-03", "by hand")]).unwrap();
    undo_planned_at(planned_at).unwrap();
    assert_eq!(archive.imports().unwrap()[0].undone, Some(undone("wrong file")));
}

/// An import among short appends keeps its entries together, and shares a commit with none of them.
#[test]
fn an_import_among_other_writers_is_whole() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let large: Vec<Entry> = (0..3_000).map(|n| note(child(n % 50), "2024-01-01", "imported")).collect();
    thread::scope(|scope| {
        for number in 0..4_u128 {
            let archive = archive.clone();
            scope.spawn(move || {
                for _ in 0..50 {
                    archive.append(vec![note(child(100 + number), "2024-01-01", "by hand")]).unwrap();
                }
            });
        }
        for number in 901..904_u128 {
            let part = &large[(number as usize - 901) * 1_000..][..1_000];
            brought(&archive, number, part);
        }
    });
    for number in 901..904_u128 {
        let part = &large[(number as usize - 901) * 1_000..][..1_000];
        assert_eq!(archive.entries_of_import(import_id(number)).unwrap(), part);
    }
    assert_eq!(archive.entries_count().unwrap(), 3_200);
    assert!(archive.verify().unwrap().is_sound());
}
