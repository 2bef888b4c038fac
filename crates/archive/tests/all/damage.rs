//! Bad files, full disks and closed doors: one clear sentence, nothing lost, nothing half-written.

use crate::common::{child, id, note, open, options, raw, registration, someone};
use archive::{Archive, ArchiveError, FILE_NAME, NewImport};
use record::{Entry, ImportId, Timestamp};
use std::{
    fs::{self, File},
    io::{Seek, SeekFrom, Write},
    path::Path,
    process::Command,
};

const PAGE: u64 = 4_096;

fn refusal(dir: &Path) -> ArchiveError {
    Archive::open(dir, options()).map(|_| ()).unwrap_err()
}

fn some_records(dir: &Path) -> Vec<(record::ChildId, Vec<Entry>)> {
    let archive = open(dir);
    let mut entries = Vec::new();
    for number in 0..200_u128 {
        let name = format!("Given{number}");
        entries.push(registration(child(number), &name, "Family", &format!("N{number}"), None));
        entries.push(note(child(number), "2024-01-01", "attention/a/0/2024-01-01"));
    }
    let (id, at) = (ImportId::new(id(900)), Timestamp::from_seconds(1_700_000_000));
    let about = NewImport { id, file: "visits.csv".into(), by: someone(), at };
    archive.append_import(entries, about, &mut |_| {}).unwrap();
    (0..200).map(|number| (child(number), archive.entries(child(number)).unwrap())).collect()
}

fn overwrite(path: &Path, at: u64, bytes: &[u8]) {
    let mut file = File::options().write(true).open(path).unwrap();
    file.seek(SeekFrom::Start(at)).unwrap();
    file.write_all(bytes).unwrap();
}

/// Whether a page belongs to a table or index without rows, so that nothing on it can be lost: a leaf (types 10
/// and 13 of the SQLite file format) with no cell.
fn is_empty(file: &[u8], page: u64) -> bool {
    let at = usize::try_from(page * PAGE).unwrap();
    page > 0 && matches!(file[at], 10 | 13) && file[at + 3..at + 5] == [0, 0]
}

#[test]
fn bytes_overwritten_anywhere_are_found_or_do_no_harm() {
    let whole = tempfile::tempdir().unwrap();
    let written = some_records(whole.path());
    let path = whole.path().join(FILE_NAME);
    let pages = fs::metadata(&path).unwrap().len() / PAGE;
    assert!(pages > 20);
    let mut found = 0;
    let mut tried = 0;
    let bytes = fs::read(&path).unwrap();
    for page in (0..pages).step_by(4).filter(|page| !is_empty(&bytes, *page)) {
        tried += 1;
        let dir = tempfile::tempdir().unwrap();
        let copy = dir.path().join(FILE_NAME);
        fs::copy(&path, &copy).unwrap();
        // The whole of the first page is the header; elsewhere the second half, where the rows lie.
        overwrite(&copy, page * PAGE + if page == 0 { 0 } else { PAGE / 2 }, &[0xA5; PAGE as usize / 2]);
        let archive = match Archive::open(dir.path(), options()) {
            Err(error) => {
                assert!(error.to_string().contains("damaged"), "page {page}: {error}");
                found += 1;
                continue;
            }
            Ok(archive) => archive,
        };
        let sound = archive.verify().unwrap().is_sound();
        found += u64::from(!sound);
        for (who, log) in &written {
            match archive.entries(*who) {
                // An entry that is handed out is what was written, or the check says that one is missing.
                Ok(read) => assert!(read == *log || !sound, "page {page}: a log differs unnoticed"),
                Err(error) => assert!(!sound, "page {page}: {error}, and the check found nothing"),
            }
            let _ = archive.search("Given7", 5);
        }
    }
    println!("{found} of {tried} damaged pages found");
    assert!(tried > 15, "only {tried} pages hold anything");
    assert!(found * 10 >= tried * 9, "{found} of {tried}");
}

#[test]
fn a_damaged_file_is_said_to_be_damaged_and_stays_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    some_records(dir.path());
    let path = dir.path().join(FILE_NAME);
    let pages = fs::metadata(&path).unwrap().len() / PAGE;
    // The pages of a file without entries hold its layout: with one of those damaged it would not open at all.
    let empty = tempfile::tempdir().unwrap();
    drop(open(empty.path()));
    let layout = fs::metadata(empty.path().join(FILE_NAME)).unwrap().len() / PAGE;
    assert!(layout < 2 * pages / 3, "{layout} of {pages}");
    for page in layout..pages {
        overwrite(&path, page * PAGE, &[0xFF; PAGE as usize]);
    }
    let before = fs::read(&path).unwrap();
    let report = open(dir.path()).verify().unwrap();
    assert!(report.to_string().contains("damaged"), "{report}");
    let archive = open(dir.path());
    let error = (0..200).find_map(|number| archive.entries(child(number)).err()).unwrap();
    assert!(matches!(error, ArchiveError::Damaged(_)), "{error}");
    assert!(error.to_string().contains("restore the latest backup"), "{error}");
    drop(archive);
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn a_file_cut_short_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    some_records(dir.path());
    let path = dir.path().join(FILE_NAME);
    let length = fs::metadata(&path).unwrap().len();
    File::options().write(true).open(&path).unwrap().set_len(length / 2).unwrap();
    let error = refusal(dir.path());
    assert!(matches!(error, ArchiveError::Damaged(_)), "{error}");
}

#[test]
fn a_text_file_under_the_name_is_refused_and_kept() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join(FILE_NAME);
    let text = "name;number;cast\nAmina;12;3\n".repeat(100);
    fs::write(&path, &text).unwrap();
    let error = refusal(dir.path());
    assert_eq!(error, ArchiveError::NotRecords(path.clone()));
    assert!(error.to_string().contains("is not a records file"), "{error}");
    let reading = Archive::open_for_reading(dir.path(), options()).map(|_| ()).unwrap_err();
    assert_eq!(reading, ArchiveError::NotRecords(path.clone()));
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
}

#[test]
fn another_database_under_the_name_is_refused_and_kept() {
    let dir = tempfile::tempdir().unwrap();
    raw(dir.path())
        .execute_batch("CREATE TABLE shopping (item TEXT); INSERT INTO shopping VALUES ('plaster')")
        .unwrap();
    let before = fs::read(dir.path().join(FILE_NAME)).unwrap();
    assert_eq!(refusal(dir.path()), ArchiveError::NotRecords(dir.path().join(FILE_NAME)));
    assert_eq!(fs::read(dir.path().join(FILE_NAME)).unwrap(), before);
}

#[test]
fn records_of_a_newer_program_are_refused_and_kept() {
    let dir = tempfile::tempdir().unwrap();
    some_records(dir.path());
    let known: i64 =
        raw(dir.path()).query_row("SELECT max(number) FROM migrations", [], |row| row.get(0)).unwrap();
    let to_come = "INSERT INTO migrations VALUES (?1, 'to come', '2099-01-01T00:00:00Z')";
    raw(dir.path()).execute(to_come, [known + 1]).unwrap();
    for error in
        [refusal(dir.path()), Archive::open_for_reading(dir.path(), options()).map(|_| ()).unwrap_err()]
    {
        assert_eq!(error, ArchiveError::Newer { found: known + 1, known });
        assert!(error.to_string().contains("Update the program"), "{error}");
    }
    raw(dir.path()).execute("DELETE FROM migrations WHERE number = ?1", [known + 1]).unwrap();
    assert!(open(dir.path()).verify().unwrap().is_sound());
}

#[test]
fn a_second_opening_is_refused_until_the_first_is_closed() {
    let dir = tempfile::tempdir().unwrap();
    let first = open(dir.path());
    let pid = Some(std::process::id());
    assert_eq!(refusal(dir.path()), ArchiveError::InUse { dir: dir.path().into(), pid });
    first.append(vec![note(child(1), "2024-01-01", "still works")]).unwrap();
    drop(first);
    assert_eq!(open(dir.path()).entries_count().unwrap(), 1);
}

#[test]
fn a_full_disk_writes_nothing_and_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let mut options = options();
    options.most_pages = Some(120);
    let archive = Archive::open(dir.path(), options).unwrap();
    fills_up(&archive);
    drop(archive);
    // With room again, all goes on.
    let archive = open(dir.path());
    archive.append(vec![note(child(1), "2024-01-01", &"x".repeat(100_000))]).unwrap();
    assert!(archive.verify().unwrap().is_sound());
}

/// Appends until there is no room, then checks that nothing is half there.
fn fills_up(archive: &Archive) {
    let mut written = 0;
    let error = loop {
        let entries: Vec<_> = (0..3).map(|n| note(child(n), "2024-01-01", &"x".repeat(5_000))).collect();
        match archive.append(entries) {
            Ok(_) => written += 3,
            Err(error) => break error,
        }
        assert!(written < 100_000, "the disk never filled");
    };
    assert!(matches!(error, ArchiveError::Full | ArchiveError::Disk(_)), "{error:?}");
    assert!(error.to_string().contains("nothing was written"), "{error}");
    assert!(written > 0);
    assert_eq!(archive.entries_count().unwrap(), written);
    let import = (0..600).map(|n| note(child(n), "2024-01-01", &"y".repeat(5_000))).collect();
    let error = archive.append_many(import, &mut |_| {}).unwrap_err();
    assert!(matches!(error, ArchiveError::Full | ArchiveError::Disk(_)), "{error:?}");
    assert_eq!(archive.entries_count().unwrap(), written);
    let report = archive.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
    assert_eq!(report.entries, written);
}

/// A real small file system, where this machine lets the test make one.
#[cfg(target_os = "linux")]
#[test]
fn a_really_full_file_system_writes_nothing_and_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let mount =
        Command::new("mount").args(["-t", "tmpfs", "-o", "size=3m", "tmpfs"]).arg(dir.path()).output();
    if !mount.is_ok_and(|done| done.status.success()) {
        println!("skipped: no permission to mount a small file system here");
        return;
    }
    let result = std::panic::catch_unwind(|| {
        fills_up(&open(dir.path()));
        let archive = open(dir.path());
        let report = archive.verify().unwrap();
        assert!(report.is_sound(), "{report}");
    });
    let _ = Command::new("umount").arg(dir.path()).status();
    if let Err(failed) = result {
        std::panic::resume_unwind(failed);
    }
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_is_named() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o500)).unwrap();
    let result = Archive::open(dir.path(), options()).map(|_| ());
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o700)).unwrap();
    match result {
        Ok(()) => println!("skipped: run by a user who may write everywhere"),
        Err(error) => {
            assert_eq!(error, ArchiveError::ReadOnly(dir.path().into()));
            assert!(error.to_string().contains("cannot be written to"), "{error}");
        }
    }
}

#[test]
fn a_folder_that_is_a_file_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("a file");
    fs::write(&file, "text").unwrap();
    let error = refusal(&file);
    assert!(matches!(error, ArchiveError::Folder { .. }), "{error}");
    let text = fs::read_to_string(&file).unwrap();
    assert_eq!(text, "text");
}

#[test]
fn a_very_long_note_and_a_script_are_kept_as_they_are() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let long = note(child(1), "2024-01-01", &"ß".repeat(500_000));
    let script = registration(
        child(2),
        "<script>alert(1)</script>",
        "'; DROP TABLE entries; --",
        "\u{0}\u{202e}",
        None,
    );
    archive.append(vec![long.clone(), script.clone()]).unwrap();
    assert_eq!(archive.entries(child(1)).unwrap(), vec![long]);
    assert_eq!(archive.entries(child(2)).unwrap(), vec![script]);
    assert_eq!(archive.search("script", 5).unwrap().len(), 1);
    assert!(archive.verify().unwrap().is_sound());
}
