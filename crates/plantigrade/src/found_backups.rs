//! Backups on the disks and sticks that are connected, so that nobody has to type a path.

use std::{
    fs,
    path::{Path, PathBuf},
};

/// Where the system shows disks that were connected.
#[cfg(unix)]
const MOUNTED: [&str; 3] = ["/media", "/run/media", "/mnt"];
/// Folders below those that are looked into: person, disk, folder.
const DEPTH: usize = 3;
/// Folders that are looked into at most, so that a full disk does not keep anybody waiting.
const FOLDERS: usize = 500;
/// Backups that are named.
const NAMED: usize = 8;

/// The newest backups on connected disks.
#[must_use]
pub fn on_connected_disks() -> Vec<backups::BackupFile> {
    newest_below(&roots())
}

#[cfg(unix)]
fn roots() -> Vec<PathBuf> {
    MOUNTED.iter().map(PathBuf::from).collect()
}

#[cfg(not(unix))]
fn roots() -> Vec<PathBuf> {
    // C is the disk of the system.
    ('D'..='Z').map(|letter| PathBuf::from(format!("{letter}:\\"))).collect()
}

/// The newest backups in some folders and those below them.
#[must_use]
pub fn newest_below(roots: &[PathBuf]) -> Vec<backups::BackupFile> {
    let folders = below(roots);
    let listed = folders.iter().filter_map(|folder| backups::list(folder, None).ok());
    let mut found: Vec<_> = listed.flatten().filter_map(|one| one.file.ok()).collect();
    found.sort_by_key(|file| std::cmp::Reverse(file.header.at));
    found.truncate(NAMED);
    found
}

fn below(roots: &[PathBuf]) -> Vec<PathBuf> {
    let mut all = roots.to_vec();
    let mut level = roots.to_vec();
    for _ in 0..DEPTH {
        level = level.iter().flat_map(|folder| folders_in(folder)).collect();
        all.extend(level.iter().cloned());
        if all.len() >= FOLDERS {
            break;
        }
    }
    all.truncate(FOLDERS);
    all
}

/// Folders that are no links, which can lead round in a ring, and no pieces of backups, of which there are hundreds.
fn folders_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let is_folder = |entry: &fs::DirEntry| entry.file_type().is_ok_and(|kind| kind.is_dir());
    let is_pieces = |entry: &fs::DirEntry| {
        let name = entry.file_name().to_string_lossy().into_owned();
        name.starts_with("plantigrade-") && name.ends_with(backups::PIECES_END)
    };
    let folders = entries.flatten().filter(|entry| is_folder(entry) && !is_pieces(entry));
    folders.map(|entry| entry.path()).take(FOLDERS).collect()
}
