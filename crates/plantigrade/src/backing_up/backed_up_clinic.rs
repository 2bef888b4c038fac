//! The clinic whose backups are made and tried.

use crate::clock::Clock;
use clinic::ClinicRecords;
use std::path::Path;

/// The clinic whose backups are made.
pub struct BackedUpClinic<'a> {
    /// The data folder.
    pub dir: &'a Path,
    /// The records.
    pub records: &'a ClinicRecords,
    /// The clock.
    pub clock: Clock,
    /// Who asked for it, by name; empty for the schedule.
    pub by: String,
}
