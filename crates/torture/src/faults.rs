//! A disk that fails: calls of the system that return an error, and a disk that is full for a while or for good.

use crate::{
    deed::draw,
    disk::{Disk, Unflushed},
    examine::{Examination, OpeningMode},
    journal::Call,
    ledger::Ledger,
    load::LoadTask,
    outcome::{Outcome, TortureError},
    power::{Bench, PastRun, count},
    preload::{FailedCall, FailedFile, IoFault},
};
use rand::{RngExt, rngs::StdRng};
use std::{fs, path::Path};

/// Losses of power tried after each run with a failing disk.
const IMAGES: u64 = 6;
/// Runs in one folder at most.
const GENERATIONS: u32 = 6;

/// Lets the disk fail in so many runs, in folders below `within`. Stops at the first fault of the records.
///
/// # Errors
/// When a process or folder cannot be made.
pub fn run(seed: u64, faults: u64, within: &Path) -> Result<Outcome, TortureError> {
    let bench = Bench::new(within)?;
    let mut outcome = Outcome::default();
    let mut life = 0_u64;
    while outcome.disk_faults < faults && outcome.verdict.is_sound() {
        let name = seed.wrapping_mul(1_000_003).wrapping_add(life);
        let folder = within.join(format!("faults-{name}"));
        fs::create_dir_all(&folder)?;
        live(&bench, name, &folder, &mut outcome)?;
        if outcome.verdict.is_sound() {
            fs::remove_dir_all(&folder)?;
        }
        life += 1;
    }
    Ok(outcome)
}

fn live(bench: &Bench, seed: u64, folder: &Path, outcome: &mut Outcome) -> Result<(), TortureError> {
    let mut rng = draw(seed, "faults");
    let mut ledger = Ledger::new(seed);
    for generation in 0..rng.random_range(1..=GENERATIONS) {
        let writers = rng.random_range(1..=6);
        let deeds = Some(rng.random_range(4..30));
        let task = LoadTask { folder: folder.into(), seed, generation, writers, deeds };
        let disk = Disk::of(folder)?;
        let (fault, room) = choose(&mut rng);
        let calls = bench.run(&task, fault, room)?;
        let named = format!("seed {seed} generation {generation}, fault {fault:?}, room {room:?}");
        let failed = calls.iter().any(|call| matches!(call, Call::Failed));
        let mut here = Outcome::default();
        count(&calls, &ledger, &mut here);
        // A child that cannot open its records on a failing disk says so, and that is right.
        if failed {
            here.verdict = crate::outcome::RunVerdict::default();
        }
        outcome.add(here);
        outcome.disk_faults += u64::from(failed);
        let run = PastRun::new(disk, ledger.clone(), folder.into(), &calls);
        for _ in 0..IMAGES {
            let image = folder.with_extension("image");
            let (after, left) = (run.moment(&mut rng), Unflushed::EACH[rng.random_range(0..4_usize).min(3)]);
            let mut there = Outcome::default();
            run.image(after, left, &image, &mut rng, &mut there)?;
            there.verdict.other.iter_mut().for_each(|what| *what = format!("{named}: {what}"));
            outcome.add(there);
            if !outcome.verdict.is_sound() {
                return Ok(());
            }
            fs::remove_dir_all(&image)?;
        }
        let mut unused = Outcome::default();
        for call in &calls {
            if let Call::Said(line) = call {
                ledger.hear(line, &mut unused);
            }
        }
        let after = Examination { folder, opening: OpeningMode::ToWrite, disk_failed: failed, named: &named };
        if !after.examine(&mut ledger, outcome) || !outcome.verdict.is_sound() {
            return Ok(());
        }
    }
    Ok(())
}

/// One call that fails, some, or all from then on; or a full disk.
fn choose(rng: &mut StdRng) -> (Option<IoFault>, Option<(u64, u32)>) {
    if rng.random_bool(0.2) {
        let times = [1, 3, 20, 0][rng.random_range(0..4_usize).min(3)];
        return (None, Some((rng.random_range(0..600_000), times)));
    }
    let call = FailedCall::ALL[rng.random_range(0..7_usize).min(6)];
    let file = match call {
        FailedCall::Open | FailedCall::Rename => FailedFile::Any,
        _ => FailedFile::ALL[rng.random_range(0..5_usize).min(4)],
    };
    let most = if rng.random_bool(0.5) { 12 } else { 150 };
    let after = rng.random_range(0..most);
    let times = [1, 1, 4, 40, 1_000_000][rng.random_range(0..5_usize).min(4)];
    (Some(IoFault { call, file, after, times, full: rng.random_bool(0.4) }), None)
}
