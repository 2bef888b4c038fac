//! `backup`, `drill`, `restore` and `take-back-upgrade`.

use super::{Reading, print, print_json};
use crate::{
    admission::read_secret,
    app,
    backing_up::{self, BackedUpClinic, BackupRefused, DrillOutcome, MadeBackup, MissingPieces},
    cli::{BackupArgs, DataArgs, DrillArgs, RestoreArgs, TakeBackUpgradeArgs},
    clock::{Clock, local_words, moment},
    exit::{Exit, Failure},
    folder_key,
    restoring::{self, RestoreReport, RestoreWish},
    settings::Settings,
};
use clinic::RecordsOptions;
use record::UserId;
use safekeeping::UnlockSecret;
use serde::Serialize;
use std::{
    fmt::Write as _,
    path::{Path, PathBuf},
};
use zeroize::Zeroizing;

/// Children and entries of a list that are printed; more are counted.
const LISTED: usize = 20;

/// The backups that were made, or not.
#[derive(Debug, Serialize)]
struct BackupsMade {
    backups: Vec<BackupMade>,
}

#[derive(Debug, Serialize)]
struct BackupMade {
    folder: String,
    made: bool,
    why_not: Option<String>,
    file: Option<String>,
    bytes: u64,
    entries: usize,
    children: usize,
    mark: Option<String>,
    witness: Option<String>,
    removed: Vec<String>,
    pieces: usize,
    piece_bytes: u64,
    pieces_written: usize,
    left_out: usize,
    #[serde(skip)]
    left_out_words: String,
}

impl BackupMade {
    fn of(folder: &Path, done: &Result<MadeBackup, BackupRefused>) -> Self {
        let made = done.as_ref().ok();
        let state = made.map(|made| &made.state);
        Self {
            folder: folder.display().to_string(),
            made: made.is_some(),
            why_not: done.as_ref().err().map(|BackupRefused(why)| why.clone()),
            file: made.map(|made| made.file.display().to_string()),
            bytes: made.map_or(0, |made| made.bytes),
            entries: state.map_or(0, |state| state.mark.entries),
            children: state.map_or(0, |state| state.children),
            mark: state.map(|state| state.mark.to_string()),
            witness: state.and_then(|state| state.witness.as_ref()).map(ToString::to_string),
            removed: made.map(|made| made.removed.clone()).unwrap_or_default(),
            pieces: made.map_or(0, |made| made.pieces),
            piece_bytes: made.map_or(0, |made| made.piece_bytes),
            pieces_written: made.map_or(0, |made| made.pieces_written),
            left_out: made.map_or(0, |made| made.left_out),
            left_out_words: made.map(MadeBackup::left_out_words).unwrap_or_default(),
        }
    }
}

impl BackupMade {
    /// What lies beside the backup, one sentence; empty for a clinic without photographs and videos.
    fn pieces_words(&self) -> String {
        let beside = match self.pieces {
            0 => String::new(),
            1 => format!(
                " 1 photograph or piece of a video is sealed beside it, {} of them new.",
                self.pieces_written
            ),
            more => format!(
                " {more} photographs and pieces of videos are sealed beside it, {} of them new.",
                self.pieces_written
            ),
        };
        if self.left_out == 0 { beside } else { format!("{beside} {}", self.left_out_words) }
    }
}

impl BackupsMade {
    fn text(&self) -> String {
        let mut text = String::new();
        for one in &self.backups {
            // Writing to a string does not fail.
            let _ = match (&one.file, &one.why_not) {
                (Some(file), _) => writeln!(
                    text,
                    "{file}: {} entries of {} children, read back and checked. The log ends with {}{}.{}{}",
                    one.entries,
                    one.children,
                    one.mark.as_deref().unwrap_or_default(),
                    one.witness.as_ref().map(|head| format!("; witness {head}")).unwrap_or_default(),
                    match one.removed.len() {
                        0 => String::new(),
                        1 => " One earlier backup was deleted by the rule.".to_owned(),
                        more => format!(" {more} earlier backups were deleted by the rule."),
                    },
                    one.pieces_words()
                ),
                (None, why) => {
                    writeln!(
                        text,
                        "{}: no backup was made. {}",
                        one.folder,
                        why.as_deref().unwrap_or_default()
                    )
                }
            };
        }
        text
    }
}

/// The folder of the records with what makes and tries backups of it.
fn with_clinic<T>(
    data: &DataArgs,
    by: Option<UserId>,
    run: impl FnOnce(&BackedUpClinic<'_>, &Settings) -> Result<T, BackupRefused>,
) -> Result<T, Failure> {
    let (dir, reading) = (data.dir()?, Reading::open(data)?);
    let by = match by {
        Some(by) => reading.records.accounts().account(by)?.map(|account| account.display_name),
        None => None,
    };
    let by = by.unwrap_or_else(|| "a command".to_owned());
    let clinic = BackedUpClinic { dir: &dir, records: &reading.records, clock: reading.clock, by };
    run(&clinic, &Settings::read(&dir)?).map_err(failed)
}

fn failed(BackupRefused(why): BackupRefused) -> Failure {
    Failure::failed(why)
}

/// Makes backups.
///
/// # Errors
/// When one could not be made, after all are printed.
pub fn backup(args: &BackupArgs, by: Option<UserId>) -> Result<(), Failure> {
    let done = with_clinic(&args.signed.data, by, |clinic, settings| match &args.to {
        Some(folder) => {
            let folder = whole(folder);
            let made = backing_up::make(clinic, &folder);
            Ok(vec![(folder, made)])
        }
        None => backing_up::make_in_all(clinic, settings),
    })?;
    let result =
        BackupsMade { backups: done.iter().map(|(folder, done)| BackupMade::of(folder, done)).collect() };
    if args.json {
        print_json(&result)?
    } else {
        print(&result.text())?
    }
    match done.iter().find_map(|(_, done)| done.as_ref().err()) {
        None => Ok(()),
        Some(BackupRefused(why)) => Err(Failure::failed(why.clone())),
    }
}

fn whole(folder: &Path) -> PathBuf {
    std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned())
}

/// The drills.
#[derive(Debug, Serialize)]
struct Drills {
    drills: Vec<DrillResult>,
}

#[derive(Debug, Serialize)]
struct DrillResult {
    folder: String,
    file: String,
    passed: bool,
    made: Option<String>,
    entries: usize,
    saved_since: usize,
    erased_since: usize,
    kinds: Vec<KindInBackup>,
    summaries_compared: usize,
    seal_compared: bool,
    files_changed_since: Vec<String>,
    photographs: Vec<String>,
    wrong: Vec<String>,
    words: String,
}

#[derive(Debug, Serialize)]
struct KindInBackup {
    kind: String,
    entries: usize,
}

impl DrillResult {
    fn of(outcome: &DrillOutcome) -> Self {
        let compared = outcome.compared.clone().unwrap_or_default();
        Self {
            folder: outcome.folder.display().to_string(),
            file: outcome.file.clone(),
            passed: outcome.passed(),
            made: outcome.manifest.as_ref().map(|manifest| manifest.at.to_string()),
            entries: compared.entries,
            saved_since: compared.saved_since,
            erased_since: compared.erased_since,
            kinds: compared.kinds.into_iter().map(|(kind, entries)| KindInBackup { kind, entries }).collect(),
            summaries_compared: compared.summaries,
            seal_compared: compared.seal_judged,
            files_changed_since: outcome.files_changed_since.clone(),
            photographs: outcome.photographs.clone(),
            wrong: outcome.wrong.clone(),
            words: outcome.words(),
        }
    }

    fn text(&self) -> String {
        let mut text = format!("{}: {}\n", if self.passed { "Passed" } else { "FAILED" }, self.words);
        if !self.file.is_empty() {
            text.push_str(&format!("The backup: {}, in {}\n", self.file, self.folder));
        }
        for fault in &self.photographs {
            text.push_str(&format!("- {fault}\n"));
        }
        if !self.files_changed_since.is_empty() {
            text.push_str(&format!(
                "Changed since the backup: {}. Their histories say by whom.\n",
                self.files_changed_since.join(", ")
            ));
        }
        text
    }
}

/// Tries the newest backup of each folder.
///
/// # Errors
/// When something is wrong with one, after all are printed.
pub fn drill(args: &DrillArgs, by: Option<UserId>) -> Result<(), Failure> {
    let outcomes = with_clinic(&args.signed.data, by, |clinic, settings| match &args.of {
        Some(folder) => backing_up::drill(clinic, &whole(folder)).map(|outcome| vec![outcome]),
        None => backing_up::drill_all(clinic, settings),
    })?;
    let result = Drills { drills: outcomes.iter().map(DrillResult::of).collect() };
    if args.json {
        print_json(&result)?
    } else {
        print(&result.drills.iter().map(DrillResult::text).collect::<String>())?
    }
    if result.drills.iter().all(|drill| drill.passed) {
        return Ok(());
    }
    Err(Failure {
        exit: Exit::Damaged,
        sentence: "A backup could not take the place of the records as they were. Make a new one and try it."
            .to_owned(),
    })
}

/// A restore.
#[derive(Debug, Serialize)]
struct RestoreResult {
    folder: String,
    file: String,
    made: String,
    entries: usize,
    entries_in_backup: usize,
    left_out: usize,
    left_out_list: Option<String>,
    erased_again: usize,
    erasures_known: bool,
    photographs_missing: usize,
    video_pieces_missing: usize,
    entries_lost_by_witness: Option<usize>,
    moved_aside: Option<String>,
    mark: String,
    witness: Option<String>,
    files: Vec<String>,
    words: Vec<String>,
}

impl RestoreResult {
    fn of(report: &RestoreReport, file: &Path) -> Self {
        let manifest = &report.manifest;
        let lost = report.witnessed.map(|witnessed| witnessed.saturating_sub(report.records.entries));
        Self {
            folder: report.folder.display().to_string(),
            file: file.display().to_string(),
            made: manifest.at.to_string(),
            entries: report.records.entries,
            entries_in_backup: manifest.entries,
            left_out: report.records.left_out.len(),
            left_out_list: report.left_out_list.as_ref().map(|list| list.display().to_string()),
            erased_again: report.records.erased_again,
            erasures_known: report.erasures_known,
            photographs_missing: report.missing.as_ref().map_or(0, |missing| missing.photographs),
            video_pieces_missing: report.missing.as_ref().map_or(0, |missing| missing.video_pieces),
            entries_lost_by_witness: lost,
            moved_aside: report.aside.as_ref().map(|aside| aside.display().to_string()),
            mark: format!("{} at entry {}", manifest.mark, manifest.entries),
            witness: manifest.witness.as_ref().map(|(number, digits)| format!("{digits} at line {number}")),
            files: manifest.files.iter().map(|file| file.name.clone()).collect(),
            words: words(report),
        }
    }
}

/// What a person has to know, one sentence each.
fn words(report: &RestoreReport) -> Vec<String> {
    let manifest = &report.manifest;
    let mut words = vec![format!(
        "{} entries were restored into {} from the backup of {}. Every one was checked.",
        report.records.entries,
        report.folder.display(),
        local_words(manifest.at)
    )];
    let left_out = report.records.left_out.len();
    if let Some(list) = report.left_out_list.as_ref().filter(|_| left_out > 0) {
        words.push(format!(
            "{left_out} entries were left out because of the moment; {} lists them.",
            list.display()
        ));
    }
    words.push(report.lost_sentence());
    if report.records.erased_again > 0 {
        words.push(format!(
            "{} entries that were erased after the backup were erased again.",
            report.records.erased_again
        ));
    }
    if !report.erasures_known {
        words.push("There is no list of all erasures beside the backup: whether something was erased after it cannot be told.".to_owned());
    }
    words.extend(report.missing.as_ref().map(MissingPieces::restored_words));
    if let Some(aside) = &report.aside {
        words.push(format!("What was in the folder before is in {}.", aside.display()));
    }
    if let Some(folder) = &report.witness_folder_missing {
        words.push(format!(
            "The settings name {} for the witness, and it is not there: connect that disk, or remove the line “witness” from clinic.toml, before the first start.",
            folder.display()
        ));
    }
    words.push("Everybody signs in again. Start the program, and make a backup.".to_owned());
    words
}

/// Restores a backup.
///
/// # Errors
/// When it cannot be restored.
pub fn restore(args: &RestoreArgs) -> Result<(), Failure> {
    let until = match &args.until {
        Some(text) => Some(moment(text).ok_or_else(|| {
            Failure::usage(format!(
                "“{text}” is no moment: write a day and a time, such as \"2026-03-01 14:00\"."
            ))
        })?),
        None => None,
    };
    let secret = secret(args)?;
    let wish = RestoreWish {
        file: whole(&args.file),
        to: args.to.clone(),
        until,
        move_aside: args.move_aside,
        reason: args.reason.clone(),
        at: Clock::new(args.today).now(),
    };
    let report = restoring::restore(&wish, &secret).map_err(failed)?;
    let result = RestoreResult::of(&report, &wish.file);
    if args.json {
        return print_json(&result);
    }
    let mut text = result.words.join("\n");
    text.push('\n');
    for entry in report.records.left_out.iter().take(LISTED) {
        // Writing to a string does not fail.
        let _ = writeln!(
            text,
            "- left out: {} of child {}, {}",
            entry.kind.as_deref().unwrap_or("an erased entry"),
            entry.child,
            entry.at.map(local_words).unwrap_or_default()
        );
    }
    print(&text)
}

fn secret(args: &RestoreArgs) -> Result<UnlockSecret, Failure> {
    let refused = |error: safekeeping::SafekeepingError| Failure::failed(error.to_string());
    if let Some(path) = &args.key_file {
        let text = std::fs::read_to_string(path)
            .map_err(|error| Failure::failed(format!("{} cannot be read: {error}.", path.display())))?;
        return Zeroizing::new(text).parse().map(UnlockSecret::KeyFile).map_err(refused);
    }
    let typed = read_secret("Passphrase or recovery code: ", args.passphrase_stdin);
    let typed = Zeroizing::new(typed.map_err(|failure| match failure.exit {
        Exit::NotAllowed => Failure::failed("No passphrase and no recovery code was given."),
        _ => failure,
    })?);
    UnlockSecret::typed(&typed, None).map_err(refused)
}

/// Puts back the records as they were before the last upgrade.
///
/// # Errors
/// When something was saved since, or there is no copy.
pub fn take_back_upgrade(args: &TakeBackUpgradeArgs) -> Result<(), Failure> {
    let dir = args.signed.data.dir()?;
    let (witness, key) = (app::witness_of(&dir)?, folder_key::database_key(&dir)?);
    let how = RecordsOptions { witness, key, ..RecordsOptions::default() };
    let now = Clock::new(args.signed.data.today).now();
    let back = clinic::take_back_upgrade(&dir, &app::protocol(&dir)?, how, now)?;
    print(&format!(
        "The records are again those from before the upgrade (layout {}, {} entries). Start the earlier version of the program now; this one would bring them up to date again.\nThe records that were brought up to date are in {} until the next upgrade.\n",
        back.layout,
        back.entries,
        back.aside.display()
    ))
}
