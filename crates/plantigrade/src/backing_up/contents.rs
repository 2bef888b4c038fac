//! What is in a backup besides the records and the access log: every file of the clinic's own.

use super::EVENTS_FILE;
use crate::{
    drafts::SECRET_FILE,
    saved_maps::MAPS_FOLDER,
    setting_history::{CHECKS_FILE, COPIES_FILE},
};
use backups::BackupSource;
use std::{fs, io, path::Path};

/// The folder of the authority of the clinic's network, so that tablets need not be enrolled anew after a restore.
const NETWORK_FOLDER: &str = "clinic-network";
const ENDS: [&str; 2] = [".toml", ".jsonl"];

/// The clinic's own files in a data folder: settings, protocol, stock, capacity, their histories and the versions
/// before, import maps, the secret of drafts and PINs, and the authority of the clinic's network. In the order of their
/// names.
///
/// # Errors
/// When the folder cannot be read.
pub fn own_files(dir: &Path) -> io::Result<Vec<BackupSource>> {
    let mut files = Vec::new();
    add(dir, "", &mut files)?;
    for folder in [MAPS_FOLDER, NETWORK_FOLDER] {
        if dir.join(folder).is_dir() {
            add(&dir.join(folder), &format!("{folder}/"), &mut files)?;
        }
    }
    files.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(files)
}

fn add(dir: &Path, before: &str, files: &mut Vec<BackupSource>) -> io::Result<()> {
    for found in fs::read_dir(dir)? {
        let found = found?;
        let name = found.file_name().to_string_lossy().into_owned();
        if found.file_type()?.is_file() && is_own(&name) {
            files.push(BackupSource { name: format!("{before}{name}"), path: found.path() });
        }
    }
    Ok(())
}

/// Lists of what was checked or copied on this computer say nothing on another.
fn is_own(name: &str) -> bool {
    let of_this_computer = [COPIES_FILE, CHECKS_FILE, EVENTS_FILE].contains(&name);
    name == SECRET_FILE || (ENDS.iter().any(|end| name.ends_with(end)) && !of_this_computer)
}
