//! What is wrong with the backups.

use record::Timestamp;

/// Why people are told about backups.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BackupTrouble {
    /// None was ever made, and the first entry is older than a week.
    Never,
    /// The last good one was made then.
    Old(Timestamp),
    /// A drill failed then, and none passed since.
    DrillFailed(Timestamp),
}
