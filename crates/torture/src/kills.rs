//! Kills the child again and again at random moments, over many generations of one folder.

use crate::{
    deed::{Deed, DeedLine, DeedNumber, draw},
    examine::{Examination, OpeningMode, examine_copy},
    ledger::Ledger,
    load::{LoadTask, copy, options, records},
    outcome::{Outcome, TortureError},
    process::Running,
};
use archive::{Archive, ArchiveError, FILE_NAME};
use rand::{RngExt, rngs::StdRng};
use std::{fs, path::Path, time::Duration};

/// How long a child may take to open the records before it is killed anyway.
const OPENING: Duration = Duration::from_secs(30);
/// Generations of one folder at most.
const GENERATIONS: u32 = 40;

/// Kills children until so many were killed, in folders below `within`. Stops at the first fault, and then leaves the
/// folder as it is.
///
/// # Errors
/// When a process or folder cannot be made.
pub fn run(seed: u64, kills: u64, within: &Path) -> Result<Outcome, TortureError> {
    let mut outcome = Outcome::default();
    let mut life = 0_u64;
    while outcome.kills < kills && outcome.verdict.is_sound() {
        let folder = within.join(format!("kills-{seed}-{life}"));
        fs::create_dir_all(&folder)?;
        Life::new(seed.wrapping_mul(1_000_003).wrapping_add(life), &folder).live(kills, &mut outcome)?;
        if outcome.verdict.is_sound() {
            fs::remove_dir_all(&folder)?;
        }
        life += 1;
    }
    Ok(outcome)
}

/// One folder.
struct Life<'a> {
    folder: &'a Path,
    ledger: Ledger,
    rng: StdRng,
}

impl<'a> Life<'a> {
    fn new(seed: u64, folder: &'a Path) -> Self {
        Self { folder, ledger: Ledger::new(seed), rng: draw(seed, "life") }
    }

    fn live(mut self, kills: u64, outcome: &mut Outcome) -> Result<(), TortureError> {
        let (generations, writers) = (self.rng.random_range(1..=GENERATIONS), self.rng.random_range(1..=8));
        for generation in 0..generations {
            if outcome.kills >= kills || !outcome.verdict.is_sound() {
                break;
            }
            let task = LoadTask {
                folder: self.folder.into(),
                seed: self.ledger.seed(),
                generation,
                writers,
                deeds: None,
            };
            self.generation(&task, outcome)?;
        }
        Ok(())
    }

    fn generation(&mut self, task: &LoadTask, outcome: &mut Outcome) -> Result<(), TortureError> {
        let mut child = Running::start(task, None)?;
        if self.rng.random_bool(0.15) {
            // While the process starts and opens the records.
            std::thread::sleep(Duration::from_micros(self.rng.random_range(0..12_000)));
        } else if child.until_open(OPENING)? {
            self.meanwhile(&mut child, outcome)?;
            let most = [3_000, 30_000, 120_000][self.rng.random_range(0..3_usize).min(2)];
            std::thread::sleep(Duration::from_micros(self.rng.random_range(0..most)));
        }
        let (heard, killed) = child.kill()?;
        if killed {
            outcome.kills += 1;
        } else {
            outcome.verdict.wrong(format!("generation {}: the child ended by itself", task.generation));
        }
        let copies = self.hear(&heard, outcome);
        for (number, before) in copies {
            examine_copy(self.folder, number, &before, outcome);
        }
        let opening = if self.rng.random_bool(0.5) { OpeningMode::ToWrite } else { OpeningMode::ToRead };
        let named = format!("seed {} generation {}", self.ledger.seed(), task.generation);
        Examination { folder: self.folder, opening, disk_failed: false, named: &named }
            .examine(&mut self.ledger, outcome);
        // What is left of copies is not looked at again.
        match fs::remove_dir_all(self.folder.join("copies")) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(error.into()),
            _ => Ok(()),
        }
    }

    /// Takes what the child said. Returns the whole copies, each with what was acknowledged before it was begun.
    fn hear(&mut self, heard: &[DeedLine], outcome: &mut Outcome) -> Vec<(DeedNumber, Ledger)> {
        let mut copies = Vec::new();
        for line in heard {
            if let DeedLine::Sent(number, Deed::Copy) = line {
                copies.push((*number, self.ledger.clone()));
            }
            if let DeedLine::Refused(number, why) = line {
                outcome.verdict.wrong(format!("deed {number} was refused: {why}"));
            }
            self.ledger.hear(line, outcome);
        }
        // A copy that was cut off has another name.
        copies.retain(|(number, _)| copy(self.folder, *number).join(FILE_NAME).exists());
        copies
    }

    /// Now and then another process wants to write, and is refused; or one reads.
    fn meanwhile(&mut self, child: &mut Running, outcome: &mut Outcome) -> Result<(), TortureError> {
        let dir = records(self.folder);
        if self.rng.random_bool(0.04) {
            match Archive::open(&dir, options(self.folder)).map(|_| ()) {
                Err(ArchiveError::InUse { .. }) => {}
                other => outcome.verdict.wrong(format!("a second process was not refused: {other:?}")),
            }
        }
        if self.rng.random_bool(0.06) {
            let mut known = self.ledger.clone();
            let mut unused = Outcome::default();
            for line in child.heard_within(Duration::from_millis(5))? {
                known.hear(line, &mut unused);
            }
            let read = Archive::open_for_reading(&dir, options(self.folder)).and_then(|archive| {
                let ids = |(number, what)| crate::deed::entries(known.seed(), number, what);
                let ids: Vec<_> = known.saved().flat_map(ids).map(|entry| entry.id).collect();
                Ok((archive.finding().cloned(), archive.present(&ids)?.len(), ids.len()))
            });
            match read {
                Ok((None, found, all)) if found == all => {}
                other => outcome.verdict.wrong(format!("reading meanwhile: {other:?}")),
            }
        }
        Ok(())
    }
}
