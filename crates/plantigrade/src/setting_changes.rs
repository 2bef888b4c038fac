//! Changes the clinic's settings while the server runs: checks, writes the file and its history, and puts the change
//! in force. If any of this fails nothing is changed.

use crate::{
    app::App,
    capacity_file::CAPACITY_FILE,
    clinic_history::{SETTINGS_HISTORY, history, line, note_changes_by_hand},
    clock::local_words,
    kept_file::KeptFile,
    request::Fail,
    setting_history::{SettingChange, SettingHistory},
    settings::{FILE_NAME, Settings},
};
use record::UserId;
use std::{io, path::Path, sync::PoisonError};
use toml_edit::DocumentMut;

/// The outcome of a change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ChangeOutcome {
    /// The change is in force.
    Saved,
    /// Nothing differs from what is in force.
    Same,
    /// Nothing was changed, because of this. One sentence.
    Refused(String),
    /// Somebody changed it since the form was shown, as this says. Nothing was changed.
    Newer(String),
}

/// The settings of the form that is saved as one.
const OF_FORM: [&str; 6] = ["name", "weekdays", "idle_minutes", "lock_minutes", "telephone", "paper"];

/// A text that differs after every change of the name, the weekdays or the times without use.
///
/// # Errors
/// When the history cannot be read.
pub fn version(app: &App) -> io::Result<String> {
    let (settings, history) = (app.settings(), history(&app.dir)?);
    let times: usize = OF_FORM.iter().map(|key| history.times(key)).sum();
    let Settings { idle_minutes, lock_minutes, name, .. } = &*settings;
    Ok(format!("{times} {idle_minutes} {lock_minutes} {} {name}", settings.weekdays_words()))
}

/// Changes the settings by `change`, which gets those in force. With `seen`, the version of the form, a change that
/// somebody made in between is shown first.
///
/// # Errors
/// When a file cannot be read or written. Nothing is then changed.
pub fn change(
    app: &App,
    by: UserId,
    seen: Option<&str>,
    change: impl FnOnce(&mut Settings) -> Result<(), String>,
) -> Result<ChangeOutcome, Fail> {
    let _one = app.setting.lock().unwrap_or_else(PoisonError::into_inner);
    if let Err(why) = take_changes_by_hand(app)? {
        return Ok(ChangeOutcome::Refused(why));
    }
    if seen.is_some_and(|seen| version(app).is_ok_and(|now| now != seen)) {
        let history = history(&app.dir).map_err(fault)?;
        let of_form = |change: &&SettingChange| OF_FORM.contains(&change.key.as_str());
        return Ok(ChangeOutcome::Newer(newer(history.changes.iter().rev().find(of_form))));
    }
    let mut after = Settings::clone(&app.settings());
    if let Err(why) = change(&mut after) {
        return Ok(ChangeOutcome::Refused(why));
    }
    if after == *app.settings() {
        return Ok(ChangeOutcome::Same);
    }
    put_in_force(app, by, after)
}

fn fault(error: io::Error) -> Fail {
    Fail::fault(&format!("the settings cannot be changed: {error}"))
}

/// The history first, so that no change is in force without its lines; then the file, then the program.
fn put_in_force(app: &App, by: UserId, after: Settings) -> Result<ChangeOutcome, Fail> {
    let file = KeptFile::of(&app.dir, FILE_NAME);
    let earlier = file.read().map_err(fault)?;
    let text = match after.written_over(earlier.as_deref().unwrap_or_default()) {
        Ok(text) => text,
        Err(why) => return Ok(ChangeOutcome::Refused(why)),
    };
    let (now, name) = (app.clock.now(), app.name_of(by));
    let changes = app.settings().changes_to(&after).into_iter();
    let lines: Vec<SettingChange> =
        changes.map(|change| line(change, now, Some((by, name.clone())))).collect();
    let history = SettingHistory::of(&app.dir, SETTINGS_HISTORY);
    let mark = history.append(&lines).map_err(fault)?;
    let written = file.write(&text, &format!("on {} by {name}", local_words(now))).map_err(fault);
    if let Err(fail) = written.and_then(|()| app.change_settings(after)) {
        undone(history.take_back(mark).and_then(|()| file.put_back(earlier.as_deref())));
        return Err(fail);
    }
    undone(without_closures(&app.dir));
    Ok(ChangeOutcome::Saved)
}

/// Puts in force what was changed in the file by hand since the start: otherwise it would be written over.
fn take_changes_by_hand(app: &App) -> Result<Result<(), String>, Fail> {
    let of_file = match Settings::read(&app.dir) {
        Ok(settings) => settings,
        Err(failure) => return Ok(Err(format!("The file was changed and cannot be used: {failure}"))),
    };
    if of_file != *app.settings() {
        note_changes_by_hand(&app.dir, &of_file, app.clock).map_err(fault)?;
        app.change_settings(of_file)?;
    }
    Ok(Ok(()))
}

/// What a person is told whose form is older than the last change.
pub fn newer(last: Option<&SettingChange>) -> String {
    let Some(last) = last else { return "This was changed since you opened the page.".to_owned() };
    let (to, when) = (if last.to.is_empty() { "nothing" } else { &last.to }, local_words(last.at));
    match &last.name {
        Some(who) => format!("{who} changed this to “{to}” on {when}, after you had opened the page."),
        None => format!("This was changed in its file to “{to}”; that was found on {when}."),
    }
}

/// Reports what could not be cleaned up; the change itself has been decided by then.
pub fn undone(cleaned: io::Result<()>) {
    if let Err(error) = cleaned {
        tracing::error!("a settings file could not be cleaned up: {error}");
    }
}

/// The closures are saved with the settings now: those that an earlier version saved with the setting for capacity
/// would bring back what was removed.
fn without_closures(dir: &Path) -> io::Result<()> {
    let file = KeptFile::of(dir, CAPACITY_FILE);
    let Some(text) = file.read()? else { return Ok(()) };
    let Ok(mut document) = text.parse::<DocumentMut>() else { return Ok(()) };
    match document.remove("closures") {
        Some(_) => file.write(&document.to_string(), "when its closed days were moved to the settings"),
        None => Ok(()),
    }
}
