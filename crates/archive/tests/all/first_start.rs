//! A first start that is killed at any moment: the next one works, and nothing half-made is taken for a clinic.

use crate::common::{child, note, options};
use archive::{Archive, FILE_NAME, Options, WitnessPlace};
use std::{
    env, fs,
    path::Path,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

const FOLDER: &str = "ARCHIVE_TEST_FIRST_START";

fn with_witness(dir: &Path) -> Options {
    Options { witness: Some(WitnessPlace::in_folder(&dir.join("outside"))), ..options() }
}

/// Run by the test below as a process of its own; does nothing by itself.
#[test]
#[ignore = "run by another test as a process of its own"]
fn starts_for_the_first_time() {
    let Some(dir) = env::var_os(FOLDER) else { return };
    let dir = Path::new(&dir);
    let archive = Archive::open(&dir.join("records"), with_witness(dir)).unwrap();
    archive.set_setting("site", Some("x".into())).unwrap();
    archive.append(vec![note(child(1), "2024-01-01", "the first")]).unwrap();
}

fn start(dir: &Path) -> std::process::Child {
    Command::new(env::current_exe().unwrap())
        .args(["--exact", "first_start::starts_for_the_first_time", "--ignored", "--nocapture"])
        .env(FOLDER, dir)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

#[test]
fn a_first_start_killed_at_any_moment_is_followed_by_one_that_works() {
    let timed = tempfile::tempdir().unwrap();
    let begun = Instant::now();
    assert!(start(timed.path()).wait().unwrap().success());
    let whole = begun.elapsed();
    let (mut before, mut between, mut after) = (0, 0, 0);
    for round in 0..240_u32 {
        let dir = tempfile::tempdir().unwrap();
        let mut process = start(dir.path());
        std::thread::sleep(whole.mul_f64(f64::from(round % 120) / 110.0).max(Duration::from_micros(1)));
        // It may have finished by itself.
        let _ = process.kill();
        process.wait().unwrap();
        let records = dir.path().join("records");
        let (begun, there) = (records.exists(), records.join(FILE_NAME).exists());
        let archive = Archive::open(&records, with_witness(dir.path()))
            .unwrap_or_else(|error| panic!("round {round}: {error}, {:?}", listed(&records)));
        assert_eq!(archive.finding(), None, "round {round}: {:?}", listed(&records));
        let entries = archive.entries_count().unwrap();
        archive.append(vec![note(child(2), "2024-01-01", "after it")]).unwrap();
        let report = archive.verify().unwrap();
        assert!(report.is_sound(), "round {round}: {report}");
        drop(archive);
        assert_eq!(Archive::open(&records, with_witness(dir.path())).unwrap().finding(), None);
        match (begun, there, entries) {
            (_, true, 1) => after += 1,
            (false, ..) => before += 1,
            _ => between += 1,
        }
    }
    println!("killed before {before}, within {between}, after {after}");
    assert!(between >= 5, "killed before {before}, within {between}, after {after}");
}

fn listed(dir: &Path) -> Vec<(String, u64)> {
    let Ok(entries) = fs::read_dir(dir) else { return Vec::new() };
    entries
        .map(Result::unwrap)
        .map(|entry| (entry.file_name().to_string_lossy().into_owned(), entry.metadata().unwrap().len()))
        .collect()
}

/// Each state in which the steps of making the file can be left.
#[test]
fn what_an_earlier_attempt_left_is_written_over() {
    for left in [&b""[..], b"SQLite format 3\0 and no more", &[0xA5; 9_000]] {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join(format!("{FILE_NAME}.new")), left).unwrap();
        for end in ["journal", "wal", "shm"] {
            fs::write(dir.path().join(format!("{FILE_NAME}.new-{end}")), left).unwrap();
        }
        let archive = Archive::open(dir.path(), options()).unwrap();
        archive.append(vec![note(child(1), "2024-01-01", "the first")]).unwrap();
        assert!(archive.verify().unwrap().is_sound());
        assert!(!dir.path().join(format!("{FILE_NAME}.new")).exists());
    }
}
