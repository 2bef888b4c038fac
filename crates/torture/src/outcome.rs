//! What a run found, and its line in the log of runs.

use serde_json::json;
use std::{fmt, fs, io::Write, path::Path, time::Duration};

/// Why a run could not be made.
#[derive(Debug, thiserror::Error)]
pub enum TortureError {
    /// A file or process.
    #[error("{0}")]
    Io(#[from] std::io::Error),
    /// Anything else, one sentence.
    #[error("{0}")]
    Words(String),
}

/// What is wrong after a fault.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RunVerdict {
    /// Acknowledged entries and other deeds that are not in the records, or not as they were sent.
    pub lost: u64,
    /// Entries and other deeds in the records that nobody sent, or that were not there after an earlier fault.
    pub phantoms: u64,
    /// Everything that is wrong, one sentence each.
    pub other: Vec<String>,
}

impl RunVerdict {
    /// Whether nothing is wrong.
    #[must_use]
    pub const fn is_sound(&self) -> bool {
        self.lost == 0 && self.phantoms == 0 && self.other.is_empty()
    }

    /// Something acknowledged that is not there.
    pub fn lost(&mut self, what: impl fmt::Display) {
        self.lost += 1;
        self.other.push(format!("lost: {what}"));
    }

    /// Something there that must not be.
    pub fn phantom(&mut self, what: impl fmt::Display) {
        self.phantoms += 1;
        self.other.push(format!("phantom: {what}"));
    }

    /// Something that is neither lost nor a phantom.
    pub fn wrong(&mut self, what: impl Into<String>) {
        self.other.push(what.into());
    }

    /// Adds another verdict.
    pub fn add(&mut self, other: Self) {
        self.lost += other.lost;
        self.phantoms += other.phantoms;
        self.other.extend(other.other);
    }
}

impl fmt::Display for RunVerdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for what in self.other.iter().take(20) {
            writeln!(f, "- {what}")?;
        }
        write!(f, "{} lost, {} phantoms, {} faults.", self.lost, self.phantoms, self.other.len())
    }
}

/// What happened in a run, and what was wrong after it.
#[derive(Debug, Clone, Default)]
pub struct Outcome {
    /// Processes killed.
    pub kills: u64,
    /// Folders opened as they could be after a loss of power.
    pub images: u64,
    /// Runs in which the disk failed: at least one call of the system returned an error.
    pub disk_faults: u64,
    /// Calls of the system that were failed in them.
    pub io_errors: u64,
    /// Deeds that were acknowledged, and entries among them.
    pub acknowledged: u64,
    /// Entries that were acknowledged.
    pub entries: u64,
    /// Deeds that were under way when the fault came, and of these how many are in the records.
    pub open_deeds: u64,
    /// Of the deeds under way, those that are in the records.
    pub open_saved: u64,
    /// Deeds that were refused with a sentence.
    pub refused: u64,
    /// Refused deeds that are in the records, although nobody was told so.
    pub refused_saved: u64,
    /// How often the archive could not tell whether an end is missing, because its witness could not be written.
    pub asked: u64,
    /// What is wrong.
    pub verdict: RunVerdict,
}

impl Outcome {
    /// Adds another outcome.
    pub fn add(&mut self, other: Self) {
        self.kills += other.kills;
        self.images += other.images;
        self.disk_faults += other.disk_faults;
        self.io_errors += other.io_errors;
        self.acknowledged += other.acknowledged;
        self.entries += other.entries;
        self.open_deeds += other.open_deeds;
        self.open_saved += other.open_saved;
        self.refused += other.refused;
        self.refused_saved += other.refused_saved;
        self.asked += other.asked;
        self.verdict.add(other.verdict);
    }

    /// Appends a line of JSON about the run to a file.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn log(&self, to: &Path, mode: &str, seed: u64, took: Duration) -> std::io::Result<()> {
        let line = json!({
            "mode": mode,
            "seed": seed,
            "kills": self.kills,
            "images": self.images,
            "disk_faults": self.disk_faults,
            "io_errors": self.io_errors,
            "acknowledged": self.acknowledged,
            "entries": self.entries,
            "open_deeds": self.open_deeds,
            "open_saved": self.open_saved,
            "refused": self.refused,
            "refused_saved": self.refused_saved,
            "asked": self.asked,
            "lost": self.verdict.lost,
            "phantoms": self.verdict.phantoms,
            "other": self.verdict.other.len(),
            "seconds": took.as_secs(),
        });
        let mut file = fs::File::options().create(true).append(true).open(to)?;
        writeln!(file, "{line}")
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{} kills, {} losses of power, {} failing disks with {} failed calls; {} deeds acknowledged with {} entries.",
            self.kills, self.images, self.disk_faults, self.io_errors, self.acknowledged, self.entries
        )?;
        writeln!(
            f,
            "Under way at the fault: {} deeds, {} of them saved. Refused: {} deeds, {} of them saved. A person was asked {} times.",
            self.open_deeds, self.open_saved, self.refused, self.refused_saved, self.asked
        )?;
        write!(f, "{}", self.verdict)
    }
}
