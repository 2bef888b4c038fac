//! Backups.

use crate::common::{child, note, open};
use archive::{ArchiveError, FILE_NAME};
use std::{fs, thread};

#[test]
fn a_backup_made_while_people_write_is_whole_and_opens_by_itself() {
    let dir = tempfile::tempdir().unwrap();
    let safe = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let before: Vec<_> = (0..2_000).map(|n| note(child(n % 50), "2024-01-01", "before")).collect();
    archive.append_many(before.clone(), &mut |_| {}).unwrap();
    let to = safe.path().join(FILE_NAME);
    thread::scope(|scope| {
        let writing = archive.clone();
        scope.spawn(move || {
            for _ in 0..100 {
                writing.append(vec![note(child(77), "2024-01-01", "meanwhile")]).unwrap();
            }
        });
        archive.back_up(&to).unwrap();
    });
    let names: Vec<_> = fs::read_dir(safe.path()).unwrap().map(|file| file.unwrap().file_name()).collect();
    assert_eq!(names, [FILE_NAME], "one file and nothing else");
    let copy = open(safe.path());
    let report = copy.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
    assert!(report.entries >= 2_000, "{report}");
    for number in 0..50 {
        assert_eq!(copy.entries(child(number)).unwrap(), archive.entries(child(number)).unwrap());
    }
}

#[test]
fn a_backup_never_replaces_a_file_and_leaves_nothing_half_written() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let to = dir.path().join("copy.sqlite");
    fs::write(&to, "older backup").unwrap();
    assert_eq!(archive.back_up(&to).unwrap_err(), ArchiveError::Exists(to.clone()));
    assert_eq!(fs::read_to_string(&to).unwrap(), "older backup");
    let nowhere = dir.path().join("no such folder").join("copy.sqlite");
    assert!(archive.back_up(&nowhere).is_err());
    assert!(!nowhere.exists());
}
