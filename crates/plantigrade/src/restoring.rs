//! Restores a backup into a folder: everything is made and checked in a folder of another name beside it, which takes
//! the name only at the end. Stopped at any moment there is either nothing at that name, or the whole clinic.

use crate::{
    app,
    backing_up::{self, BackupKeys, BackupRefused, MissingPieces, at},
    clock::local_words,
    folder_key,
    kept_file::sync_folder,
    place,
    settings::Settings,
};
use backups::{BackupFile, KnownErasure, KnownWithdrawal, Manifest};
use clinic::{
    CAN_ENCRYPT, ClinicRecords, DatabaseKey, DecisionKind, Erasure, FILE_NAME, LeftOutEntry, NamedMedia,
    Pictures, RecordsDecision, RecordsOptions, RestoreOrder, RestoredRecords, WithheldPictures, WitnessPlace,
};
use record::{ConsentMatter, Timestamp};
use safekeeping::{RecordsKey, SLOTS_FILE, UnlockSecret};
use std::{
    fmt::Write as _,
    fs,
    path::{Path, PathBuf},
};
use tempfile::TempDir;

/// The list of entries that were left out because of the moment, in the restored folder.
const LEFT_OUT: &str = "left-out-by-restore.txt";

/// What is to be restored, and where to.
#[derive(Debug, Clone)]
pub struct RestoreWish {
    /// The backup.
    pub file: PathBuf,
    /// The folder of the records; it must not be there, be empty, or be moved aside.
    pub to: PathBuf,
    /// Entries written after this moment are left out.
    pub until: Option<Timestamp>,
    /// Whether a folder that is there is moved aside.
    pub move_aside: bool,
    /// Why it is restored.
    pub reason: String,
    /// When.
    pub at: Timestamp,
}

/// What was restored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestoreReport {
    /// The folder.
    pub folder: PathBuf,
    /// What was in the backup.
    pub manifest: Manifest,
    /// The records.
    pub records: RestoredRecords,
    /// Entries that the witness of that folder knows, where something is known.
    pub witnessed: Option<usize>,
    /// Where the folder was moved that was there before.
    pub aside: Option<PathBuf>,
    /// Whether there was a list of erasures beside the backup.
    pub erasures_known: bool,
    /// What is missing of its photographs and videos, because the folder beside the backup does not have it.
    pub missing: Option<MissingPieces>,
    /// The list of what was left out.
    pub left_out_list: Option<PathBuf>,
    /// The folder that the settings name for the witness, where it is not on this computer.
    pub witness_folder_missing: Option<PathBuf>,
}

impl RestoreReport {
    /// What was restored and what is missing, for everybody who signs in.
    #[must_use]
    pub fn notice(&self) -> String {
        let erasures = if self.erasures_known {
            ""
        } else {
            " Whether records were erased after the backup cannot be told: its list of erasures is not beside it."
        };
        let missing = self.missing.as_ref();
        let missing = missing.map(|missing| format!(" {}", missing.restored_words())).unwrap_or_default();
        format!(
            "These records were restored from the backup of {}, with {} children and {} entries. {} Enter again from paper what was recorded after it.{erasures}{missing}",
            local_words(self.manifest.at),
            self.manifest.children,
            self.records.entries,
            self.lost_sentence()
        )
    }

    /// How many entries the records lack of what was saved, one sentence.
    #[must_use]
    pub fn lost_sentence(&self) -> String {
        match self.witnessed.map(|witnessed| witnessed.saturating_sub(self.records.entries)) {
            None => "How many entries were saved after the backup cannot be told: nothing is known of a witness of this folder.".to_owned(),
            Some(0) => "By the witness of this folder no entry is lost.".to_owned(),
            Some(1) => "By the witness of this folder one entry was saved that is not in the restored records.".to_owned(),
            Some(lost) => format!("By the witness of this folder {lost} entries were saved that are not in the restored records."),
        }
    }
}

/// Restores a backup.
///
/// # Errors
/// One sentence, when it cannot be restored. What was in the folder is then as it was, except where the last step
/// failed: then it is under the other name that the sentence gives.
pub fn restore(wish: &RestoreWish, secret: &UnlockSecret) -> Result<RestoreReport, BackupRefused> {
    if wish.reason.trim().is_empty() {
        return Err(BackupRefused("Give the reason: it stays with the records.".to_owned()));
    }
    let file = BackupFile::open(&wish.file)?;
    let key = secret.unlock(&file.header.slots)?;
    let to = std::path::absolute(&wish.to).map_err(at(&wish.to))?;
    let occupied = look_at_target(&to, wish.move_aside)?;
    let work = work_folder(&to)?;
    let manifest = file.unlock(&key)?.extract(work.path())?;
    let database = give_key(&file, &key, &manifest, work.path(), &to)?;
    let pictures = Pictures::beside(work.path(), database.as_ref());
    let lost = backing_up::put_together(&pictures, work.path(), (&file, &key))?;
    let (erasures, erasures_known) = known_erasures(&file, &key, &to)?;
    let withdrawn = |matter| known_withdrawals(matter, &file, &key, (&to, wish.at));
    let withheld = withdrawn(ConsentMatter::Photographs)?;
    let known = KnownSince { erasures, withheld, withheld_videos: withdrawn(ConsentMatter::Videos)? };
    let (records, named) = records_of(wish, &file, &manifest, work.path(), (known, database.clone()))?;
    let missing = MissingPieces::of((&file, &key), &lost, &named);
    let left_out_list = write_left_out(work.path(), &to, &records.left_out)?;
    let place = witness_of(work.path(), &to)?;
    let witnessed = place.as_ref().map(clinic::witnessed_entries).transpose()?.flatten();
    // The witness of a clinic in which nothing was entered yet knows nothing of this one.
    let witnessed = witnessed.filter(|entries| *entries > 0);
    let witness_folder_missing = Settings::read(work.path())?.witness.filter(|folder| !folder.is_dir());
    let aside = occupied.then(|| move_aside(&to, wish.at)).transpose()?;
    take_place(work, &to, (place.as_ref(), database), aside.as_deref())?;
    Ok(RestoreReport {
        folder: to,
        manifest,
        records,
        witnessed,
        aside,
        erasures_known,
        missing,
        left_out_list,
        witness_folder_missing,
    })
}

/// Gives the restored folder its key: the slots of encrypted records, or those of the backups of others. Returns the
/// key of the records file.
fn give_key(
    file: &BackupFile,
    key: &RecordsKey,
    manifest: &Manifest,
    work: &Path,
    to: &Path,
) -> Result<Option<DatabaseKey>, BackupRefused> {
    let slots = file.header.slots.clone();
    if !manifest.records_encrypted {
        BackupKeys { key: key.clone(), slots }.write(work)?;
        return Ok(None);
    }
    if !CAN_ENCRYPT {
        return Err(BackupRefused(
            "The records in this backup are encrypted, and this build of the program cannot open them: use the program as it is shipped.".to_owned(),
        ));
    }
    crate::kept_file::write_whole(&work.join(SLOTS_FILE), &slots.to_text()?).map_err(at(work))?;
    for folder in [work, to] {
        folder_key::remember(folder, key.clone());
    }
    Ok(Some(folder_key::database_key_of(key)))
}

/// Whether something is in the folder that has to be moved aside.
fn look_at_target(to: &Path, may_move: bool) -> Result<bool, BackupRefused> {
    if !to.exists() {
        return Ok(false);
    }
    let mut inside = fs::read_dir(to).map_err(at(to))?;
    if inside.next().is_none() {
        return Ok(false);
    }
    if to.join(FILE_NAME).exists() {
        ClinicRecords::refuse_if_in_use(to)?;
    }
    if may_move {
        return Ok(true);
    }
    Err(BackupRefused(format!(
        "{} is not empty, and a restore never writes over anything. Name another folder, or have it moved aside with --move-aside.",
        to.display()
    )))
}

/// A folder beside the target, on the same disk. What an earlier restore left when it was stopped is deleted.
fn work_folder(to: &Path) -> Result<TempDir, BackupRefused> {
    let parent = to.parent().ok_or_else(|| BackupRefused("This is no folder for records.".to_owned()))?;
    fs::create_dir_all(parent).map_err(at(parent))?;
    let name = to.file_name().unwrap_or_default().to_string_lossy();
    let prefix = format!("{name}.restoring-");
    for left in fs::read_dir(parent).map_err(at(parent))?.flatten() {
        if left.file_name().to_string_lossy().starts_with(&prefix) {
            fs::remove_dir_all(left.path()).map_err(at(&left.path()))?;
        }
    }
    tempfile::Builder::new().prefix(&prefix).tempdir_in(parent).map_err(at(parent))
}

/// Erasures that are in the list beside the backup or in the records that are there, and whether there was a list.
fn known_erasures(
    file: &BackupFile,
    key: &RecordsKey,
    to: &Path,
) -> Result<(Vec<Erasure>, bool), BackupRefused> {
    let folder = file.path.parent().unwrap_or(Path::new("."));
    let listed = backups::read_erasure_list(folder, &file.header.clinic, key)?;
    let known = listed.is_some() && !backups::has_other_erasure_list(folder, &file.header.clinic, key);
    let of_list =
        |one: KnownErasure| Erasure { entry: one.entry, reason: one.reason, by: one.by, at: one.at };
    let mut erasures: Vec<Erasure> = listed.unwrap_or_default().into_iter().map(of_list).collect();
    let of_records = records_there(to).and_then(|there| there.all_erasures().ok()).unwrap_or_default();
    erasures.extend(of_records);
    let mut seen = std::collections::HashSet::new();
    erasures.retain(|erasure| seen.insert(erasure.entry));
    erasures.sort_by_key(|erasure| erasure.at);
    Ok((erasures, known))
}

/// The records that are in the target. Those that are damaged or of another clinic say nothing.
fn records_there(to: &Path) -> Option<ClinicRecords> {
    let protocol = app::protocol(to).ok()?;
    ClinicRecords::open_for_reading(to, protocol, folder_key::database_key(to).ok()?).ok()
}

/// What happened after the backup and holds in the restored records too.
struct KnownSince {
    erasures: Vec<Erasure>,
    withheld: Vec<WithheldPictures>,
    withheld_videos: Vec<WithheldPictures>,
}

/// Consents to photographs or videos that were taken back, by the list beside the backup or the records that are there.
fn known_withdrawals(
    matter: ConsentMatter,
    file: &BackupFile,
    key: &RecordsKey,
    (to, at): (&Path, Timestamp),
) -> Result<Vec<WithheldPictures>, BackupRefused> {
    let folder = file.path.parent().unwrap_or(Path::new("."));
    let listed = backups::read_withdrawal_list(folder, &file.header.clinic, key)?.unwrap_or_default();
    let of_list = |one: KnownWithdrawal| WithheldPictures { child: one.child, at: one.at };
    let listed = listed.into_iter().filter(|one| one.matter == matter);
    let mut withheld: Vec<WithheldPictures> = listed.map(of_list).collect();
    if let Some(there) = records_there(to) {
        withheld.extend(there.consent_withdrawals(matter, at.day()).unwrap_or_default());
        let pictures = there.pictures_in(to);
        let before = match matter {
            ConsentMatter::Videos => pictures.videos().withheld(),
            _ => pictures.withheld(),
        };
        withheld.extend(before.unwrap_or_default());
    }
    Ok(withheld)
}

/// Makes the records and checks every entry of them. Returns also the photographs and videos that are named in them.
fn records_of(
    wish: &RestoreWish,
    file: &BackupFile,
    manifest: &Manifest,
    work: &Path,
    (known, key): (KnownSince, Option<DatabaseKey>),
) -> Result<(RestoredRecords, NamedMedia), BackupRefused> {
    let until =
        wish.until.map(|until| format!(", as they were on {}", local_words(until))).unwrap_or_default();
    let decision = RecordsDecision {
        kind: DecisionKind::Restored,
        by: None,
        at: wish.at,
        reason: wish.reason.clone(),
        about: format!(
            "Restored from the backup of {}, {}, with {} entries{until}.",
            local_words(manifest.at),
            file.header.file_name(),
            manifest.entries
        ),
    };
    let protocol = app::protocol(work)?;
    let KnownSince { erasures, withheld, withheld_videos } = known;
    let order = RestoreOrder { until: wish.until, erasures, withheld, withheld_videos, decision };
    let how = RecordsOptions { key: key.clone(), ..RecordsOptions::default() };
    let records = clinic::make_restored(work, &protocol, how, &order)?;
    let opened = ClinicRecords::open_for_reading(work, protocol, key)?;
    let report = opened.verify()?;
    match report.faults.first() {
        None => Ok((records, opened.named_media()?)),
        Some(fault) => Err(BackupRefused(format!(
            "Nothing was restored, because the check of the records found {} faults. The first: {} Try an earlier backup.",
            report.faults_count, fault.text
        ))),
    }
}

fn witness_of(work: &Path, to: &Path) -> Result<Option<WitnessPlace>, BackupRefused> {
    let settings = Settings::read(work)?;
    Ok(place::witness_place(to, settings.witness.as_deref()))
}

/// Lists ids and no names: the file is not encrypted.
fn write_left_out(
    work: &Path,
    to: &Path,
    left_out: &[LeftOutEntry],
) -> Result<Option<PathBuf>, BackupRefused> {
    if left_out.is_empty() {
        return Ok(None);
    }
    let mut text = format!("{} entries were left out by a restore to a moment.\n", left_out.len());
    for entry in left_out {
        // Writing to a string does not fail.
        let _ = writeln!(
            text,
            "{}\tentry {}\tchild {}\t{}",
            entry.at.map(|at| at.to_string()).unwrap_or_default(),
            entry.id,
            entry.child,
            entry.kind.as_deref().unwrap_or("erased")
        );
    }
    crate::kept_file::write_whole(&work.join(LEFT_OUT), &text).map_err(at(work))?;
    Ok(Some(to.join(LEFT_OUT)))
}

fn move_aside(to: &Path, now: Timestamp) -> Result<PathBuf, BackupRefused> {
    let stamp: String = now.to_string().chars().filter(|char| char.is_ascii_alphanumeric()).collect();
    let name = to.file_name().unwrap_or_default().to_string_lossy();
    let aside = (1..100)
        .map(|number| if number == 1 { String::new() } else { format!("-{number}") })
        .map(|number| to.with_file_name(format!("{name}.before-restore-{stamp}{number}")))
        .find(|aside| !aside.exists());
    let aside =
        aside.ok_or_else(|| BackupRefused("There is no free name to move the records to.".to_owned()))?;
    fs::rename(to, &aside).map_err(at(to))?;
    Ok(aside)
}

/// The last step. The witness learns of it first: if the program is stopped between, the next start says that the
/// records are gone, and the restore is made again.
fn take_place(
    work: TempDir,
    to: &Path,
    (place, key): (Option<&WitnessPlace>, Option<DatabaseKey>),
    aside: Option<&Path>,
) -> Result<(), BackupRefused> {
    let moved =
        aside.map(|aside| format!(" What was there is now in {}.", aside.display())).unwrap_or_default();
    let failed = |BackupRefused(why)| BackupRefused(format!("{why}{moved}"));
    if let Some(place) = place {
        let how = RecordsOptions { witness: Some(place.clone()), key, ..RecordsOptions::default() };
        let protocol = app::protocol(work.path()).map_err(|failure| failed(failure.into()))?;
        clinic::admit_restored(work.path(), &protocol, how).map_err(|error| failed(error.into()))?;
    }
    sync_folder(work.path()).map_err(|error| failed(at(to)(error)))?;
    if to.exists() {
        fs::remove_dir(to).map_err(|error| failed(at(to)(error)))?;
    }
    fs::rename(work.path(), to).map_err(|error| failed(at(to)(error)))?;
    // It is no longer a folder to be deleted.
    let _ = work.keep();
    to.parent().map_or(Ok(()), sync_folder).map_err(|error| failed(at(to)(error)))
}
