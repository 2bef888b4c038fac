//! Copies of the records and of the clinic's own files, made while the server runs and checked after writing.

use crate::{
    app::App,
    kept_file::sync_folder,
    request::Fail,
    saved_maps::MAPS_FOLDER,
    setting_history::{CHECKS_FILE, COPIES_FILE, SettingChange, SettingHistory},
};
use clinic::{ClinicRecords, FILE_NAME};
use record::UserId;
use safekeeping::SLOTS_FILE;
use std::{
    fs, io,
    path::{Path, PathBuf},
};

/// A finished copy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FinishedCopy {
    /// Its folder.
    pub folder: PathBuf,
    /// Entries and children that were checked in it.
    pub counted: (usize, usize),
    /// How its log ends, to be compared with the records later.
    pub mark: String,
}

/// Why there is no copy. One sentence for the person who asked for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CopyRefused(pub String);

impl CopyRefused {
    fn of(error: &io::Error, path: &Path) -> Self {
        Self(format!("{} cannot be written: {error}.", path.display()))
    }
}

/// Copies everything into a new folder below `into`, and checks the copy entry by entry. A copy that is not whole is
/// removed.
///
/// # Errors
/// When the list of copies cannot be written; what is wrong with the folder or the copy is inside.
pub fn make(app: &App, by: UserId, into: &str) -> Result<Result<FinishedCopy, CopyRefused>, Fail> {
    let now = app.clock.now();
    let stamp: String = now.to_string().chars().filter(|char| char.is_ascii_alphanumeric()).collect();
    let folder = match place(&app.dir, into) {
        Ok(place) => place.join(format!("plantigrade-{stamp}")),
        Err(refused) => return Ok(Err(refused)),
    };
    if let Err(error) = make_folder(&folder) {
        return Ok(Err(CopyRefused::of(&error, &folder)));
    }
    match written_and_checked(app, &folder) {
        Ok((counted, mark)) => {
            let copy = FinishedCopy { folder, counted, mark };
            note(app, by, &copy).map_err(|error| Fail::fault(&format!("{COPIES_FILE}: {error}")))?;
            Ok(Ok(copy))
        }
        Err(refused) => {
            // A copy that is not whole must not be taken for one.
            if let Err(error) = fs::remove_dir_all(&folder) {
                tracing::error!("{} cannot be removed: {error}", folder.display());
            }
            Ok(Err(refused))
        }
    }
}

/// The last copy, as the list has it.
///
/// # Errors
/// When the list cannot be read.
pub fn last(dir: &Path) -> io::Result<Option<SettingChange>> {
    Ok(SettingHistory::of(dir, COPIES_FILE).read()?.changes.pop())
}

/// The folder that a person named, if a copy is safe there.
fn place(data: &Path, into: &str) -> Result<PathBuf, CopyRefused> {
    let refused = |text: &str| Err(CopyRefused(text.to_owned()));
    let path = Path::new(into.trim());
    if into.trim().is_empty() {
        return refused("Enter the folder, such as that of a stick or of another computer.");
    }
    if !path.is_absolute() {
        return refused("Enter the whole path of the folder, from the beginning.");
    }
    let Ok(path) = path.canonicalize() else {
        return refused("There is no such folder on the computer on which this program runs.");
    };
    if !path.is_dir() {
        return refused("This is a file and not a folder.");
    }
    if data.canonicalize().is_ok_and(|data| path.starts_with(data)) {
        return refused("This is the folder of the records: what is lost with it would take the copy along.");
    }
    Ok(path)
}

/// The copy has names and dates of birth, so only the owner may read it.
fn make_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}

fn written_and_checked(app: &App, folder: &Path) -> Result<((usize, usize), String), CopyRefused> {
    let sentence = |error: clinic::ArchiveError| CopyRefused(crate::exit::sentence(&error.to_string()));
    app.records.back_up(&folder.join(FILE_NAME)).map_err(sentence)?;
    app.access_log.copy_to(folder).map_err(sentence)?;
    app.records.pictures_in(&app.dir).copy_to(folder).map_err(sentence)?;
    copy_own_files(&app.dir, folder).map_err(|error| CopyRefused::of(&error, folder))?;
    let copy = ClinicRecords::open_for_reading(folder, app.protocol(), app.records.key().cloned())
        .map_err(sentence)?;
    let report = copy.verify().map_err(sentence)?;
    if report.is_sound() {
        let mark = report.mark.as_ref().map(ToString::to_string).unwrap_or_default();
        return Ok(((report.entries, report.children), mark));
    }
    let first = report.faults.first().map_or("", |fault| fault.text.as_str());
    Err(CopyRefused(format!(
        "The copy was removed, because the check of it found {} faults. The first: {first} Run “plantigrade verify” on the records.",
        report.faults_count
    )))
}

/// Copies the files beside the records: settings, histories, lists and import maps. When this returns they are on the
/// disk.
///
/// # Errors
/// When one cannot be read or written.
pub fn copy_own_files(from: &Path, to: &Path) -> io::Result<()> {
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let (kind, name) = (entry.file_type()?, entry.file_name());
        if kind.is_dir() && name.to_string_lossy() == MAPS_FOLDER {
            let below = to.join(&name);
            make_folder(&below)?;
            copy_own_files(&entry.path(), &below)?;
        } else if kind.is_file() && is_own(&name.to_string_lossy()) {
            // Made first, so that others cannot read it at any moment.
            clinic::create_private(&to.join(&name))?;
            fs::copy(entry.path(), to.join(&name))?;
            clinic::make_private(&to.join(&name))?;
            fs::File::options().write(true).open(to.join(&name))?.sync_all()?;
        }
    }
    sync_folder(to)
}

/// Whether a file is the clinic's own: not the records, which are copied consistently, and not what belongs to the
/// running program.
fn is_own(name: &str) -> bool {
    let ends = [".toml", ".jsonl"];
    (ends.iter().any(|end| name.ends_with(end)) || name == SLOTS_FILE)
        && ![COPIES_FILE, CHECKS_FILE].contains(&name)
}

fn note(app: &App, by: UserId, copy: &FinishedCopy) -> io::Result<()> {
    let (entries, children) = copy.counted;
    let line = SettingChange {
        at: app.clock.now(),
        by: Some(by),
        name: Some(app.name_of(by)),
        key: "copy".to_owned(),
        from: String::new(),
        to: copy.folder.display().to_string(),
        value: None,
        why: Some(format!(
            "{entries} entries of {children} children checked; the log ends with {}",
            copy.mark
        )),
    };
    SettingHistory::of(&app.dir, COPIES_FILE).append(&[line]).map(|_| ())
}
