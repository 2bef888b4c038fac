//! What is in the data folder is for its owner alone. Files that an earlier version of this program made, or a person
//! copied there, are closed to other users at the start.

use crate::saved_maps::MAPS_FOLDER;
use std::{fs, io, path::Path};

/// Folders of ours within the data folder. The key of the clinic's network is not mended here: one that others could
/// read is not used any more, which `network` decides.
const OWN_FOLDERS: [&str; 1] = [MAPS_FOLDER];
/// How the names of our files begin or end. A person may have put other files beside them, which are not ours to
/// change.
const OWN_BEGINNINGS: [&str; 4] = ["records.", "access.", "drafts.", "sign-in-attempts."];
const OWN_ENDINGS: [&str; 4] = [".toml", ".jsonl", ".key", "address.txt"];

/// Closes our files in a data folder to other users. Returns the names of those that were open to them.
///
/// # Errors
/// When the folder cannot be read, or a file belongs to somebody else.
pub fn close(dir: &Path) -> io::Result<Vec<String>> {
    let mut closed = Vec::new();
    for entry in fs::read_dir(dir)? {
        let entry = entry?;
        let (kind, name) = (entry.file_type()?, entry.file_name().to_string_lossy().into_owned());
        if kind.is_dir() && OWN_FOLDERS.contains(&name.as_str()) {
            let within = close(&entry.path())?;
            closed.extend(within.into_iter().map(|file| format!("{name}/{file}")));
        }
        let ours = if kind.is_dir() { OWN_FOLDERS.contains(&name.as_str()) } else { is_own(&name) };
        // What a link points to may be anything.
        if ours && !kind.is_symlink() && clinic::make_private(&entry.path())? {
            closed.push(name);
        }
    }
    Ok(closed)
}

fn is_own(name: &str) -> bool {
    OWN_BEGINNINGS.iter().any(|begin| name.starts_with(begin))
        || OWN_ENDINGS.iter().any(|end| name.ends_with(end))
}

/// The same at a start: what was closed is said in the log, and a failure is no reason not to start.
pub fn close_at_start(dir: &Path) {
    match close(dir) {
        Ok(closed) if closed.is_empty() => {}
        Ok(closed) => tracing::warn!("closed to other users of this computer: {}", closed.join(", ")),
        Err(error) => {
            tracing::warn!("other users of this computer may read files in {}: {error}", dir.display())
        }
    }
}
