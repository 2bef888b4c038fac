//! Kills the whole program while forms are sent to it.

use crate::outcome::{Outcome, TortureError};
use std::path::Path;

/// To be written.
///
/// # Errors
/// Always.
pub fn run(_seed: u64, _kills: u64, _program: &Path, _within: &Path) -> Result<Outcome, TortureError> {
    Err(TortureError::Words("not yet".into()))
}
