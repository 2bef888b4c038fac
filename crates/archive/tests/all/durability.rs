//! What was acknowledged survives the sudden death of the process. (The death of the machine is not
//! tried here: for that the file is written with a flush at every commit.)

use crate::common::{child, note, open};
use record::EntryId;
use std::{
    env,
    io::{BufRead, BufReader, Write},
    process::{Command, Stdio},
    thread,
};

const FOLDER: &str = "ARCHIVE_TEST_FOLDER";

/// Run by the test below as a process of its own; does nothing by itself.
#[test]
#[ignore = "run by another test as a process of its own"]
fn appends_until_killed() {
    let Some(dir) = env::var_os(FOLDER) else { return };
    let archive = open(dir.as_ref());
    thread::scope(|scope| {
        for thread in 0..4 {
            let archive = archive.clone();
            scope.spawn(move || {
                for number in 0.. {
                    let next = note(child(thread), "2024-01-01", &format!("{number}"));
                    let id = next.id;
                    archive.append(vec![next]).unwrap();
                    let mut out = std::io::stdout().lock();
                    writeln!(out, "acknowledged {id}").unwrap();
                    out.flush().unwrap();
                }
            });
        }
    });
}

fn start(dir: &std::path::Path) -> std::process::Child {
    Command::new(env::current_exe().unwrap())
        .args(["--exact", "durability::appends_until_killed", "--ignored", "--nocapture"])
        .env(FOLDER, dir)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap()
}

#[test]
fn acknowledged_entries_survive_a_kill() {
    let dir = tempfile::tempdir().unwrap();
    let mut acknowledged: Vec<EntryId> = Vec::new();
    for round in 1..=3 {
        let mut process = start(dir.path());
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
        for line in lines.by_ref().map(Result::unwrap) {
            acknowledged.extend(line.strip_prefix("acknowledged ").map(|id| id.parse::<EntryId>().unwrap()));
            if acknowledged.len() >= round * 200 {
                break;
            }
        }
        process.kill().unwrap();
        process.wait().unwrap();
        // Output written before it died counts too.
        for line in lines.map_while(Result::ok) {
            acknowledged.extend(line.strip_prefix("acknowledged ").and_then(|id| id.parse::<EntryId>().ok()));
        }
    }
    let archive = open(dir.path());
    let present = archive.present(&acknowledged).unwrap();
    let lost: Vec<_> = acknowledged.iter().filter(|id| !present.contains(id)).collect();
    assert!(acknowledged.len() >= 600);
    assert_eq!(lost, Vec::<&EntryId>::new());
    let report = archive.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
}

#[test]
fn a_second_process_is_told_who_has_the_records() {
    let dir = tempfile::tempdir().unwrap();
    let mut process = start(dir.path());
    let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
    lines.find(|line| line.as_ref().is_ok_and(|line| line.starts_with("acknowledged"))).unwrap().unwrap();
    let refused = archive::Archive::open(dir.path(), crate::common::options()).map(|_| ()).unwrap_err();
    let pid = Some(process.id());
    assert_eq!(refused, archive::ArchiveError::InUse { dir: dir.path().into(), pid });
    assert!(refused.to_string().contains(&format!("(process {})", process.id())), "{refused}");
    // Reading is possible meanwhile.
    let reading = archive::Archive::open_for_reading(dir.path(), crate::common::options()).unwrap();
    assert!(reading.entries_count().unwrap() > 0);
    process.kill().unwrap();
    process.wait().unwrap();
    // A killed process leaves no lock behind.
    assert!(open(dir.path()).entries_count().unwrap() > 0);
}
