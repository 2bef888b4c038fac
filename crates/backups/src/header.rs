//! The first line of a backup, which can be read without a key.

use crate::error::{BackupError, at};
use record::{SiteId, Timestamp};
use safekeeping::KeySlots;
use serde::{Deserialize, Serialize};
use std::{io::BufRead, path::Path};

/// The end of the name of a backup.
pub const BACKUP_END: &str = ".backup";
/// The form of a backup that is one file.
const FORM: u32 = 1;
/// The form of a backup with pieces beside it. A program that does not know them refuses it, because it would restore
/// it without its photographs.
const FORM_WITH_PIECES: u32 = 2;
/// A first line that is longer is none of ours.
const LONGEST_LINE: u64 = 1 << 20;
const ID_DIGITS: usize = 8;

/// The first line of a backup.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BackupHeader {
    /// The form of the file.
    pub plantigrade_backup: u32,
    /// When the copy of the records was begun.
    pub at: Timestamp,
    /// The clinic: the first digits of a hash of the id of its site, which is no name.
    pub clinic: String,
    /// Entries, erased ones included.
    pub entries: usize,
    /// The layout of the records file.
    pub layout: i64,
    /// The slots of the key.
    pub slots: KeySlots,
    /// The name of the folder beside the backup with its pieces; `None` for a backup without any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pieces: Option<String>,
}

/// By which the backups of a clinic are told from those of others: the first eight digits of a hash of its site's id.
#[must_use]
pub fn clinic_id(site: SiteId) -> String {
    let digits = blake3::hash(site.uuid().as_bytes()).to_hex();
    digits.chars().take(ID_DIGITS).collect()
}

impl BackupHeader {
    /// The header of a new backup.
    #[must_use]
    pub fn new(at: Timestamp, site: SiteId, entries: usize, layout: i64, slots: KeySlots) -> Self {
        Self { plantigrade_backup: FORM, at, clinic: clinic_id(site), entries, layout, slots, pieces: None }
    }

    /// The same for a backup with pieces in a folder of that name beside it; without a name, for one that has none.
    #[must_use]
    pub fn with_pieces(self, folder: Option<String>) -> Self {
        let form = if folder.is_some() { FORM_WITH_PIECES } else { FORM };
        Self { plantigrade_backup: form, pieces: folder, ..self }
    }

    /// The name of the file: clinic and moment, in an order that sorts by time.
    #[must_use]
    pub fn file_name(&self) -> String {
        let moment: String = self.at.to_string().chars().filter(|char| *char != ':').collect();
        format!("plantigrade-{}-{moment}{BACKUP_END}", self.clinic)
    }

    /// The line, with its end.
    pub(crate) fn line(&self) -> Result<String, BackupError> {
        let text = serde_json::to_string(self);
        let text = text.map_err(|error| safekeeping::SafekeepingError::Failed(error.to_string()))?;
        Ok(format!("{text}\n"))
    }

    /// Reads the line, and leaves the reader behind it. Returns the header and the line as it is in the file.
    pub(crate) fn read(from: &mut impl BufRead, path: &Path) -> Result<(Self, Vec<u8>), BackupError> {
        #[derive(Deserialize)]
        struct Form {
            plantigrade_backup: u32,
        }
        let mut line = Vec::new();
        let mut limited = std::io::Read::take(&mut *from, LONGEST_LINE);
        limited.read_until(b'\n', &mut line).map_err(at(path))?;
        let none = || BackupError::NotBackup(path.to_owned());
        let form: Form = serde_json::from_slice(&line).map_err(|_| none())?;
        if form.plantigrade_backup > FORM_WITH_PIECES {
            return Err(BackupError::Newer(path.to_owned()));
        }
        Ok((serde_json::from_slice(&line).map_err(|_| none())?, line))
    }
}
