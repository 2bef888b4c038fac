//! Loss of power: one run of the child gives many folders as the disk could have them.

use crate::{
    deed::{DeedLine, draw},
    disk::{Disk, Unflushed},
    examine::{Examination, OpeningMode},
    journal::{self, Call},
    ledger::Ledger,
    load::LoadTask,
    outcome::{Outcome, TortureError},
    preload::{IoFault, Preload, compile},
    process::Running,
};
use rand::{RngExt, rngs::StdRng};
use std::{
    fs,
    path::{Path, PathBuf},
};

/// Runs that go on from each other's folder at most.
const GENERATIONS: u32 = 8;

/// Where a harness of power losses and disk errors works.
#[derive(Debug)]
pub struct Bench {
    library: PathBuf,
    within: PathBuf,
}

impl Bench {
    /// Compiles the library into the folder.
    ///
    /// # Errors
    /// As [`compile`].
    pub fn new(within: &Path) -> Result<Self, TortureError> {
        fs::create_dir_all(within)?;
        Ok(Self { library: compile(within)?, within: within.into() })
    }

    /// Runs a child to its end below the library. Returns the calls.
    ///
    /// # Errors
    /// When the process cannot be started or its notes cannot be read.
    pub fn run(
        &self,
        task: &LoadTask,
        fault: Option<IoFault>,
        room: Option<(u64, u32)>,
    ) -> Result<Vec<Call>, TortureError> {
        let notes = self.within.join("notes");
        let preload = Preload {
            library: self.library.clone(),
            root: task.folder.clone(),
            journal: Some(notes.clone()),
            fault,
            room,
            clock: 0,
        };
        Running::start(task, Some(&preload))?.end()?;
        journal::read(&notes)
    }

    fn folder(&self, name: &str) -> PathBuf {
        self.within.join(name)
    }
}

/// What a run was made from: the files before it, what was known then, and the calls.
#[derive(Debug)]
pub struct PastRun<'c> {
    disk: Disk<'c>,
    ledger: Ledger,
    folder: PathBuf,
    calls: &'c [Call],
    /// Whether flushes are believed. Without, the model loses what was acknowledged, which the comparison must find.
    flushes: bool,
}

impl<'c> PastRun<'c> {
    /// `disk` and `ledger` as they were before the run in the folder.
    #[must_use]
    pub const fn new(disk: Disk<'c>, ledger: Ledger, folder: PathBuf, calls: &'c [Call]) -> Self {
        Self { disk, ledger, folder, calls, flushes: true }
    }

    /// As if the disk said of every flush that it was done, and did nothing.
    #[must_use]
    pub fn with_a_disk_that_lies(self) -> Self {
        Self { flushes: false, ..self }
    }

    /// Takes the power away after so many calls, and compares what is left in `to`. Returns what is known then.
    ///
    /// # Errors
    /// When the folder cannot be written.
    pub fn image(
        &self,
        after: usize,
        left: Unflushed,
        to: &Path,
        rng: &mut StdRng,
        outcome: &mut Outcome,
    ) -> Result<Ledger, TortureError> {
        let (mut disk, mut ledger) = (self.disk.clone(), self.ledger.clone());
        let mut known = Outcome::default();
        for call in self.calls.iter().take(after) {
            match call {
                Call::Said(line) => ledger.hear(line, &mut known),
                Call::Flush(_) if !self.flushes => {}
                call => disk.follow(call, rng),
            }
        }
        disk.cut_off(left, &self.folder, to, rng)?;
        outcome.images += 1;
        let opening = if rng.random_bool(0.8) { OpeningMode::ToWrite } else { OpeningMode::ToRead };
        let named = format!("seed {}: power lost after call {after}, {left:?}", ledger.seed());
        let disk_failed = self.calls.iter().take(after).any(|call| *call == Call::Failed);
        Examination { folder: to, opening, disk_failed, named: &named }.examine(&mut ledger, outcome);
        Ok(ledger)
    }

    /// A moment: any, or just after the child said something, which is when most can be lost.
    pub fn moment(&self, rng: &mut StdRng) -> usize {
        let any = rng.random_range(0..=self.calls.len());
        if rng.random_bool(0.5) {
            return any;
        }
        let said = |call: &Call| matches!(call, Call::Said(DeedLine::Done(_)));
        self.calls.iter().skip(any).position(said).map_or(any, |further| any + further + 1)
    }
}

/// Takes the power away so often, in folders below `within`. Stops at the first fault.
///
/// # Errors
/// When a process or folder cannot be made.
pub fn run(seed: u64, images: u64, within: &Path) -> Result<Outcome, TortureError> {
    let bench = Bench::new(within)?;
    let mut outcome = Outcome::default();
    let mut life = 0_u64;
    while outcome.images < images && outcome.verdict.is_sound() {
        let name = seed.wrapping_mul(1_000_003).wrapping_add(life);
        live(&bench, name, images, &mut outcome)?;
        life += 1;
    }
    Ok(outcome)
}

/// Some runs, each in a folder that the one before left.
fn live(bench: &Bench, seed: u64, images: u64, outcome: &mut Outcome) -> Result<(), TortureError> {
    let mut rng = draw(seed, "power");
    let mut ledger = Ledger::new(seed);
    let mut folder = bench.folder(&format!("power-{seed}-0"));
    fs::create_dir_all(&folder)?;
    for generation in 0..rng.random_range(1..=GENERATIONS) {
        let disk = Disk::of(&folder)?;
        let (writers, deeds) = (rng.random_range(1..=6), rng.random_range(4..30));
        let task = LoadTask { folder: folder.clone(), seed, generation, writers, deeds: Some(deeds) };
        let calls = bench.run(&task, None, None)?;
        count(&calls, &ledger, outcome);
        let run = PastRun::new(disk, ledger.clone(), folder.clone(), &calls);
        let images_here = rng.random_range(30..120_u64).min(images.saturating_sub(outcome.images));
        let next = bench.folder(&format!("power-{seed}-{}", generation + 1));
        for _ in 0..images_here {
            if next.exists() {
                fs::remove_dir_all(&next)?;
            }
            let left = Unflushed::EACH[rng.random_range(0..4_usize).min(3)];
            let after = run.moment(&mut rng);
            ledger = run.image(after, left, &next, &mut rng, outcome)?;
            if !outcome.verdict.is_sound() {
                return Ok(());
            }
        }
        fs::remove_dir_all(&folder)?;
        if images_here == 0 || outcome.images >= images {
            break;
        }
        folder = next;
    }
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    Ok(())
}

/// Counts what was acknowledged in a run.
pub(crate) fn count(calls: &[Call], ledger: &Ledger, outcome: &mut Outcome) {
    let mut known = ledger.clone();
    for call in calls {
        match call {
            Call::Said(line) => known.hear(line, outcome),
            Call::Failed => outcome.io_errors += 1,
            _ => {}
        }
    }
}
