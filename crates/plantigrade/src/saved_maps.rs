//! What a clinic chose about its sheets, saved in the data folder: one map file for each set of headings.

use sha2::{Digest, Sha256};
use std::{
    fs::{self, File},
    io::{ErrorKind, Result, Write},
    path::{Path, PathBuf},
};

/// The folder of the maps within the data folder.
pub const MAPS_FOLDER: &str = "sheet-maps";
const SAVED: &str = "# Saved ";

/// A map saved for sheets with some headings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SavedMap {
    /// The map as TOML.
    pub text: String,
    /// When it was saved and by whom, in words; empty if the file does not say.
    pub when: String,
}

/// The files of one set of headings.
struct MapFiles {
    folder: PathBuf,
    now: PathBuf,
    before: PathBuf,
}

impl MapFiles {
    fn of(dir: &Path, headings: &[String]) -> Self {
        let folder = dir.join(MAPS_FOLDER);
        let key = key(headings);
        let (now, before) = (folder.join(format!("{key}.toml")), folder.join(format!("{key}.before.toml")));
        Self { folder, now, before }
    }
}

/// The same for the same headings in the same order, whatever their case and spacing.
fn key(headings: &[String]) -> String {
    let mut hash = Sha256::new();
    let used = headings.iter().rposition(|heading| !heading.trim().is_empty()).map_or(0, |last| last + 1);
    for heading in headings.iter().take(used) {
        let words: Vec<&str> = heading.split_whitespace().collect();
        hash.update(words.join(" ").to_lowercase());
        hash.update([0]);
    }
    hash.finalize().iter().take(12).map(|byte| format!("{byte:02x}")).collect()
}

/// The map saved for sheets with these headings.
///
/// # Errors
/// When it is there and cannot be read.
pub fn find(dir: &Path, headings: &[String]) -> Result<Option<SavedMap>> {
    let text = match fs::read_to_string(MapFiles::of(dir, headings).now) {
        Ok(text) => text,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(error),
    };
    let line = text.lines().take(3).find_map(|line| line.strip_prefix(SAVED));
    let when = line.map(|line| line.trim_end_matches('.').to_owned()).unwrap_or_default();
    Ok(Some(SavedMap { text, when }))
}

/// Saves a map for sheets with these headings; `when` says in words when and by whom. The map that was there
/// is kept beside it. When this returns the map is on the disk. A map that says the same is not written again.
///
/// # Errors
/// When it cannot be written; the map that was there is then still in force.
pub fn save(dir: &Path, headings: &[String], toml: &str, when: &str) -> Result<()> {
    let files = MapFiles::of(dir, headings);
    let earlier = find(dir, headings)?;
    if earlier.as_ref().is_some_and(|earlier| body(&earlier.text) == toml) {
        return Ok(());
    }
    fs::create_dir_all(&files.folder)?;
    if let Some(earlier) = earlier {
        write_whole(&files.before, &earlier.text)?;
    }
    let when: String = when.chars().filter(|char| !char.is_control()).collect();
    let head =
        "# What the columns of a sheet of this clinic mean. Chosen on the page Import, which wrote this.\n";
    write_whole(&files.now, &format!("{head}{SAVED}{when}.\n{toml}"))?;
    sync_folder(&files.folder)
}

/// Forgets the map of sheets with these headings. It is kept beside the maps as the earlier one.
///
/// # Errors
/// When the folder cannot be changed; the map is then still in force.
pub fn forget(dir: &Path, headings: &[String]) -> Result<()> {
    let files = MapFiles::of(dir, headings);
    match fs::rename(&files.now, &files.before) {
        Ok(()) => sync_folder(&files.folder),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
        Err(error) => Err(error),
    }
}

/// The map without the lines that this module wrote above it.
fn body(text: &str) -> &str {
    let mut rest = text;
    while let Some((line, below)) = rest.split_once('\n').filter(|(line, _)| line.starts_with("# ")) {
        rest = below;
        if line.starts_with(SAVED) {
            break;
        }
    }
    rest
}

/// Writes a file whole, or not at all.
fn write_whole(path: &Path, text: &str) -> Result<()> {
    let new = path.with_extension("toml.new");
    let mut file = File::create(&new)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    fs::rename(&new, path)
}

/// A renamed file is on the disk once its folder is. Where a folder cannot be opened, as on Windows, the
/// system does that by itself.
fn sync_folder(folder: &Path) -> Result<()> {
    File::open(folder).map_or(Ok(()), |folder| folder.sync_all())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn headings(words: &[&str]) -> Vec<String> {
        words.iter().map(|word| (*word).to_owned()).collect()
    }

    const MAP: &str = "date_order = \"day first\"\n\n[columns]\n\"Pied\" = \"side\"\n";

    #[test]
    fn a_map_is_found_again_by_its_headings_and_by_no_others() {
        let dir = tempfile::tempdir().unwrap();
        let ours = headings(&["Dossier", "Pied", ""]);
        assert_eq!(find(dir.path(), &ours).unwrap(), None);
        save(dir.path(), &ours, MAP, "3 May 2024 by Ida").unwrap();
        let again = find(dir.path(), &headings(&[" dossier", "PIED"])).unwrap().unwrap();
        assert!(again.text.ends_with(MAP), "{}", again.text);
        assert_eq!(again.when, "3 May 2024 by Ida");
        for others in [&["Pied", "Dossier"][..], &["Dossier"], &["Dossier Pied"], &["Dossier", "", "Pied"]] {
            assert_eq!(find(dir.path(), &headings(others)).unwrap(), None, "{others:?}");
        }
    }

    #[test]
    fn the_earlier_map_is_kept_and_the_same_map_is_not_written_again() {
        let dir = tempfile::tempdir().unwrap();
        let ours = headings(&["Dossier", "Pied"]);
        let files = MapFiles::of(dir.path(), &ours);
        save(dir.path(), &ours, MAP, "on day 1").unwrap();
        save(dir.path(), &ours, MAP, "on day 2").unwrap();
        assert_eq!(find(dir.path(), &ours).unwrap().unwrap().when, "on day 1");
        assert!(!files.before.exists());
        save(dir.path(), &ours, "[columns]\n", "on day 3").unwrap();
        assert_eq!(body(&find(dir.path(), &ours).unwrap().unwrap().text), "[columns]\n");
        assert_eq!(body(&fs::read_to_string(&files.before).unwrap()), MAP);
        let left: Vec<_> = fs::read_dir(&files.folder).unwrap().map(|file| file.unwrap().path()).collect();
        assert_eq!(left.len(), 2, "{left:?}");
    }

    #[test]
    fn a_forgotten_map_is_not_found_and_not_lost() {
        let dir = tempfile::tempdir().unwrap();
        let ours = headings(&["Dossier"]);
        forget(dir.path(), &ours).unwrap();
        save(dir.path(), &ours, MAP, "on day 1").unwrap();
        forget(dir.path(), &ours).unwrap();
        assert_eq!(find(dir.path(), &ours).unwrap(), None);
        let before = fs::read_to_string(MapFiles::of(dir.path(), &ours).before).unwrap();
        assert_eq!(body(&before), MAP);
    }

    #[test]
    fn what_cannot_be_written_leaves_the_map_in_force() {
        let dir = tempfile::tempdir().unwrap();
        let ours = headings(&["Dossier"]);
        save(dir.path(), &ours, MAP, "on day 1").unwrap();
        // A folder in the place of the new file: it cannot be created.
        fs::create_dir(MapFiles::of(dir.path(), &ours).now.with_extension("toml.new")).unwrap();
        assert!(save(dir.path(), &ours, "[columns]\n", "on day 2").is_err());
        assert_eq!(body(&find(dir.path(), &ours).unwrap().unwrap().text), MAP);
    }
}
