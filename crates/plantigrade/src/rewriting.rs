//! Writes all files of a data folder anew with another key: how records that were not encrypted are, and how the key is
//! changed.
//!
//! The new files are written into a folder of their own beside the old ones and compared with them. Then that folder
//! is renamed, which is the one moment at which the change is decided: before it a start removes the new files, after
//! it a start puts them in the place of the old ones, which are overwritten. So whenever the program is ended, the
//! folder has either the old files or the new ones.

use crate::{
    drafts::{SECRET_FILE, draft_secret_with_key},
    exit::Failure,
    folder_key::{self, database_key_of},
    kept_file::{sync_folder, write_bytes},
    saved_maps::{self, MAPS_FOLDER},
    setting_history,
    unfinished::{BEGUN, DECIDED, finish, is_remnant, settle_locked},
};
use clinic::{ACCESS_FILE, ClinicRecords, FILE_NAME, PICTURES_FILE, Pictures, RecordsLock, write_with_key};
use guidance::Protocol;
use safekeeping::{KeySlots, RecordsKey, SLOTS_FILE, SealKey};
use std::{fs, io, path::Path, sync::Arc};

/// The key with which the files are written anew, and what will unlock it.
#[derive(Clone)]
pub struct NewKey {
    /// The key.
    pub key: RecordsKey,
    /// Its slots.
    pub slots: KeySlots,
}

/// What was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rewritten {
    /// Entries in the new records, as in the old.
    pub entries: usize,
    /// Children in them.
    pub children: usize,
    /// Files in the folder that are none of this program, and were left as they are.
    pub left: Vec<String>,
}

/// Writes everything in a folder anew with another key. The records may not be open. When this returns the new files
/// are in place, and this process has them unlocked.
///
/// # Errors
/// When the records are open, the copy differs from them, or a file cannot be read or written. Nothing is then changed.
pub fn rewrite(dir: &Path, new: &NewKey) -> Result<Rewritten, Failure> {
    let old = folder_key::key_of(dir)?;
    let _lock = RecordsLock::take(dir)?;
    settle_locked(dir)?;
    let staged = dir.join(BEGUN);
    let rewritten = stage(dir, &staged, old.as_ref(), new).inspect_err(|_| {
        // Also done by the next start.
        let _ = fs::remove_dir_all(&staged);
    })?;
    let failed =
        |error: io::Error| Failure::failed(format!("The new files could not be put in place: {error}."));
    fs::rename(&staged, dir.join(DECIDED)).and_then(|()| sync_folder(dir)).map_err(failed)?;
    folder_key::remember(dir, new.key.clone());
    finish(dir).map_err(failed)?;
    Ok(rewritten)
}

/// Writes the new files and compares them with the old.
fn stage(dir: &Path, staged: &Path, old: Option<&RecordsKey>, new: &NewKey) -> Result<Rewritten, Failure> {
    let failed =
        |error: io::Error| Failure::failed(format!("{} cannot be written: {error}.", staged.display()));
    make_folder(staged).map_err(failed)?;
    let (old_key, new_key) = (old.map(database_key_of), database_key_of(&new.key));
    for name in [FILE_NAME, ACCESS_FILE] {
        if dir.join(name).is_file() {
            write_with_key((&dir.join(name), old_key.as_ref()), &staged.join(name), &new_key)?;
        }
    }
    Pictures::beside(dir, old_key.as_ref()).write_with_key(staged, &new_key)?;
    let mut left = Vec::new();
    stage_own_files(dir, staged, old.map(RecordsKey::files).as_ref(), &new.key.files(), &mut left)
        .map_err(failed)?;
    let slots = new.slots.to_text().map_err(folder_key::not_unlocked)?;
    write_bytes(&staged.join(SLOTS_FILE), slots.as_bytes()).map_err(failed)?;
    // The lists that depend on the protocol are compared row by row already.
    let protocol = Arc::new(Protocol::built_in());
    let report = |folder: &Path, key| {
        let records = ClinicRecords::open_for_reading(folder, protocol.clone(), key)?;
        Ok::<_, Failure>((records.verify()?, records.mark()?))
    };
    let (written, mark) = report(staged, Some(new_key))?;
    let before = ClinicRecords::open_for_reading(dir, protocol.clone(), old_key)?.mark()?;
    if !written.is_sound() || mark != before {
        let first = written.faults.first().map_or("its log ends differently", |fault| fault.text.as_str());
        return Err(Failure::failed(format!(
            "The encrypted copy was checked and is not the same as the records ({first}). Nothing was changed. Run “plantigrade verify” on the records."
        )));
    }
    Ok(Rewritten { entries: written.entries, children: written.children, left })
}

fn make_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}

/// Histories, import maps and the secret of drafts. Names of files that nobody expects here go into `left`.
fn stage_own_files(
    dir: &Path,
    staged: &Path,
    old: Option<&SealKey>,
    new: &SealKey,
    left: &mut Vec<String>,
) -> io::Result<()> {
    for entry in fs::read_dir(dir)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if name == MAPS_FOLDER {
            make_folder(&staged.join(MAPS_FOLDER))?;
            for map in fs::read_dir(entry.path())? {
                let map = map?;
                let written = saved_maps::with_key(fs::read(map.path())?, old, new)?;
                write_bytes(&staged.join(MAPS_FOLDER).join(map.file_name()), &written)?;
            }
        } else if name.ends_with(".jsonl") {
            let written = setting_history::with_key(&fs::read(entry.path())?, &name, old, new)?;
            write_bytes(&staged.join(&name), &written)?;
        } else if name == SECRET_FILE {
            write_bytes(&staged.join(&name), &draft_secret_with_key(fs::read(entry.path())?, old, new)?)?;
        } else if !is_expected(&name) {
            left.push(name);
        }
    }
    Ok(())
}

/// Files and folders of this program that are not encrypted, because they have nothing about a child, and those that
/// are written anew as a whole.
fn is_expected(name: &str) -> bool {
    let known = [
        BEGUN,
        FILE_NAME,
        ACCESS_FILE,
        clinic::ACCESS_KEY_FILE,
        PICTURES_FILE,
        SLOTS_FILE,
        "records.lock",
        "records.pid",
        "address.txt",
        crate::network::AUTHORITY_FOLDER,
        crate::auth::ATTEMPTS_FILE,
        crate::backing_up::SLOTS,
        crate::backing_up::KEY_FILE,
        "backups.lock",
    ];
    known.contains(&name) || name.ends_with(".toml") || is_remnant(name)
}
