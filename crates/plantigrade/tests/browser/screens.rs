//! Where pictures of the pages are put, for people to look at.

use std::{fs, path::PathBuf};

/// The folder: `PLANTIGRADE_SCREENS`, or `tmp/screens` within the build folder.
pub fn folder() -> PathBuf {
    let named = std::env::var_os("PLANTIGRADE_SCREENS").map(PathBuf::from);
    let folder = named.unwrap_or_else(|| PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("screens"));
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// Writes one picture.
pub fn keep(name: &str, bytes: &[u8]) {
    fs::write(folder().join(name), bytes).unwrap();
}
