//! Makes a backup: a consistent copy of the records beside them, then the encrypted file in its place, read back from
//! there and checked before it counts. Photographs and videos are sealed piece by piece beside it, once each.

use super::{
    BackedUpClinic, BackupAct, BackupEvent, BackupEvents, BackupKeys, BackupRefused, at,
    contents::own_files,
    pieces::{self, SealedMedia},
    work_folder::OnlyOne,
};
use crate::settings::Settings;
use backups::{
    BackedUpPiece, BackedUpSite, BackupError, BackupFile, BackupHeader, BackupSource, KnownErasure,
    KnownWithdrawal, Manifest,
};
use clinic::{ACCESS_FILE, ACCESS_KEY_FILE, ClinicRecords, FILE_NAME, RecordsState};
use record::{ConsentMatter, Day, SiteId, Timestamp};
use std::path::{Path, PathBuf};

/// Attempts, where somebody changes a setting while it is read.
const TRIES: u32 = 3;

/// A backup that was made, read back and checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MadeBackup {
    /// The file.
    pub file: PathBuf,
    /// The state of the records in it.
    pub state: RecordsState,
    /// Its length.
    pub bytes: u64,
    /// Earlier backups that were deleted by the rule.
    pub removed: Vec<String>,
    /// Photographs and pieces of videos that it lists, which lie beside it.
    pub pieces: usize,
    /// Their length, sealed, bytes.
    pub piece_bytes: u64,
    /// Pieces that were not there yet.
    pub pieces_written: usize,
    /// Photographs and videos that are not in it, because they are not as they were written.
    pub left_out: usize,
}

impl MadeBackup {
    /// Its end of the log and the head of the witness in words.
    #[must_use]
    pub fn receipt(&self) -> String {
        let witness = self.state.witness.as_ref().map(|head| format!("; witness {head}")).unwrap_or_default();
        format!("{}{witness}", self.state.mark)
    }

    /// What is not in it though an entry names it, one sentence; empty where that is nothing.
    #[must_use]
    pub fn left_out_words(&self) -> String {
        let what = match self.left_out {
            0 => return String::new(),
            1 => "1 photograph or video is not in it, because it is not as it was written".to_owned(),
            more => format!(
                "{more} photographs or videos are not in it, because they are not as they were written"
            ),
        };
        format!("{what}. Run “plantigrade verify”, which says whose.")
    }
}

/// Makes a backup in a folder, deletes those that the rule no longer keeps there, and notes the result.
///
/// # Errors
/// One sentence, when there is no backup. The earlier ones are then as they were.
pub fn make(clinic: &BackedUpClinic<'_>, folder: &Path) -> Result<MadeBackup, BackupRefused> {
    let done = try_to_make(clinic, folder);
    let mut event = BackupEvent {
        at: clinic.clock.now(),
        act: BackupAct::Failed,
        folder: folder.to_owned(),
        file: String::new(),
        entries: 0,
        children: 0,
        pieces: 0,
        piece_bytes: 0,
        mark: String::new(),
        witness: None,
        by: clinic.by.clone(),
        result: String::new(),
    };
    match &done {
        Ok(made) => {
            event.act = BackupAct::Made;
            event.file = made.file.file_name().unwrap_or_default().to_string_lossy().into_owned();
            (event.entries, event.children) = (made.state.mark.entries, made.state.children);
            event.mark = made.state.mark.to_string();
            event.witness = made.state.witness.as_ref().map(ToString::to_string);
            (event.pieces, event.piece_bytes) = (made.pieces, made.piece_bytes);
            event.result = "read back and checked entry by entry".to_owned();
            if made.left_out > 0 {
                event.result.push_str(&format!("; {}", made.left_out_words()));
            }
        }
        Err(BackupRefused(why)) => event.result.clone_from(why),
    }
    if let Err(error) = BackupEvents::add(clinic.dir, &event) {
        tracing::error!("what became of a backup cannot be noted: {error}");
    }
    done
}

/// What became of the backup in a folder.
pub type FolderBackup = (PathBuf, Result<MadeBackup, BackupRefused>);

/// Makes a backup in every folder of the settings.
///
/// # Errors
/// Where no folder is set.
pub fn make_in_all(
    clinic: &BackedUpClinic<'_>,
    settings: &Settings,
) -> Result<Vec<FolderBackup>, BackupRefused> {
    if settings.backups.folders.is_empty() {
        return Err(BackupRefused(
            "No folder for backups is set: a lead sets one on the page “Backups”.".to_owned(),
        ));
    }
    Ok(settings.backups.folders.iter().map(|folder| (folder.clone(), make(clinic, folder))).collect())
}

fn try_to_make(clinic: &BackedUpClinic<'_>, folder: &Path) -> Result<MadeBackup, BackupRefused> {
    let only = OnlyOne::of(clinic.dir)?;
    let keys = BackupKeys::needed(clinic.dir)?;
    let settings = Settings::read(clinic.dir)?;
    super::checked_folder(clinic.dir, folder).map_err(BackupRefused)?;
    let begun = clinic.clock.now();
    let work = only.folder(clinic.dir)?;
    let mut sources = copies(clinic, work.path())?;
    let state = state_of(work.path(), clinic.records)?;
    let site = clinic
        .records
        .own_site()?
        .ok_or_else(|| BackupRefused("The records are empty: there is nothing to back up yet.".to_owned()))?;
    let media = pieces::seal(clinic, &keys, folder, (site, work.path()))?;
    sources.extend(media.index.clone());
    sources.extend(own_files(clinic.dir).map_err(at(clinic.dir))?);
    let written = written(clinic.records, folder, &keys, (&sources, &media.pieces), (begun, site, &state))?;
    // Makes room for what is read back.
    drop(work);
    let again = only.folder(clinic.dir)?;
    BackupFile::open(written.path())?.unlock(&keys.key)?.extract(again.path())?;
    let read_back = checked(again.path(), clinic.records)?;
    if read_back != state {
        return Err(BackupRefused(
            "The backup was deleted, because reading it back gave other records than were written."
                .to_owned(),
        ));
    }
    drop(again);
    let file = written.finish()?;
    let bytes = std::fs::metadata(&file).map_err(at(&file))?.len();
    give_erasures(clinic.records, &keys, folder, site)?;
    give_withdrawals(clinic.records, &keys, folder, (site, clinic.clock.today()))?;
    let removed = remove_superfluous(folder, site, &settings, clinic.clock.now());
    remove_unlisted(folder, site, &keys, &media);
    let (pieces, pieces_written, left_out) = (media.pieces.len(), media.written, media.left_out);
    let piece_bytes = media.pieces.iter().map(|piece| piece.bytes).sum();
    Ok(MadeBackup { file, state, bytes, removed, pieces, piece_bytes, pieces_written, left_out })
}

/// Pieces that cannot be removed are tried again with the next backup.
fn remove_unlisted(folder: &Path, site: SiteId, keys: &BackupKeys, media: &SealedMedia) {
    match pieces::remove_unlisted(folder, site, keys, &media.pieces) {
        Ok(0) => {}
        Ok(removed) => {
            tracing::info!("{removed} photographs and pieces of videos that no backup lists were removed")
        }
        Err(BackupRefused(why)) => tracing::warn!(
            "photographs and videos that no backup lists may remain beside the backups, because not every list could be read: {why}"
        ),
    }
}

/// Consistent copies of the records and, after them, of the access log, so that the log has every row that the records
/// know of.
fn copies(clinic: &BackedUpClinic<'_>, work: &Path) -> Result<Vec<BackupSource>, BackupRefused> {
    clinic.records.back_up(&work.join(FILE_NAME))?;
    clinic.records.access_log_beside().copy_to(work)?;
    let of = |name: &str| BackupSource { name: name.to_owned(), path: work.join(name) };
    let files = [FILE_NAME, ACCESS_FILE, ACCESS_KEY_FILE].map(of);
    Ok(files.into_iter().filter(|file| file.path.is_file()).collect())
}

fn state_of(work: &Path, live: &ClinicRecords) -> Result<RecordsState, BackupRefused> {
    Ok(live.open_copy_for_reading(work)?.state()?)
}

/// The state of a copy that was checked entry by entry.
fn checked(work: &Path, live: &ClinicRecords) -> Result<RecordsState, BackupRefused> {
    let copy = live.open_copy_for_reading(work)?;
    let report = copy.verify()?;
    match report.faults.first() {
        None => Ok(copy.state()?),
        Some(fault) => Err(BackupRefused(format!(
            "The backup was deleted, because the check of it found {} faults. The first: {} Run “plantigrade verify” on the records.",
            report.faults_count, fault.text
        ))),
    }
}

fn written(
    records: &ClinicRecords,
    folder: &Path,
    keys: &BackupKeys,
    (sources, pieces): (&[BackupSource], &[BackedUpPiece]),
    (begun, site, state): (Timestamp, SiteId, &RecordsState),
) -> Result<backups::UnfinishedBackup, BackupRefused> {
    let header = BackupHeader::new(begun, site, state.mark.entries, state.layout, keys.slots.clone());
    let beside = || backups::pieces_folder_name(&backups::clinic_id(site), &keys.key);
    let header = header.with_pieces((!pieces.is_empty()).then(beside));
    if folder.join(header.file_name()).exists() {
        return Err(BackupRefused("A backup was made in this very second: there it is.".to_owned()));
    }
    let encrypted = records.key().is_some();
    let manifest = Manifest {
        header: String::new(),
        program: env!("CARGO_PKG_VERSION").to_owned(),
        at: begun,
        records_encrypted: encrypted,
        entries: state.mark.entries,
        children: state.children,
        mark: state.mark.digits.clone(),
        sites: state
            .sites
            .iter()
            .map(|chain| BackedUpSite { site: chain.site, entries: chain.entries, head: chain.head.clone() })
            .collect(),
        witness: state.witness.as_ref().map(|head| (head.number, head.digits.clone())),
        written: state.written,
        files: Vec::new(),
        pieces: pieces.to_vec(),
    };
    for _ in 1..TRIES {
        match backups::write(folder, &header, manifest.clone(), &keys.key, sources) {
            Err(BackupError::Changed(path)) => tracing::info!("{} was changed meanwhile", path.display()),
            other => return Ok(other?),
        }
    }
    Ok(backups::write(folder, &header, manifest, &keys.key, sources)?)
}

/// Has the list of erasures beside the backups know every erasure.
fn give_erasures(
    records: &ClinicRecords,
    keys: &BackupKeys,
    folder: &Path,
    site: SiteId,
) -> Result<(), BackupRefused> {
    let erasures: Vec<KnownErasure> = records
        .all_erasures()?
        .into_iter()
        .map(|one| KnownErasure { entry: one.entry, by: one.by, at: one.at, reason: one.reason })
        .collect();
    backups::write_erasure_list(folder, &backups::clinic_id(site), &keys.key, &erasures)?;
    Ok(())
}

/// Has the list of consents taken back beside the backups know every one.
fn give_withdrawals(
    records: &ClinicRecords,
    keys: &BackupKeys,
    folder: &Path,
    (site, today): (SiteId, Day),
) -> Result<(), BackupRefused> {
    let mut withdrawals = Vec::new();
    for matter in [ConsentMatter::Photographs, ConsentMatter::Videos] {
        let taken_back = records.consent_withdrawals(matter, today)?.into_iter();
        withdrawals.extend(taken_back.map(|one| KnownWithdrawal { child: one.child, at: one.at, matter }));
    }
    backups::write_withdrawal_list(folder, &backups::clinic_id(site), &keys.key, &withdrawals)?;
    Ok(())
}

/// Has the lists of consents taken back in all folders know of the latest at once. A folder that is away gets it with
/// the next backup.
pub fn give_withdrawals_to(dir: &Path, records: &ClinicRecords, settings: &Settings, today: Day) {
    let given = |folder: &Path| -> Result<(), BackupRefused> {
        let (Some(keys), Some(site)) = (BackupKeys::of(dir)?, records.own_site()?) else { return Ok(()) };
        give_withdrawals(records, &keys, folder, (site, today))
    };
    for folder in &settings.backups.folders {
        if let Err(BackupRefused(why)) = given(folder) {
            tracing::warn!(
                "the list of withdrawals in {} was not brought up to date: {why}",
                folder.display()
            );
        }
    }
}

/// Has the lists of erasures in all folders know of the latest erasure at once. A folder that is away gets it with the
/// next backup.
pub fn give_erasures_to(dir: &Path, records: &ClinicRecords, settings: &Settings) {
    let given = |folder: &Path| -> Result<(), BackupRefused> {
        let (Some(keys), Some(site)) = (BackupKeys::of(dir)?, records.own_site()?) else { return Ok(()) };
        give_erasures(records, &keys, folder, site)
    };
    for folder in &settings.backups.folders {
        if let Err(BackupRefused(why)) = given(folder) {
            tracing::warn!("the list of erasures in {} was not brought up to date: {why}", folder.display());
        }
    }
}

/// Deletes what the rule no longer keeps. What cannot be deleted is tried again with the next backup.
fn remove_superfluous(folder: &Path, site: SiteId, settings: &Settings, now: Timestamp) -> Vec<String> {
    let found = backups::list(folder, Some(&backups::clinic_id(site))).unwrap_or_default();
    let good: Vec<BackupFile> = found.into_iter().filter_map(|found| found.file.ok()).collect();
    let made: Vec<Timestamp> = good.iter().map(|file| file.header.at).collect();
    let mut removed = Vec::new();
    for place in settings.backups.retention().superfluous(&made, now) {
        let Some(file) = good.get(place) else { continue };
        match file.remove() {
            Ok(()) => removed.push(file.header.file_name()),
            Err(error) => tracing::warn!("an earlier backup could not be deleted: {error}"),
        }
    }
    removed
}
