//! Records of an earlier layout are copied before they are brought up to date, and that can be taken back.

use crate::{
    common::{child, note, open, options, raw, someone},
    witness::patiently,
};
use archive::{Archive, ArchiveError, FILE_NAME, Options, WitnessPlace, take_back_upgrade};
use record::Timestamp;
use std::{
    fs,
    path::{Path, PathBuf},
};

/// The file as a program wrote it that knew five layouts.
const BACK_TO_LAYOUT_5: &str = "
    DROP TABLE practice_answers; DROP TABLE practice_photographs; DROP TABLE seals; DROP TABLE decisions; DROP TABLE restrictions; DROP TABLE restricted_openings;
    DROP TABLE seen_openings; DROP TABLE access_heads; DROP TABLE erased_kinds; DROP TABLE erasure_requests;
    DROP TABLE holds; DROP TABLE code_secrets; DROP TABLE recovery_codes; DROP TABLE passkeys;
    DROP TABLE account_events; DROP TABLE failed_sign_ins; DROP TRIGGER session_ended; DROP TABLE ended_sessions;
    DROP TABLE pins; DROP TABLE form_drafts; ALTER TABLE sessions DROP COLUMN locked_at;
    ALTER TABLE sessions DROP COLUMN place; DROP TABLE devices; DROP TABLE account_roles;
    ALTER TABLE accounts DROP COLUMN one_time_until; ALTER TABLE accounts DROP COLUMN last_sign_in;
    DROP TABLE phones; ALTER TABLE summaries DROP COLUMN carers; DROP TABLE undone_imports; DROP TABLE imports;
    DELETE FROM facts; DELETE FROM migrations WHERE number > 5;";

fn of_layout_5(dir: &Path) {
    let archive = open(dir);
    archive.append((0..6).map(|n| note(child(n), "2024-01-01", "before")).collect()).unwrap();
    drop(archive);
    raw(dir).execute_batch(BACK_TO_LAYOUT_5).unwrap();
}

fn copies(dir: &Path, part: &str) -> Vec<PathBuf> {
    let found = fs::read_dir(dir).unwrap().map(|file| file.unwrap().path());
    found.filter(|path| path.to_string_lossy().contains(part)).collect()
}

fn now() -> Timestamp {
    Timestamp::from_seconds(1_710_000_000)
}

fn layout(file: &Path) -> i64 {
    let conn = rusqlite::Connection::open(file).unwrap();
    conn.query_row("SELECT max(number) FROM migrations", [], |row| row.get(0)).unwrap()
}

#[test]
fn an_upgrade_copies_first_and_can_be_taken_back_and_made_again() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    of_layout_5(&records);
    let witness = WitnessPlace::in_folder(&dir.path().join("outside"));
    let with = Options { witness: Some(witness), ..options() };
    let started = || patiently(|| Archive::open(&records, with.clone())).unwrap();
    drop(started());
    let made = copies(&records, "before-layout");
    assert_eq!(made.len(), 1);
    assert_eq!(layout(&made[0]), 5);
    let known = layout(&records.join(FILE_NAME));
    assert!(known >= 13 && made[0].to_string_lossy().ends_with(&format!("before-layout-{known:03}")));
    // A second start copies nothing.
    let written = fs::metadata(&made[0]).unwrap().modified().unwrap();
    drop(started());
    assert_eq!(fs::metadata(&made[0]).unwrap().modified().unwrap(), written);

    let back = take_back_upgrade(&records, &with, now()).unwrap();
    assert_eq!((back.layout, back.entries), (5, 6));
    assert_eq!(layout(&records.join(FILE_NAME)), 5, "as the earlier program left it");
    assert_eq!(layout(&back.aside), known, "nothing was deleted");
    let reading = Archive::open_for_reading(&records, options());
    assert_eq!(reading.map(|_| ()), Err(ArchiveError::Older));
    // Later it is upgraded again, and nobody is alarmed.
    let archive = started();
    assert_eq!((archive.finding(), archive.entries_count().unwrap()), (None, 6));
    assert!(archive.verify().unwrap().is_sound());
}

#[test]
fn what_was_saved_since_the_upgrade_is_never_lost_by_taking_it_back() {
    let dir = tempfile::tempdir().unwrap();
    of_layout_5(dir.path());
    let archive = open(dir.path());
    let running = take_back_upgrade(dir.path(), &options(), now());
    assert!(matches!(running, Err(ArchiveError::InUse { .. })), "{running:?}");
    archive.append((0..3).map(|n| note(child(n), "2024-01-01", "since")).collect()).unwrap();
    drop(archive);
    let refused = take_back_upgrade(dir.path(), &options(), now()).unwrap_err();
    assert_eq!(refused, ArchiveError::SavedSinceUpgrade(3));
    assert!(refused.to_string().starts_with("3 entries were saved since the upgrade"), "{refused}");
    assert_eq!(open(dir.path()).entries_count().unwrap(), 9);
    let never = tempfile::tempdir().unwrap();
    drop(open(never.path()));
    let none = take_back_upgrade(never.path(), &options(), now());
    assert!(matches!(none, Err(ArchiveError::NoUpgrade(_))), "{none:?}");
}

#[test]
fn an_erasure_deletes_the_copy_from_before_an_upgrade() {
    let dir = tempfile::tempdir().unwrap();
    of_layout_5(dir.path());
    let archive = open(dir.path());
    assert_eq!(copies(dir.path(), "before-layout").len(), 1);
    let entry = archive.entries(child(1)).unwrap()[0].id;
    archive.erase(entry, "asked for", someone(), now()).unwrap();
    assert_eq!(copies(dir.path(), "before-layout").len(), 0);
}

#[test]
fn an_upgrade_for_which_there_is_no_room_changes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    of_layout_5(dir.path());
    // Where the copy would be written there is a folder.
    let known = {
        let other = tempfile::tempdir().unwrap();
        drop(open(other.path()));
        layout(&other.path().join(FILE_NAME))
    };
    fs::create_dir(dir.path().join(format!("{FILE_NAME}.before-layout-{known:03}.part"))).unwrap();
    assert!(Archive::open(dir.path(), options()).is_err());
    assert_eq!(layout(&dir.path().join(FILE_NAME)), 5);
}
