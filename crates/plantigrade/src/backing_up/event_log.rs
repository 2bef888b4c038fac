//! What became of backups and drills, one JSON object on each line of a file in the data folder. Lines are only added.

use record::Timestamp;
use serde::{Deserialize, Serialize};
use std::{
    fs::{self, OpenOptions},
    io::{ErrorKind, Result, Write},
    path::{Path, PathBuf},
};

/// The file in the data folder.
pub const EVENTS_FILE: &str = "backups.jsonl";

/// What was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BackupAct {
    /// A backup was made and read back.
    Made,
    /// A backup could not be made.
    Failed,
    /// A drill found the newest backup equal to the records.
    DrillPassed,
    /// A drill found something wrong.
    DrillFailed,
}

/// A line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BackupEvent {
    /// When.
    pub at: Timestamp,
    /// What.
    pub act: BackupAct,
    /// The folder of the backup.
    pub folder: PathBuf,
    /// The name of the file; empty where none was written.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub file: String,
    /// Entries in it.
    #[serde(default)]
    pub entries: usize,
    /// Children in it.
    #[serde(default)]
    pub children: usize,
    /// Photographs and pieces of videos that it lists, which lie beside it.
    #[serde(default)]
    pub pieces: usize,
    /// Their length, sealed, bytes.
    #[serde(default)]
    pub piece_bytes: u64,
    /// The end of its log.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub mark: String,
    /// The head of the witness, as in the copy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub witness: Option<String>,
    /// Who had it made, by name; empty for the schedule.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub by: String,
    /// The result in words.
    #[serde(default)]
    pub result: String,
}

/// The lines of a data folder.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BackupEvents(pub Vec<BackupEvent>);

impl BackupEvents {
    /// Reads them; none where there is no file. Lines that are damaged are left out.
    ///
    /// # Errors
    /// When the file is there and cannot be read.
    pub fn read(dir: &Path) -> Result<Self> {
        match fs::read(dir.join(EVENTS_FILE)) {
            Ok(bytes) => {
                let text = String::from_utf8_lossy(&bytes);
                Ok(Self(text.lines().filter_map(|line| serde_json::from_str(line).ok()).collect()))
            }
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(Self::default()),
            Err(error) => Err(error),
        }
    }

    /// Adds a line. When this returns it is on the disk.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn add(dir: &Path, event: &BackupEvent) -> Result<()> {
        let mut options = OpenOptions::new();
        options.create(true).append(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let mut file = options.open(dir.join(EVENTS_FILE))?;
        // Begins on a line of its own, also behind one that was cut off.
        file.write_all(format!("\n{}\n", serde_json::to_string(event)?).as_bytes())?;
        file.sync_all()
    }

    /// The last line of a kind about a folder.
    #[must_use]
    pub fn last_in(&self, folder: &Path, acts: &[BackupAct]) -> Option<&BackupEvent> {
        self.0.iter().rev().find(|event| event.folder == folder && acts.contains(&event.act))
    }

    /// The last line of a kind.
    #[must_use]
    pub fn last(&self, acts: &[BackupAct]) -> Option<&BackupEvent> {
        self.0.iter().rev().find(|event| acts.contains(&event.act))
    }

    /// When the last backup was made of which no drill failed.
    #[must_use]
    pub fn last_good(&self) -> Option<Timestamp> {
        let failed =
            |file: &str| self.drill_of(file).is_some_and(|drill| drill.act == BackupAct::DrillFailed);
        let good = |event: &&BackupEvent| event.act == BackupAct::Made && !failed(&event.file);
        self.0.iter().filter(good).map(|event| event.at).max()
    }

    /// When the last drill in one of these folders failed, and none passed there since.
    #[must_use]
    pub fn failed_drill(&self, folders: &[PathBuf]) -> Option<Timestamp> {
        let drills = [BackupAct::DrillPassed, BackupAct::DrillFailed];
        let last = folders.iter().filter_map(|folder| self.last_in(folder, &drills));
        last.filter(|drill| drill.act == BackupAct::DrillFailed).map(|drill| drill.at).max()
    }

    /// The drill of a backup.
    #[must_use]
    pub fn drill_of(&self, file: &str) -> Option<&BackupEvent> {
        let drills = [BackupAct::DrillPassed, BackupAct::DrillFailed];
        self.0.iter().rev().find(|event| event.file == file && drills.contains(&event.act))
    }
}
