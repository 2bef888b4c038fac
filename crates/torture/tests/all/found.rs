//! What the torture has found, each by itself.

use std::{fs, path::Path};
use torture::{
    deed::{Deed, DeedLine, DeedNumber, draw},
    disk::{Disk, Unflushed},
    examine::{Examination, OpeningMode},
    journal::Call,
    ledger::Ledger,
    load::LoadTask,
    outcome::Outcome,
    power::{Bench, PastRun},
    preload::{FailedCall, FailedFile, IoFault},
};

const SEED: u64 = 11;

fn task(folder: &Path, generation: u32, deeds: u32) -> LoadTask {
    LoadTask { folder: folder.into(), seed: SEED, generation, writers: 1, deeds: Some(deeds) }
}

fn in_memory() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
}

fn lines(calls: &[Call]) -> Vec<&DeedLine> {
    calls.iter().filter_map(|call| if let Call::Said(line) = call { Some(line) } else { None }).collect()
}

/// Closing the new file takes its log over, and says nothing where the disk is full: the file was then renamed without
/// its log, and no later start could open it.
#[test]
fn a_first_start_on_a_full_disk_is_followed_by_one_that_works() {
    let dir = in_memory();
    let bench = Bench::new(dir.path()).unwrap();
    let mut refused = 0;
    for room in (0..900_000_u64).step_by(30_000) {
        let folder = dir.path().join(format!("room{room}"));
        fs::create_dir(&folder).unwrap();
        let calls = bench.run(&task(&folder, 0, 2), None, Some((room, 0))).unwrap();
        refused += usize::from(matches!(lines(&calls).first(), Some(DeedLine::NotOpen(_))));
        // With room on the disk.
        let calls = bench.run(&task(&folder, 1, 2), None, None).unwrap();
        let said = lines(&calls);
        assert_eq!(said.first(), Some(&&DeedLine::Open), "room {room}: {said:?}");
        let done = said.iter().filter(|line| matches!(line, DeedLine::Done(_))).count();
        assert_eq!(done, 2, "room {room}: {said:?}");
    }
    assert!(refused >= 10, "only {refused} first starts met a full disk");
}

/// The pages of a commit whose flush failed are whole in the log. Whoever was told that nothing was saved must not find
/// it there after the next start.
#[test]
fn what_was_refused_because_a_flush_failed_is_not_there_later() {
    let dir = in_memory();
    let bench = Bench::new(dir.path()).unwrap();
    let mut refusals = 0;
    for after in 0..14 {
        let folder = dir.path().join(format!("after{after}"));
        fs::create_dir(&folder).unwrap();
        let fault = IoFault { call: FailedCall::Flush, file: FailedFile::Log, after, times: 1, full: false };
        let calls = bench.run(&task(&folder, 0, 8), Some(fault), None).unwrap();
        let run = PastRun::new(Disk::default(), Ledger::new(SEED), folder.clone(), &calls);
        let refused = |call: &Call| matches!(call, Call::Said(DeedLine::Refused(..)));
        for at in (0..calls.len()).filter(|at| refused(&calls[*at])) {
            refusals += 1;
            for left in Unflushed::EACH {
                let (mut outcome, to) = (Outcome::default(), in_memory());
                run.image(at + 1, left, to.path(), &mut draw(SEED, "test"), &mut outcome).unwrap();
                assert!(outcome.verdict.is_sound(), "flush {after}, {left:?}: {outcome}");
            }
        }
    }
    assert!(refusals >= 4, "only {refusals} saves were refused");
}

/// SQLite overwrites what is deleted, but not what is left behind where rows move between pages.
#[test]
fn no_word_of_an_erased_entry_remains_when_rows_have_moved() {
    let dir = in_memory();
    let mut ledger = Ledger::new(SEED);
    let folder = dir.path();
    let archive =
        archive::Archive::open(&torture::load::records(folder), torture::load::options(folder)).unwrap();
    let mut outcome = Outcome::default();
    for place in 0..60 {
        let number = DeedNumber { generation: 0, writer: 0, place };
        let deed = Deed::Append(5);
        archive.append(torture::deed::entries(SEED, number, deed)).unwrap();
        ledger.hear(&DeedLine::Sent(number, deed), &mut outcome);
        ledger.hear(&DeedLine::Done(number), &mut outcome);
    }
    for place in 0..60 {
        let of = DeedNumber { generation: 0, writer: 0, place };
        let number = DeedNumber { writer: 1, ..of };
        let (by, at) = torture::deed::erased(SEED, number);
        let entry = torture::deed::entries(SEED, of, Deed::Append(5)).swap_remove(2);
        archive.erase(entry.id, "asked for", by, at).unwrap();
        ledger.hear(&DeedLine::Sent(number, Deed::Erase(of, 2)), &mut outcome);
        ledger.hear(&DeedLine::Done(number), &mut outcome);
        if place % 10 == 9 {
            let words = ledger.erased_words();
            assert_eq!(words.len(), place as usize + 1);
            Examination { folder, opening: OpeningMode::ToRead, disk_failed: false, named: "test" }
                .examine(&mut ledger, &mut outcome);
            assert!(outcome.verdict.is_sound(), "after {place}: {outcome}");
        }
    }
}
