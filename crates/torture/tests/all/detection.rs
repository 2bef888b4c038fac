//! The comparison finds what it is for.

use std::fs;
use torture::{
    deed::{Deed, DeedLine, DeedNumber},
    disk::{Disk, Unflushed},
    examine::{Examination, OpeningMode},
    journal::Call,
    ledger::Ledger,
    load::{LoadTask, records},
    outcome::Outcome,
    power::{Bench, PastRun},
};

const SEED: u64 = 5;

fn task(folder: &std::path::Path) -> LoadTask {
    LoadTask { folder: folder.into(), seed: SEED, generation: 0, writers: 2, deeds: Some(12) }
}

fn heard(calls: &[Call]) -> Ledger {
    let (mut ledger, mut outcome) = (Ledger::new(SEED), Outcome::default());
    for call in calls {
        if let Call::Said(line) = call {
            ledger.hear(line, &mut outcome);
        }
    }
    assert!(outcome.verdict.is_sound() && outcome.acknowledged == 24, "{outcome}");
    ledger
}

#[test]
fn a_disk_that_does_not_flush_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let (bench, folder) = (Bench::new(dir.path()).unwrap(), dir.path().join("one"));
    fs::create_dir(&folder).unwrap();
    let calls = bench.run(&task(&folder), None, None).unwrap();
    let image = |lies: bool| {
        let run = PastRun::new(Disk::default(), Ledger::new(SEED), folder.clone(), &calls);
        let run = if lies { run.with_a_disk_that_lies() } else { run };
        let done = |call: &Call| matches!(call, Call::Said(DeedLine::Done(_)));
        let after = calls.iter().rposition(done).unwrap() + 1;
        let (mut outcome, to) = (Outcome::default(), tempfile::tempdir().unwrap());
        let mut rng = torture::deed::draw(SEED, "test");
        run.image(after, Unflushed::None, to.path(), &mut rng, &mut outcome).unwrap();
        outcome
    };
    assert!(image(false).verdict.is_sound(), "{}", image(false));
    assert!(image(true).verdict.lost >= 20, "{}", image(true));
}

#[test]
fn an_entry_too_many_or_too_few_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let (bench, folder) = (Bench::new(dir.path()).unwrap(), dir.path().join("one"));
    fs::create_dir(&folder).unwrap();
    let calls = bench.run(&task(&folder), None, None).unwrap();
    let examined = |mut ledger: Ledger| {
        let mut outcome = Outcome::default();
        Examination { folder: &folder, opening: OpeningMode::ToRead, disk_failed: false, named: "test" }
            .examine(&mut ledger, &mut outcome);
        outcome
    };
    assert!(examined(heard(&calls)).verdict.is_sound(), "{}", examined(heard(&calls)));
    let mut more = heard(&calls);
    let number = DeedNumber { generation: 9, writer: 0, place: 0 };
    for line in [DeedLine::Sent(number, Deed::Append(2)), DeedLine::Done(number)] {
        more.hear(&line, &mut Outcome::default());
    }
    assert_eq!(examined(more).verdict.lost, 1);
    let without_last: Vec<Call> = {
        let sent = |call: &Call| matches!(call, Call::Said(DeedLine::Sent(_, Deed::Append(_))));
        let (last, Call::Said(DeedLine::Sent(number, _))) =
            calls.iter().enumerate().rfind(|(_, call)| sent(call)).unwrap()
        else {
            panic!("no append")
        };
        let answer = Call::Said(DeedLine::Done(*number));
        let others = calls.iter().enumerate().filter(|(at, call)| *at != last && **call != answer);
        others.map(|(_, call)| call.clone()).collect()
    };
    let (mut fewer, mut outcome) = (Ledger::new(SEED), Outcome::default());
    for call in &without_last {
        if let Call::Said(line) = call {
            fewer.hear(line, &mut outcome);
        }
    }
    assert!(examined(fewer).verdict.phantoms >= 1);
    assert!(records(&folder).is_dir());
}

#[test]
fn words_in_records_that_should_be_encrypted_are_found() {
    let dir = tempfile::tempdir().unwrap();
    let (bench, folder) = (Bench::new(dir.path()).unwrap(), dir.path().join("one"));
    fs::create_dir(&folder).unwrap();
    let calls = bench.run(&task(&folder), None, None).unwrap();
    torture::load::encrypt_below(dir.path()).unwrap();
    let mut outcome = Outcome::default();
    Examination { folder: &folder, opening: OpeningMode::ToRead, disk_failed: false, named: "test" }
        .examine(&mut heard(&calls), &mut outcome);
    assert!(outcome.verdict.other.iter().any(|what| what.contains("a word can be read in")), "{outcome}");
}
