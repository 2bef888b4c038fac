//! Backups of the clinic: encrypted files in folders outside the records, made on a schedule, by a person or by a
//! command, and tried by a drill.
//!
//! Start reading at [`make`] and [`drill`]; `restoring` puts a backup back, `backup_schedule` makes backups by itself.

mod backed_up_clinic;
mod contents;
mod drill;
mod event_log;
mod keys;
mod make;
mod missing_pieces;
mod pieces;
mod state;
mod work_folder;

pub use backed_up_clinic::BackedUpClinic;
pub use contents::own_files;
pub use drill::{DrillOutcome, drill, drill_all};
pub use event_log::{BackupAct, BackupEvent, BackupEvents, EVENTS_FILE};
pub use keys::{BackupKeys, KEY_FILE, SLOTS, set_up};
pub use make::{FolderBackup, MadeBackup, give_erasures_to, give_withdrawals_to, make, make_in_all};
pub use missing_pieces::MissingPieces;
pub(crate) use pieces::put_together;
pub use state::{checked_folder, present_folders, same_disk, trouble};

/// Why there is no backup, drill or restore: one or two sentences for the person who asked for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackupRefused(pub String);

impl std::fmt::Display for BackupRefused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<backups::BackupError> for BackupRefused {
    fn from(error: backups::BackupError) -> Self {
        Self(error.to_string())
    }
}

impl From<clinic::ArchiveError> for BackupRefused {
    fn from(error: clinic::ArchiveError) -> Self {
        Self(crate::exit::sentence(&error.to_string()))
    }
}

impl From<safekeeping::SafekeepingError> for BackupRefused {
    fn from(error: safekeeping::SafekeepingError) -> Self {
        Self(error.to_string())
    }
}

impl From<crate::exit::Failure> for BackupRefused {
    fn from(failure: crate::exit::Failure) -> Self {
        Self(failure.sentence)
    }
}

/// An error of the disk, with its place.
pub(crate) fn at(path: &std::path::Path) -> impl Fn(std::io::Error) -> BackupRefused + '_ {
    move |error| BackupRefused(format!("{} cannot be used: {error}.", path.display()))
}
