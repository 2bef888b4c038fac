//! The drill: opens the newest backup of a folder as somebody would who has lost the records, puts its photographs and
//! videos together from the pieces beside it, checks every entry, and compares it with the records up to its moment.

use super::{
    BackedUpClinic, BackupAct, BackupEvent, BackupEvents, BackupKeys, BackupRefused, MissingPieces, pieces,
    work_folder::OnlyOne,
};
use crate::{clock::local_words, settings::Settings};
use backups::{BackupFile, Manifest};
use clinic::{CopyReport, VerifyReport};
use std::{
    fs,
    path::{Path, PathBuf},
};

/// What a drill found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrillOutcome {
    /// The folder.
    pub folder: PathBuf,
    /// The backup; empty where there is none.
    pub file: String,
    /// The list of what is in it, where it could be opened.
    pub manifest: Option<Manifest>,
    /// The check of its entries.
    pub checked: Option<VerifyReport>,
    /// How it compares with the records.
    pub compared: Option<CopyReport>,
    /// The clinic's own files that are no longer as they are in the backup.
    pub files_changed_since: Vec<String>,
    /// Whose photographs are missing or changed, one sentence for each child. Not noted, because the list of backups can
    /// be read without a key.
    pub photographs: Vec<String>,
    /// Everything that is wrong, one sentence each; empty where the backup could take the place of the records.
    pub wrong: Vec<String>,
}

impl DrillOutcome {
    /// Whether nothing is wrong.
    #[must_use]
    pub fn passed(&self) -> bool {
        self.wrong.is_empty()
    }

    /// The result in words.
    #[must_use]
    pub fn words(&self) -> String {
        let Some(compared) = self.compared.as_ref().filter(|_| self.passed()) else {
            return self.wrong.join(" ");
        };
        let erased = match compared.erased_since {
            0 => String::new(),
            erased => format!(" {erased} of them were erased since, and would be erased again by a restore."),
        };
        format!(
            "{} entries equal to the records, {} summaries computed anew are the same; {} entries were saved since.{erased}",
            compared.entries, compared.summaries, compared.saved_since
        )
    }
}

/// Tries the newest backup of every folder of the settings, and notes what was found.
///
/// # Errors
/// Where no folder is set, or another backup or drill is running.
pub fn drill_all(
    clinic: &BackedUpClinic<'_>,
    settings: &Settings,
) -> Result<Vec<DrillOutcome>, BackupRefused> {
    if settings.backups.folders.is_empty() {
        return Err(BackupRefused(
            "No folder for backups is set: a lead sets one on the page “Backups”.".to_owned(),
        ));
    }
    settings.backups.folders.iter().map(|folder| drill(clinic, folder)).collect()
}

/// Tries the newest backup of a folder, and notes what was found. Nothing is noted where the folder is away, or never
/// had a backup.
///
/// # Errors
/// Where another backup or drill is running.
pub fn drill(clinic: &BackedUpClinic<'_>, folder: &Path) -> Result<DrillOutcome, BackupRefused> {
    let only = OnlyOne::of(clinic.dir)?;
    let mut outcome = DrillOutcome {
        folder: folder.to_owned(),
        file: String::new(),
        manifest: None,
        checked: None,
        compared: None,
        files_changed_since: Vec::new(),
        photographs: Vec::new(),
        wrong: Vec::new(),
    };
    // A disk that is away is no backup that failed.
    if let Err(why) = super::checked_folder(clinic.dir, folder) {
        outcome.wrong.push(why);
        return Ok(outcome);
    }
    if let Err(BackupRefused(why)) = tried(clinic, &only, &mut outcome) {
        outcome.wrong.push(why);
    }
    // Nor is a folder that never had one.
    let made =
        BackupEvents::read(clinic.dir).unwrap_or_default().last_in(folder, &[BackupAct::Made]).is_some();
    if made || !outcome.file.is_empty() {
        note(clinic, &outcome);
    }
    Ok(outcome)
}

fn note(clinic: &BackedUpClinic<'_>, outcome: &DrillOutcome) {
    let manifest = outcome.manifest.as_ref();
    let event = BackupEvent {
        at: clinic.clock.now(),
        act: if outcome.passed() { BackupAct::DrillPassed } else { BackupAct::DrillFailed },
        folder: outcome.folder.clone(),
        file: outcome.file.clone(),
        entries: manifest.map_or(0, |manifest| manifest.entries),
        children: manifest.map_or(0, |manifest| manifest.children),
        pieces: manifest.map_or(0, |manifest| manifest.pieces.len()),
        piece_bytes: manifest.map_or(0, |manifest| manifest.pieces.iter().map(|piece| piece.bytes).sum()),
        mark: String::new(),
        witness: None,
        by: clinic.by.clone(),
        result: outcome.words(),
    };
    if let Err(error) = BackupEvents::add(clinic.dir, &event) {
        tracing::error!("what a drill found cannot be noted: {error}");
    }
}

fn tried(
    clinic: &BackedUpClinic<'_>,
    only: &OnlyOne,
    outcome: &mut DrillOutcome,
) -> Result<(), BackupRefused> {
    let keys = BackupKeys::needed(clinic.dir)?;
    let file = newest(clinic, outcome)?;
    let work = only.folder(clinic.dir)?;
    let manifest = file.unlock(&keys.key)?.extract(work.path())?;
    outcome.files_changed_since = changed_since(clinic.dir, work.path(), &manifest);
    outcome.manifest = Some(manifest.clone());
    let beside = clinic.records.pictures_in(work.path());
    let lost = pieces::put_together(&beside, work.path(), (&file, &keys.key))?;
    let copy = clinic.records.open_copy(work.path())?;
    let report = copy.verify()?;
    if let Some(fault) = report.faults.first() {
        outcome
            .wrong
            .push(format!("{} faults were found in it. The first: {}", report.faults_count, fault.text));
    }
    let state = copy.state()?;
    if (state.mark.entries, &state.mark.digits) != (manifest.entries, &manifest.mark) {
        outcome.wrong.push(format!(
            "Its log ends with {}, but its list says {} at entry {}.",
            state.mark, manifest.mark, manifest.entries
        ));
    }
    outcome.checked = Some(report);
    let missing = MissingPieces::of((&file, &keys.key), &lost, &copy.named_media()?);
    outcome.wrong.extend(missing.map(|missing| missing.drill_words()));
    let pictures = copy.check_pictures(&copy.pictures_in(work.path()), clinic.clock.today())?;
    outcome.wrong.extend(pictures.words());
    outcome.photographs = pictures.faults;
    let (_, videos) = copy.missing_media(&copy.pictures_in(work.path()))?;
    if videos > 0 {
        outcome.wrong.push(format!("{videos} videos that its entries name are not in it."));
    }
    let compared = clinic.records.compare_copy(&copy)?;
    for (what, (count, first)) in &compared.differences {
        outcome.wrong.push(format!("{count} {}; the first: {first}.", what.words()));
    }
    outcome.compared = Some(compared);
    Ok(())
}

/// The newest backup. A newer file with the name of one that cannot be read is a fault, and not passed over.
fn newest(clinic: &BackedUpClinic<'_>, outcome: &mut DrillOutcome) -> Result<BackupFile, BackupRefused> {
    let site = clinic.records.own_site()?;
    let id = site.map(backups::clinic_id).unwrap_or_default();
    let found = backups::list(&outcome.folder, Some(&id))?;
    let damaged = found.iter().filter_map(|found| found.file.as_ref().err());
    outcome.wrong.extend(damaged.map(ToString::to_string));
    let file = found.into_iter().find_map(|found| found.file.ok());
    let file = file.ok_or_else(|| {
        BackupRefused(format!("There is no backup of this clinic in {}.", outcome.folder.display()))
    })?;
    outcome.file = file.path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    Ok(file)
}

/// The clinic's own files that differ from those in the backup: the seal of the records does not cover them.
fn changed_since(dir: &Path, work: &Path, manifest: &Manifest) -> Vec<String> {
    let own = |name: &&String| name.ends_with(".toml");
    let differs = |name: &&String| {
        let read = |dir: &Path| fs::read(dir.join(name)).ok();
        read(dir) != read(work)
    };
    manifest.files.iter().map(|file| &file.name).filter(own).filter(differs).cloned().collect()
}

impl std::fmt::Display for DrillOutcome {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let made = self.manifest.as_ref().map(|manifest| format!(", made on {}", local_words(manifest.at)));
        write!(f, "{}{}: {}", self.file, made.unwrap_or_default(), self.words())
    }
}
