//! Backups: their state, setting them up, and making and trying one now.

use crate::{
    app::App,
    auth::judge_password,
    backing_up::{
        self, BackedUpClinic, BackupAct, BackupEvent, BackupEvents, BackupKeys, BackupRefused, DrillOutcome,
        FolderBackup,
    },
    backup_settings::BackupSettings,
    clock::local_words,
    setting_changes::{self, ChangeOutcome},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use backups::FoundBackup;
use pages::{
    BackupPlace, BackupRow, BackupsView, ErasedHolder, Frame, Here, Message,
    fields::{FieldError, Filled, backups as names},
};
use record::Timestamp;
use safekeeping::RecoveryCode;
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// Backups of a folder that are listed.
const LISTED: usize = 40;
const DRILLS: [BackupAct; 2] = [BackupAct::DrillPassed, BackupAct::DrillFailed];

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct BackupsQuery {
    done: Option<String>,
}

/// The forms of the page as they were sent.
#[derive(Default)]
struct SentBackupForms {
    passphrase: Filled,
    settings: Option<Filled>,
    message: Option<Message>,
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<BackupsQuery>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Settings);
    let message = asked.done.as_deref().and_then(message);
    let sent = SentBackupForms { message, ..SentBackupForms::default() };
    shown(work(&app, move |app| drawn(app, frame, sent)).await?)
}

fn message(done: &str) -> Option<Message> {
    Some(match done {
        "made" => Message::Done("The backup is written, read back and checked entry by entry.".to_owned()),
        "tried" => Message::Done("The newest backup was opened and equals the records.".to_owned()),
        "passphrase" => Message::Done("The new passphrase opens every backup from now on.".to_owned()),
        "saved" => Message::Done("Saved. The next backup is made by this.".to_owned()),
        "same" => Message::Note("Nothing differs from what was saved before.".to_owned()),
        _ => return None,
    })
}

/// Chooses a passphrase: the first, after which the recovery code is shown, or another.
pub async fn passphrase(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::Settings);
    let own = visitor.who.as_ref().map(|who| who.name.clone()).unwrap_or_default();
    let done = work(&app, move |app| {
        let (first, second) = (filled.value(names::PASSPHRASE), filled.value(names::PASSPHRASE_AGAIN));
        let clinic = app.settings().name.clone();
        let wrong = match judge_password(&[&own, &clinic], first, second) {
            Ok(()) => match backing_up::set_up(&app.dir, first.trim()) {
                Ok(code) => return Ok(Ok(code.map(|code| code_page(app, &frame, &code)))),
                Err(BackupRefused(why)) => why,
            },
            Err(error) => error.to_string().replace("password", "passphrase"),
        };
        // What was typed is not shown again.
        let sent = Filled::default().wrong(names::PASSPHRASE, wrong);
        drawn(app, frame, SentBackupForms { passphrase: sent, ..SentBackupForms::default() }).map(Err)
    });
    match done.await? {
        Ok(Some(code)) => shown(code),
        Ok(None) => to("/backups?done=passphrase"),
        Err(form) => again(form),
    }
}

/// Makes a new recovery code and shows it once.
pub async fn recovery_code(State(app): State<Shared>, visitor: Visitor, Posted(_): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::Settings);
    let made = work(&app, move |app| {
        let code = BackupKeys::needed(&app.dir).and_then(|mut keys| keys.new_recovery_code(&app.dir));
        match code {
            Ok(code) => Ok(Ok(code_page(app, &frame, &code))),
            Err(refused) => failed(app, frame, refused).map(Err),
        }
    });
    made.await?.map_or_else(again, shown)
}

fn code_page(app: &App, frame: &Frame, code: &RecoveryCode) -> maud::Markup {
    pages::backup_code(frame, &app.settings().name, &code.groups(), &local_words(app.clock.now()))
}

/// Saves where, when and for how long.
pub async fn save(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Settings));
    let done = work(&app, move |app| {
        let read = match read_settings(app, &filled) {
            Ok(read) => read,
            Err(errors) => return wrong_settings(app, frame, Filled { errors, ..filled }).map(Err),
        };
        let outcome = setting_changes::change(app, by, None, |settings| {
            settings.backups = read;
            settings.backups.check()
        })?;
        match outcome {
            ChangeOutcome::Saved => Ok(Ok("/backups?done=saved")),
            ChangeOutcome::Same => Ok(Ok("/backups?done=same")),
            ChangeOutcome::Refused(text) | ChangeOutcome::Newer(text) => {
                wrong_settings(app, frame, filled.wrong(names::FOLDERS[0], text)).map(Err)
            }
        }
    });
    done.await?.map_or_else(again, to)
}

fn wrong_settings(app: &App, frame: Frame, filled: Filled) -> Result<maud::Markup, Fail> {
    drawn(app, frame, SentBackupForms { settings: Some(filled), ..SentBackupForms::default() })
}

/// Makes a backup in every folder that is there.
pub async fn make(State(app): State<Shared>, visitor: Visitor, Posted(_): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::Settings);
    let by = visitor.who.as_ref().map(|who| who.name.clone()).unwrap_or_default();
    let done = work(&app, move |app| {
        let made = backing_up::make_in_all(&clinic_of(app, by), &app.settings());
        app.forget_backup_state();
        let refused = match made {
            Ok(made) => {
                let of = |(folder, made): FolderBackup| (folder, made.map(|_| "a backup was made"));
                told_of(made.into_iter().map(of).collect())
            }
            Err(refused) => Some(refused),
        };
        refused.map(|refused| failed(app, frame, refused)).transpose()
    });
    done.await?.map_or_else(|| to("/backups?done=made"), again)
}

/// Tries the newest backup of every folder.
pub async fn drill(State(app): State<Shared>, visitor: Visitor, Posted(_): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::Settings);
    let by = visitor.who.as_ref().map(|who| who.name.clone()).unwrap_or_default();
    let done = work(&app, move |app| {
        let tried = backing_up::drill_all(&clinic_of(app, by), &app.settings());
        app.forget_backup_state();
        let refused = match tried {
            Ok(tried) => {
                let result = |outcome: &DrillOutcome| match outcome.passed() {
                    true => Ok("the newest backup equals the records"),
                    false => Err(BackupRefused(outcome.words())),
                };
                told_of(tried.iter().map(|outcome| (outcome.folder.clone(), result(outcome))).collect())
            }
            Err(refused) => Some(refused),
        };
        refused.map(|refused| failed(app, frame, refused)).transpose()
    });
    done.await?.map_or_else(|| to("/backups?done=tried"), again)
}

/// What became of each folder, where something failed in one of them.
fn told_of(folders: Vec<(PathBuf, Result<&str, BackupRefused>)>) -> Option<BackupRefused> {
    if folders.iter().all(|(_, done)| done.is_ok()) {
        return None;
    }
    let words = folders.into_iter().map(|(folder, done)| match done {
        Ok(done) => format!("{}: {done}.", folder.display()),
        Err(why) => format!("{}: {why}", folder.display()),
    });
    Some(BackupRefused(words.collect::<Vec<_>>().join(" ")))
}

fn clinic_of(app: &App, by: String) -> BackedUpClinic<'_> {
    BackedUpClinic { dir: &app.dir, records: &app.records, clock: app.clock, by }
}

fn failed(app: &App, frame: Frame, BackupRefused(why): BackupRefused) -> Result<maud::Markup, Fail> {
    let message = Some(Message::Warning(why));
    drawn(app, frame, SentBackupForms { message, ..SentBackupForms::default() })
}

fn drawn(app: &App, mut frame: Frame, sent: SentBackupForms) -> Result<maud::Markup, Fail> {
    frame.message = sent.message;
    let events =
        BackupEvents::read(&app.dir).map_err(|error| Fail::fault(&format!("the backups: {error}")))?;
    let settings = app.settings();
    let clinic = backups::clinic_id(app.site);
    let erased = app.records.all_erasures()?.iter().map(|erasure| erasure.at).max();
    let found = |folder: &Path| backups::list(folder, Some(&clinic)).unwrap_or_default();
    let folders = settings.backups.folders.iter();
    let places = folders.map(|folder| place(app, &events, folder, &found(folder))).collect();
    let keys = BackupKeys::of(&app.dir);
    let view = BackupsView {
        has_key: keys.as_ref().is_ok_and(Option::is_some),
        key_trouble: keys.err().map(|BackupRefused(why)| why),
        trouble: app.backup_trouble_words(),
        places,
        rule: rule_words(&settings.backups),
        holding_erased: erased.map(|erased| holders(app, erased)).unwrap_or_default(),
        records: app.dir.display().to_string(),
        invented: app.mode.invented,
        passphrase: sent.passphrase,
        settings: sent.settings.unwrap_or_else(|| filled_with(&settings.backups)),
    };
    Ok(pages::backups(&frame, &view))
}

/// The backups that were made before a moment, and so still have what was erased then.
pub(super) fn holders(app: &App, erased: Timestamp) -> Vec<ErasedHolder> {
    let settings = app.settings();
    let found = settings
        .backups
        .folders
        .iter()
        .filter_map(|folder| backups::list(folder, Some(&backups::clinic_id(app.site))).ok());
    let files = found.flatten().filter_map(|found| found.file.ok());
    let before = files.filter(|file| file.header.at <= erased);
    let holder = |file: backups::BackupFile| ErasedHolder {
        until: settings.backups.retention().gone_by(file.header.at).day().words(),
        file: file.path.display().to_string(),
    };
    before.map(holder).collect()
}

fn rule_words(settings: &BackupSettings) -> String {
    let every = match settings.every_hours {
        1 => "every hour".to_owned(),
        24 => "once a day".to_owned(),
        hours => format!("every {hours} hours"),
    };
    match settings.not_before_hour {
        Some(hour) => format!("{every}, not before {hour}:00"),
        None => every,
    }
}

fn place(app: &App, events: &BackupEvents, folder: &Path, found: &[FoundBackup]) -> BackupPlace {
    let away = backing_up::checked_folder(&app.dir, folder).err();
    let same = away.is_none() && backing_up::same_disk(&app.dir, folder) == Some(true);
    let failed = events
        .last_in(folder, &[BackupAct::Made, BackupAct::Failed])
        .filter(|event| event.act == BackupAct::Failed)
        .map(|event| (local_words(event.at), event.result.clone()));
    let drill = events
        .last_in(folder, &DRILLS)
        .map(|event| (local_words(event.at), event.act == BackupAct::DrillPassed, event.result.clone()));
    BackupPlace {
        folder: folder.display().to_string(),
        away,
        warning: same.then(|| {
            "This folder is on the same disk as the records: what destroys that disk takes the backups along. Add a folder on another disk.".to_owned()
        }),
        failed,
        drill,
        backups: found.iter().take(LISTED).map(|found| row(events, found)).collect(),
        pieces: events
            .last_in(folder, &[BackupAct::Made])
            .filter(|made| made.pieces > 0)
            .map(|made| (made.pieces, size_words(made.piece_bytes))),
    }
}

fn row(events: &BackupEvents, found: &FoundBackup) -> BackupRow {
    let size = size_words(found.bytes);
    let file = match &found.file {
        Ok(file) => file,
        Err(error) => {
            return BackupRow {
                when: "A file that is no good backup".to_owned(),
                size,
                state: error.to_string(),
                ..BackupRow::default()
            };
        }
    };
    let name = file.header.file_name();
    let made = events.0.iter().rev().find(|event| event.act == BackupAct::Made && event.file == name);
    let drill = events.drill_of(&name);
    let drill_failed = drill.is_some_and(|drill| drill.act == BackupAct::DrillFailed);
    BackupRow {
        when: local_words(file.header.at),
        entries: Some(file.header.entries),
        receipt: made.map(receipt),
        size,
        file: name,
        state: match made {
            _ if drill_failed => "The drill of it failed".to_owned(),
            Some(made) if made.by.is_empty() => "Made by itself, read back and checked".to_owned(),
            Some(made) => format!("Made by {}, read back and checked", made.by),
            None => {
                "Not made from this folder of records since it is here; the drill tells whether it is good"
                    .to_owned()
            }
        },
        good: !drill_failed,
        drill: drill.map(|drill| {
            let what = if drill_failed { "failed" } else { "passed" };
            format!("Drill {what} on {}", local_words(drill.at))
        }),
    }
}

fn receipt(made: &BackupEvent) -> String {
    let witness = made.witness.as_ref().map(|head| format!("; witness {head}")).unwrap_or_default();
    format!("{}{witness}", made.mark)
}

fn size_words(bytes: u64) -> String {
    match bytes {
        0..1_000_000 => format!("{} kB", bytes.div_ceil(1_000)),
        _ => format!("{}.{} MB", bytes / 1_000_000, bytes % 1_000_000 / 100_000),
    }
}

fn filled_with(settings: &BackupSettings) -> Filled {
    let folders = names::FOLDERS.iter().zip(&settings.folders);
    let filled = folders
        .fold(Filled::default(), |filled, (name, folder)| filled.with(*name, folder.display().to_string()));
    filled
        .with(names::EVERY_HOURS, settings.every_hours.to_string())
        .with(names::NOT_BEFORE, settings.not_before_hour.map(|hour| hour.to_string()).unwrap_or_default())
        .with(names::KEEP_DAYS, settings.keep_days.to_string())
        .with(names::KEEP_WEEKS, settings.keep_weeks.to_string())
        .with(names::KEEP_MONTHS, settings.keep_months.to_string())
}

/// Reads the form. Folders of the file beyond those of the form stay.
fn read_settings(app: &App, filled: &Filled) -> Result<BackupSettings, Vec<FieldError>> {
    let before = app.settings().backups.clone();
    let mut errors = Vec::new();
    let mut read = BackupSettings { folders: Vec::new(), ..before.clone() };
    for name in names::FOLDERS {
        let Some(text) = filled.given(name) else { continue };
        let path = PathBuf::from(text.trim());
        let known = before.folders.contains(&path);
        match backing_up::checked_folder(&app.dir, &path) {
            _ if read.folders.contains(&path) => {
                errors.push(wrong(name, "This is the first folder again.".to_owned()));
            }
            // A disk that is away stays in the settings.
            Ok(_) => read.folders.push(path),
            Err(_) if known => read.folders.push(path),
            Err(text) => errors.push(wrong(name, text)),
        }
    }
    read.folders.extend(before.folders.iter().skip(names::FOLDERS.len()).cloned());
    let mut number = |name: &str, min: u16, max: u16| match filled.value(name).trim().parse::<u16>() {
        Ok(number) if (min..=max).contains(&number) => Some(number),
        _ => {
            errors.push(wrong(name, format!("Enter a whole number from {min} to {max}.")));
            None
        }
    };
    read.every_hours = number(names::EVERY_HOURS, 1, 168).unwrap_or(read.every_hours);
    read.keep_days = number(names::KEEP_DAYS, 0, 1_200).unwrap_or(read.keep_days);
    read.keep_weeks = number(names::KEEP_WEEKS, 0, 1_200).unwrap_or(read.keep_weeks);
    read.keep_months = number(names::KEEP_MONTHS, 0, 1_200).unwrap_or(read.keep_months);
    read.not_before_hour = match filled.given(names::NOT_BEFORE) {
        None => None,
        Some(_) => number(names::NOT_BEFORE, 0, 23).and_then(|hour| u8::try_from(hour).ok()),
    };
    if errors.is_empty() { Ok(read) } else { Err(errors) }
}

fn wrong(name: &str, text: String) -> FieldError {
    FieldError { field: name.to_owned(), text }
}
