//! Names of the form fields of backups.

/// The passphrase of backups.
pub const PASSPHRASE: &str = "backup_passphrase";
/// The same again.
pub const PASSPHRASE_AGAIN: &str = "backup_passphrase_again";
/// The folders, in the order of the form.
pub const FOLDERS: [&str; 2] = ["backup_folder_1", "backup_folder_2"];
/// Hours between two backups.
pub const EVERY_HOURS: &str = "backup_every_hours";
/// The hour of the day before which none is made.
pub const NOT_BEFORE: &str = "backup_not_before";
/// Days of which all are kept.
pub const KEEP_DAYS: &str = "backup_keep_days";
/// Weeks of which the last is kept.
pub const KEEP_WEEKS: &str = "backup_keep_weeks";
/// Months of which the last is kept.
pub const KEEP_MONTHS: &str = "backup_keep_months";
