//! What a clinic chose about its sheets, saved in the data folder: one map file for each set of headings.

use crate::{
    folder_key,
    kept_file::{private_folder, sync_folder, write_bytes},
};
use safekeeping::{SealKey, is_sealed, open_sealed, seal};
use sha2::{Digest, Sha256};
use std::{
    fs,
    io::{Error, ErrorKind, Result},
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
    read(dir, &MapFiles::of(dir, headings).now)
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
    private_folder(&files.folder)?;
    if let Some(earlier) = earlier {
        write(dir, &files.before, &earlier.text)?;
    }
    let when: String = when.chars().filter(|char| !char.is_control()).collect();
    let head =
        "# What the columns of a sheet of this clinic mean. Chosen on the page Import, which wrote this.\n";
    write(dir, &files.now, &format!("{head}{SAVED}{when}.\n{toml}"))?;
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

/// A map in the folder, by its key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListedMap {
    /// The name of its file without the ending.
    pub key: String,
    /// The map.
    pub map: SavedMap,
    /// Whether it was deleted; it can then be restored.
    pub deleted: bool,
}

/// Every saved map and every deleted one that can be restored, in the order of their keys.
///
/// # Errors
/// When the folder or a map cannot be read.
pub fn list(dir: &Path) -> Result<Vec<ListedMap>> {
    let folder = dir.join(MAPS_FOLDER);
    let files = match fs::read_dir(&folder) {
        Ok(files) => files,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut keys = std::collections::BTreeSet::new();
    for file in files {
        let name = file?.file_name().to_string_lossy().into_owned();
        let key = name.strip_suffix(".toml").map(|name| name.strip_suffix(".before").unwrap_or(name));
        keys.extend(key.filter(|key| is_key(key)).map(str::to_owned));
    }
    let listed = keys.into_iter().map(|key| listed(dir, &folder, key));
    Ok(listed.collect::<Result<Vec<_>>>()?.into_iter().flatten().collect())
}

/// The saved map of a key.
///
/// # Errors
/// When it is there and cannot be read.
pub fn of_key(dir: &Path, key: &str) -> Result<Option<SavedMap>> {
    if is_key(key) { read(dir, &dir.join(MAPS_FOLDER).join(format!("{key}.toml"))) } else { Ok(None) }
}

/// Deletes the map of a key, or restores it: the map and the earlier one beside it change places. `false` if there is
/// nothing to delete or restore.
///
/// # Errors
/// When the folder cannot be changed; nothing is then changed.
pub fn move_map(dir: &Path, key: &str, restore: bool) -> Result<bool> {
    if !is_key(key) {
        return Ok(false);
    }
    let folder = dir.join(MAPS_FOLDER);
    let (now, before) = (folder.join(format!("{key}.toml")), folder.join(format!("{key}.before.toml")));
    let (from, to) = if restore { (&before, &now) } else { (&now, &before) };
    // A map that was saved again since it was deleted is never replaced by the deleted one.
    if !from.exists() || (restore && to.exists()) {
        return Ok(false);
    }
    fs::rename(from, to)?;
    sync_folder(&folder)?;
    Ok(true)
}

/// Whether a text can be the key of a map, and not a path.
fn is_key(key: &str) -> bool {
    key.len() == 24 && key.bytes().all(|byte| byte.is_ascii_hexdigit())
}

fn listed(dir: &Path, folder: &Path, key: String) -> Result<Option<ListedMap>> {
    if let Some(map) = read(dir, &folder.join(format!("{key}.toml")))? {
        return Ok(Some(ListedMap { key, map, deleted: false }));
    }
    let before = read(dir, &folder.join(format!("{key}.before.toml")))?;
    Ok(before.map(|map| ListedMap { key, map, deleted: true }))
}

/// The text of a map file, decrypted where it is encrypted.
fn plain_text(bytes: Vec<u8>, key: Option<&SealKey>) -> Result<String> {
    let bytes = match key {
        Some(key) if is_sealed(&bytes) => {
            open_sealed(key, MAPS_FOLDER, &bytes).map_err(Error::other)?.to_vec()
        }
        _ => bytes,
    };
    String::from_utf8(bytes).map_err(|error| Error::new(ErrorKind::InvalidData, error))
}

/// A map file as it is with another key.
///
/// # Errors
/// When it cannot be decrypted with the old one.
pub fn with_key(bytes: Vec<u8>, old: Option<&SealKey>, new: &SealKey) -> Result<Vec<u8>> {
    seal(new, MAPS_FOLDER, plain_text(bytes, old)?.as_bytes()).map_err(Error::other)
}

fn write(dir: &Path, path: &Path, text: &str) -> Result<()> {
    match folder_key::seal_key(dir)? {
        Some(key) => write_bytes(path, &seal(&key, MAPS_FOLDER, text.as_bytes()).map_err(Error::other)?),
        None => write_bytes(path, text.as_bytes()),
    }
}

fn read(dir: &Path, path: &Path) -> Result<Option<SavedMap>> {
    let text = match fs::read(path) {
        Ok(bytes) => plain_text(bytes, folder_key::seal_key(dir)?.as_ref())?,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(error),
    };
    let line = text.lines().take(3).find_map(|line| line.strip_prefix(SAVED));
    let when = line.map(|line| line.trim_end_matches('.').to_owned()).unwrap_or_default();
    Ok(Some(SavedMap { text, when }))
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
    #[test]
    fn a_map_of_the_list_is_deleted_and_restored() {
        let dir = tempfile::tempdir().unwrap();
        assert_eq!(list(dir.path()).unwrap(), []);
        let (ours, others) = (headings(&["Dossier", "Pied"]), headings(&["Number", "Foot"]));
        save(dir.path(), &ours, MAP, "on day 1").unwrap();
        save(dir.path(), &others, "[columns]\n", "on day 2").unwrap();
        let key = super::key(&ours);
        let deleted = || {
            let listed = list(dir.path()).unwrap();
            listed.iter().map(|map| (map.key == key, map.deleted)).filter(|map| map.1).collect::<Vec<_>>()
        };
        assert_eq!((list(dir.path()).unwrap().len(), deleted()), (2, vec![]));
        assert!(move_map(dir.path(), &key, false).unwrap());
        assert_eq!((find(dir.path(), &ours).unwrap(), deleted()), (None, vec![(true, true)]));
        assert!(!move_map(dir.path(), &key, false).unwrap(), "it is deleted already");
        assert!(move_map(dir.path(), &key, true).unwrap());
        assert_eq!(find(dir.path(), &ours).unwrap().unwrap().when, "on day 1");
        assert_eq!(of_key(dir.path(), &key).unwrap(), find(dir.path(), &ours).unwrap());
        // Saved again after it was deleted: the deleted one stays where it is.
        move_map(dir.path(), &key, false).unwrap();
        save(dir.path(), &ours, "[columns]\n", "on day 3").unwrap();
        assert!(!move_map(dir.path(), &key, true).unwrap());
        assert_eq!(find(dir.path(), &ours).unwrap().unwrap().when, "on day 3");
        assert_eq!(of_key(dir.path(), "../../../../etc/passwd").unwrap(), None);
    }
}
