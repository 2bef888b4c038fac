//! The generation of the log: it rises with every entry and every erasure, whoever made it, and with nothing
//! else.

use crate::common::{child, note, open, options, registration, someone};
use archive::{Archive, ArchiveError, WorkFilter, WorkKind};
use record::{ChildId, Timestamp};

fn written_since(archive: &Archive, generation: u64) -> Option<Vec<ChildId>> {
    let mut children = archive.written_since(generation).unwrap()?;
    children.sort_unstable();
    Some(children)
}

#[test]
fn a_write_moves_the_log_and_its_child_and_no_other_child() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    archive.append(vec![note(child(1), "2024-01-02", "one"), note(child(2), "2024-01-02", "two")]).unwrap();
    let (log, one, two) = (
        archive.generation().unwrap(),
        archive.generation_of(child(1)).unwrap(),
        archive.generation_of(child(2)).unwrap(),
    );
    assert_eq!(written_since(&archive, log), Some(vec![]));
    archive.append(vec![note(child(1), "2024-01-03", "again")]).unwrap();
    assert!(archive.generation().unwrap() > log && archive.generation_of(child(1)).unwrap() > one);
    assert_eq!(archive.generation_of(child(2)).unwrap(), two);
    assert_eq!(written_since(&archive, log), Some(vec![child(1)]));
    // What is no entry moves nothing, nor does a refused write.
    let log = archive.generation().unwrap();
    archive.set_setting("name", Some("Hillside".into())).unwrap();
    let entry = note(child(3), "2024-01-03", "three");
    archive.append(vec![entry.clone()]).unwrap();
    let after = archive.generation().unwrap();
    assert_eq!(after, log + 1, "one for the entry, none for the setting");
    archive.append(vec![entry]).unwrap_err();
    assert_eq!(archive.generation().unwrap(), after);
}

#[test]
fn what_was_planned_before_a_write_about_its_child_is_not_written() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    archive.append(vec![note(child(1), "2024-01-02", "one"), note(child(2), "2024-01-02", "two")]).unwrap();
    let planned_at = archive.generation().unwrap();
    archive.append(vec![note(child(3), "2024-01-02", "about another child")]).unwrap();
    archive.append_planned(vec![note(child(1), "2024-01-03", "planned")], planned_at).unwrap();
    // Both children are written, and one of them was written about since.
    let both = || vec![note(child(2), "2024-01-03", "planned"), note(child(1), "2024-01-03", "planned")];
    assert_eq!(archive.append_planned(both(), planned_at).unwrap_err(), ArchiveError::ChangedMeanwhile);
    assert_eq!(archive.entries_count().unwrap(), 4, "all or nothing");
    archive.append_planned(both(), archive.generation().unwrap()).unwrap();
    assert_eq!(archive.entries_count().unwrap(), 6);
    // What is there already is a duplicate, also where the child has changed.
    let again = archive.entries(child(2)).unwrap();
    let refused = archive.append_planned(again.clone(), planned_at).unwrap_err();
    assert_eq!(refused, ArchiveError::Duplicate(again[0].id));
}

#[test]
fn an_erasure_moves_its_child_and_leaves_nothing_in_memory() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let wrong = registration(child(1), "Quillon", "Zorzabel", "WRONG-77", None);
    archive.append(vec![wrong.clone(), note(child(2), "2024-01-02", "row/rule/1/2024-01-02")]).unwrap();
    let filter = WorkFilter { kind: Some(WorkKind::Row), ..WorkFilter::default() };
    assert_eq!(archive.worklist(crate::common::day("2024-02-01"), &filter, 0, 9).unwrap().1, 1);
    assert!(archive.cache().bytes() > 0);
    let log = archive.generation().unwrap();
    archive.erase(wrong.id, "another child", someone(), Timestamp::from_seconds(1_710_000_000)).unwrap();
    assert_eq!(written_since(&archive, log), Some(vec![child(1)]));
    assert_eq!(archive.cache().bytes(), 0);
}

#[test]
fn a_handle_for_reading_sees_what_another_process_wrote() {
    let dir = tempfile::tempdir().unwrap();
    let writer = open(dir.path());
    writer.append(vec![note(child(1), "2024-01-02", "one"), note(child(2), "2024-01-02", "two")]).unwrap();
    // Shares nothing with the writer but the file.
    let reader = Archive::open_for_reading(dir.path(), options()).unwrap();
    let (log, two) = (reader.generation().unwrap(), reader.generation_of(child(2)).unwrap());
    assert_eq!(reader.generation().unwrap(), log);
    let erased = note(child(3), "2024-01-03", "three");
    writer.append(vec![note(child(1), "2024-01-03", "again"), erased.clone()]).unwrap();
    assert_eq!(written_since(&reader, log), Some(vec![child(1), child(3)]));
    assert_eq!(reader.generation_of(child(2)).unwrap(), two);
    assert_eq!(reader.children_count().unwrap(), 3, "a count is not remembered beyond its generation");
    let log = reader.generation().unwrap();
    writer.erase(erased.id, "wrong child", someone(), Timestamp::from_seconds(1_710_000_000)).unwrap();
    assert_eq!(written_since(&reader, log), Some(vec![child(3)]));
    assert_eq!(reader.children_count().unwrap(), 2);
}

#[test]
fn after_very_many_children_at_once_any_child_may_be_written_about() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    archive.append(vec![note(child(1), "2024-01-02", "one")]).unwrap();
    let (log, one) = (archive.generation().unwrap(), archive.generation_of(child(1)).unwrap());
    // More than the 16,384 whose own generation is remembered.
    let many = (2..17_000).map(|number| note(child(number), "2024-01-02", "many")).collect();
    archive.append_many(many, &mut |_| {}).unwrap();
    assert_eq!(written_since(&archive, log), None);
    assert!(archive.generation_of(child(1)).unwrap() > one, "it may have been among them");
    let log = archive.generation().unwrap();
    archive.append(vec![note(child(9), "2024-01-03", "nine")]).unwrap();
    assert_eq!(written_since(&archive, log), Some(vec![child(9)]));
}
