//! The access log: what is written is found, and every way of tampering with it is found too.

use crate::common::{child, id, open};
use archive::{
    ACCESS_FILE, ACCESS_KEY_FILE, AccessAct, AccessEvent, AccessFilter, AccessLog, AccessOutcome,
    AccessReport,
};
use record::{Timestamp, UserId};
use std::path::Path;

/// Noon of 4 March 2025, UTC, from memory: 1741089600 seconds after 1970.
const NOON: i64 = 1_741_089_600;

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(NOON + seconds)
}

fn event(number: i64) -> AccessEvent {
    AccessEvent {
        // Far enough apart that none is a repetition.
        at: at(number * 100),
        person: Some(UserId::new(id(7))),
        device: "Tablet, cast room".into(),
        child: Some(child(1 + u128::from(number.unsigned_abs() % 3))),
        act: AccessAct::Look,
        what: "/child/{id}".into(),
        outcome: AccessOutcome::Opened,
        note: String::new(),
    }
}

/// A folder with a log of ten rows, closed, so that its length is noted with the records.
fn ten_rows() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let log = archive.access_log(at(0)).unwrap();
    (0..10).for_each(|number| log.note(event(number)));
    drop(log);
    drop(archive);
    dir
}

fn checked(dir: &Path) -> AccessReport {
    open(dir).access_log_beside().check().unwrap()
}

fn tampered(change: &str) -> AccessReport {
    let dir = ten_rows();
    assert!(checked(dir.path()).is_sound());
    crate::common::raw_file(&dir.path().join(ACCESS_FILE)).execute_batch(change).unwrap();
    checked(dir.path())
}

#[test]
fn what_is_noted_is_found_the_latest_first_and_the_check_finds_nothing() {
    let dir = ten_rows();
    let archive = open(dir.path());
    let log = archive.access_log_beside();
    let report = log.check().unwrap();
    assert_eq!((report.rows, report.faults_count, report.unjudged, report.gaps), (10, 0, 0, 0));
    assert_eq!((report.first, report.last, report.noted), (Some(at(0)), Some(at(900)), Some(at(900))));
    let (rows, total) = log.rows(&AccessFilter::default(), 0, 3).unwrap();
    assert_eq!(total, 10);
    assert_eq!(rows.iter().map(|row| row.number).collect::<Vec<_>>(), [10, 9, 8]);
    assert_eq!(rows[0].event, event(9));
    // Children 1, 2, 3 in turn: rows 2, 5, 8 of ten are about child 2.
    let of_child = AccessFilter { children: Some(vec![child(2)]), ..AccessFilter::default() };
    let numbers: Vec<i64> = log.rows(&of_child, 0, 99).unwrap().0.iter().map(|row| row.number).collect();
    assert_eq!(numbers, [8, 5, 2]);
    let none = AccessFilter { children: Some(Vec::new()), ..AccessFilter::default() };
    assert_eq!(log.rows(&none, 0, 99).unwrap().1, 0);
    let hours = AccessFilter { from: Some(at(200)), before: Some(at(400)), ..AccessFilter::default() };
    assert_eq!(log.rows(&hours, 0, 99).unwrap().1, 2);
    let device = AccessFilter { device: Some("another".into()), ..AccessFilter::default() };
    assert_eq!(log.rows(&device, 0, 99).unwrap().1, 0);
    assert_eq!(log.devices().unwrap(), ["Tablet, cast room"]);
}

#[test]
fn each_column_of_each_row_that_is_changed_is_found() {
    let columns = [
        "at = at + 1",
        "person = x'00000000000000000000000000000009'",
        "person = NULL",
        "device = 'this computer'",
        "child = x'00000000000000000000000000000009'",
        "child = NULL",
        "act = 1",
        "what = '/child/{id}/visit'",
        "outcome = 1",
        "note = 'x'",
        "hash = zeroblob(32)",
    ];
    for number in [1, 5, 10] {
        for column in columns {
            let report = tampered(&format!("UPDATE access SET {column} WHERE number = {number}"));
            assert!(!report.is_sound(), "{column} of row {number}");
            // The row itself, and the next or the noted head where its hash is not what they were made from.
            let about = |fault: &archive::AccessFault| (number..=number + 1).contains(&fault.number);
            assert!(report.faults.iter().all(about), "{column} of row {number}: {:?}", report.faults);
        }
    }
    let unknown = tampered("UPDATE access SET key = zeroblob(8) WHERE number = 4");
    assert!(!unknown.is_sound() && unknown.unjudged == 1, "a row of a key that is not there is not passed");
}

#[test]
fn a_row_removed_in_the_middle_is_found_also_if_the_others_move_up() {
    let report = tampered("DELETE FROM access WHERE number = 4");
    assert!(report.faults[0].text.contains("1 rows before row 5 are missing"), "{:?}", report.faults);
    let closed_up = tampered(
        "DELETE FROM access WHERE number = 4;
         UPDATE access SET number = number - 1 WHERE number > 4;",
    );
    assert_eq!(closed_up.faults[0].number, 4, "{:?}", closed_up.faults);
    let first = tampered("DELETE FROM access WHERE number = 1");
    assert!(!first.is_sound());
}

#[test]
fn rows_that_change_places_are_found() {
    let report = tampered(
        "UPDATE access SET number = 100 WHERE number = 3;
         UPDATE access SET number = 3 WHERE number = 6;
         UPDATE access SET number = 6 WHERE number = 100;",
    );
    let numbers: Vec<i64> = report.faults.iter().map(|fault| fault.number).collect();
    assert!(numbers.contains(&3) && numbers.contains(&6), "{:?}", report.faults);
}

#[test]
fn a_tail_that_is_cut_off_is_found_and_stays_known_after_the_next_start() {
    let dir = ten_rows();
    let cut = "DELETE FROM access WHERE number > 7";
    crate::common::raw_file(&dir.path().join(ACCESS_FILE)).execute_batch(cut).unwrap();
    let report = checked(dir.path());
    assert_eq!(report.faults_count, 1);
    assert!(report.faults[0].text.contains("Rows 8 to 10 are missing from the end"), "{:?}", report.faults);
    // The next start notes it in the log itself, so that rows written since do not hide it.
    let archive = open(dir.path());
    let log = archive.access_log(at(5_000)).unwrap();
    (50..60).for_each(|number| log.note(event(number)));
    let (rows, _) = log.rows(&AccessFilter::default(), 10, 1).unwrap();
    assert_eq!(rows[0].event.outcome, AccessOutcome::Gap);
    assert!(rows[0].event.note.contains("had 7 rows, and 10 had been noted"), "{}", rows[0].event.note);
    assert_eq!(log.check().unwrap().gaps, 1);
    // A log that is gone altogether.
    let dir = ten_rows();
    for end in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(dir.path().join(format!("{ACCESS_FILE}{end}")));
    }
    assert!(checked(dir.path()).faults[0].text.contains("The log is missing; 10 rows"));
}

#[test]
fn who_has_not_the_key_cannot_write_a_row_that_passes() {
    let dir = ten_rows();
    let key = dir.path().join(ACCESS_KEY_FILE);
    let kept = std::fs::read(&key).unwrap();
    // Somebody adds rows with a key of their own, and puts the clinic's key back.
    std::fs::remove_file(&key).unwrap();
    AccessLog::append_now(dir.path(), crate::key().as_ref(), &[event(20)]).unwrap();
    std::fs::write(&key, &kept).unwrap();
    let report = checked(dir.path());
    assert_eq!((report.unjudged, report.is_sound()), (1, false), "{report}");
    // With the clinic's key gone, nothing can be told about its rows, and the check says so.
    std::fs::remove_file(&key).unwrap();
    assert_eq!(checked(dir.path()).unjudged, 11);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let dir = ten_rows();
        let mode = std::fs::metadata(dir.path().join(ACCESS_KEY_FILE)).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
}

#[test]
fn the_same_look_within_a_minute_is_one_row() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let log = archive.access_log(at(0)).unwrap();
    let look = |seconds: i64| AccessEvent { at: at(seconds), ..event(0) };
    for seconds in [0, 1, 59, 60, 61, 119, 120] {
        log.note(look(seconds));
    }
    // Rows at 0, 60 and 120. Another page, person, device or child is not the same look; a form is never left out.
    log.note(AccessEvent { what: "/child/{id}/visit".into(), ..look(121) });
    log.note(AccessEvent { person: Some(UserId::new(id(8))), ..look(121) });
    log.note(AccessEvent { device: "this computer".into(), ..look(121) });
    log.note(AccessEvent { child: Some(child(9)), ..look(121) });
    let sent = AccessEvent { act: AccessAct::Send, ..look(121) };
    log.note(sent.clone());
    log.note(sent);
    assert_eq!(log.rows(&AccessFilter::default(), 0, 99).unwrap().1, 3 + 4 + 2);
}

#[test]
fn a_command_beside_the_server_adds_its_rows_to_the_same_chain() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let log = archive.access_log(at(0)).unwrap();
    for number in 0..20 {
        log.note(event(2 * number));
        log.flush().unwrap();
        AccessLog::append_now(dir.path(), crate::key().as_ref(), &[event(2 * number + 1)]).unwrap();
    }
    let report = log.check().unwrap();
    assert_eq!((report.rows, report.is_sound()), (40, true), "{report}");
    let elsewhere = tempfile::tempdir().unwrap();
    AccessLog::append_now(elsewhere.path(), crate::key().as_ref(), &[event(1)]).unwrap();
    assert!(!elsewhere.path().join(ACCESS_FILE).exists(), "no log where there are no records");
}

#[test]
fn what_cannot_be_written_is_told_and_counted_once_it_can_again() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let log = archive.access_log(at(0)).unwrap();
    log.note(event(0));
    log.flush().unwrap();
    assert_eq!(log.trouble(), None);
    // Another program keeps the file locked for longer than the log waits.
    let other = crate::common::raw_file(&dir.path().join(ACCESS_FILE));
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    log.note(event(1));
    assert!(log.flush().is_err());
    let (since, why) = log.trouble().unwrap();
    assert_eq!(since, at(100));
    assert!(!why.is_empty());
    let changes = log.trouble_changes();
    other.execute_batch("ROLLBACK").unwrap();
    log.flush().unwrap();
    assert_eq!((log.trouble(), log.rows(&AccessFilter::default(), 0, 9).unwrap().1), (None, 2));
    assert!(log.trouble_changes() > changes);
}

#[test]
fn a_log_that_cannot_be_opened_does_not_keep_the_records_closed() {
    let dir = ten_rows();
    std::fs::write(dir.path().join(ACCESS_FILE), "not a database, but long enough to be looked at as one")
        .unwrap();
    let archive = open(dir.path());
    let error = archive.access_log(at(0)).err().unwrap();
    let log = archive.access_log_failed(at(0), &error);
    log.note(event(1));
    assert!(log.trouble().is_some());
    assert!(log.check().is_err() || !log.check().unwrap().is_sound());
}

#[test]
fn a_copy_can_be_checked_like_the_original() {
    let dir = ten_rows();
    let archive = open(dir.path());
    let copy = tempfile::tempdir().unwrap();
    archive.back_up(&copy.path().join(archive::FILE_NAME)).unwrap();
    archive.access_log_beside().copy_to(copy.path()).unwrap();
    let report = checked(copy.path());
    assert_eq!((report.rows, report.is_sound()), (10, true), "{report}");
}

/// What a row costs, of this process in all, with the hash, the file and the flushes: printed, for
/// `cargo test -- --ignored --nocapture cost_of_a_row`.
#[cfg(target_os = "linux")]
#[test]
#[ignore = "a measurement"]
fn cost_of_a_row() {
    let cpu = || {
        let stat = std::fs::read_to_string("/proc/self/stat").unwrap();
        let after = stat.rsplit(')').next().unwrap();
        let field = |n: usize| after.split_whitespace().nth(n).unwrap().parse::<u64>().unwrap();
        // User and system time, in hundredths of a second.
        (field(11) + field(12)) * 10_000
    };
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let log = archive.access_log(at(0)).unwrap();
    let (before, rows, begun) = (cpu(), 100_000, std::time::Instant::now());
    for number in 0..rows {
        log.note(event(number));
        if number % 5_000 == 4_999 {
            log.flush().unwrap();
        }
    }
    let micros = cpu() - before;
    println!(
        "{rows} rows: {} µs of processor time each, {:?} in all",
        micros as f64 / rows as f64,
        begun.elapsed()
    );
    let (size, begun) =
        (std::fs::metadata(dir.path().join(ACCESS_FILE)).unwrap().len(), std::time::Instant::now());
    assert!(log.check().unwrap().is_sound());
    println!("{size} bytes; checked in {:?}", begun.elapsed());
}

#[test]
fn a_fingerprint_on_paper_is_compared() {
    let dir = ten_rows();
    let archive = open(dir.path());
    let log = archive.access_log_beside();
    let head = log.head().unwrap().unwrap();
    assert_eq!(head.rows, 10);
    assert!(log.has_fingerprint(10, &head.fingerprint().to_uppercase()).unwrap());
    assert!(!log.has_fingerprint(9, &head.fingerprint()).unwrap());
    assert!(!log.has_fingerprint(11, &head.fingerprint()).unwrap());
}
