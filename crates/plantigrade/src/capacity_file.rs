//! The clinic's file `capacity.toml`: how the clinic works, for the simulated caseload.

use crate::exit::{Failure, sentence};
use caseload::Setting;
use std::path::Path;

/// The clinic's own setting within the data folder.
pub const CAPACITY_FILE: &str = "capacity.toml";
/// The previous version of the setting.
pub const CAPACITY_FILE_BEFORE: &str = "capacity.before.toml";
/// The default number of runs.
pub const RUNS: u32 = 400;

/// The setting that the clinic saved, as it is in the file; `None` where it saved none, or one that cannot be used. The built-in example
/// is never taken for it.
#[must_use]
pub fn of_clinic(dir: &Path) -> Option<Setting> {
    let path = dir.join(CAPACITY_FILE);
    path.exists().then(|| read(&path).ok()).flatten()
}

/// Reads a setting.
///
/// # Errors
/// When it cannot be read or used, with line and reason.
pub fn read(path: &Path) -> Result<Setting, Failure> {
    let shown = path.display();
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure::settings(format!("{shown} cannot be read: {error}.")))?;
    Setting::from_toml(&text).map_err(|error| {
        Failure::settings(sentence(&format!("the capacity file {shown} cannot be used: {error}")))
    })
}
