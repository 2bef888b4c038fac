//! Changes one value of the protocol while the server runs: checks it, writes the clinic's file and its history, and
//! puts the protocol in force. If any of this fails nothing is changed.

use crate::{
    app::{App, PROTOCOL_FILE},
    clock::local_words,
    kept_file::KeptFile,
    protocol_history::{PROTOCOL_HISTORY, by_hand, history, note_changes_by_hand},
    request::Fail,
    setting_changes::{newer, undone},
    setting_history::{ReadHistory, SettingChange, SettingHistory},
};
use guidance::{ChangedFile, Protocol, ProtocolSetting, ValueRefused};
use record::UserId;
use std::{
    io,
    sync::{Arc, PoisonError},
};

const HEAD: &str = "# The clinic's own protocol values. A value that is not here is the published one. Written by the page Protocol;\n# changes by hand are read at the next start.\n";

/// A change that a person asks for.
#[derive(Debug, Clone)]
pub struct ValueChange {
    /// The key of the value.
    pub key: String,
    /// The parts in which it was entered; `None` for the published value.
    pub entered: Option<Vec<String>>,
    /// The reason.
    pub why: String,
    /// The version of the form.
    pub seen: String,
}

/// The outcome of a change of a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ValueOutcome {
    /// It is in force.
    Saved,
    /// The value is refused, because of this.
    Value(String),
    /// The reason is missing or too long.
    Why(String),
    /// Somebody changed it since the form was shown, as this says.
    Newer(String),
}

/// A text that differs after every change of a value.
#[must_use]
pub fn version(setting: &ProtocolSetting, history: &ReadHistory) -> String {
    format!("{} {}", history.times(setting.key), setting.toml)
}

/// Changes a value.
///
/// # Errors
/// When there is no such value, or a file cannot be read or written. Nothing is then changed.
pub fn change(app: &App, by: UserId, asked: &ValueChange) -> Result<ValueOutcome, Fail> {
    let _one = app.setting.lock().unwrap_or_else(PoisonError::into_inner);
    let file = KeptFile::of(&app.dir, PROTOCOL_FILE);
    let earlier = file.read().map_err(fault)?;
    let text = earlier.clone().unwrap_or_default();
    if let Err(why) = take_changes_by_hand(app, &text)? {
        return Ok(ValueOutcome::Value(why));
    }
    let (protocol, history) = (app.protocol(), history(&app.dir).map_err(fault)?);
    let setting = protocol.setting(&asked.key).ok_or_else(Fail::not_found)?;
    if version(setting, &history) != asked.seen {
        return Ok(ValueOutcome::Newer(newer(history.last(&asked.key))));
    }
    if let Some(why) = reason_refused(&asked.why) {
        return Ok(ValueOutcome::Why(why));
    }
    let parts: Option<Vec<&str>> =
        asked.entered.as_ref().map(|parts| parts.iter().map(String::as_str).collect());
    let changed = match Protocol::changed_file(&text, &asked.key, parts.as_deref()) {
        Ok(changed) => changed,
        Err(ValueRefused::NoSuchValue(_)) => return Err(Fail::not_found()),
        Err(refused) => return Ok(ValueOutcome::Value(crate::exit::sentence(&refused.to_string()))),
    };
    let line = match changed.protocol.setting(&asked.key) {
        Some(after) if after.toml != setting.toml => line(setting, after, app, Some(by), Some(&asked.why)),
        _ => return Ok(ValueOutcome::Value(format!("It is {} already.", setting.value))),
    };
    put_in_force(app, &file, earlier.as_deref(), changed, &line)?;
    Ok(ValueOutcome::Saved)
}

fn fault(error: io::Error) -> Fail {
    Fail::fault(&format!("the protocol cannot be changed: {error}"))
}

/// The longest reason, in characters.
const LONGEST_REASON: usize = 500;

fn reason_refused(why: &str) -> Option<String> {
    match why.trim().chars().count() {
        0 => Some("Give the reason: whoever reads the history later needs it.".to_owned()),
        n if n > LONGEST_REASON => {
            Some(format!("The reason has {n} characters; at most {LONGEST_REASON} are saved."))
        }
        _ => None,
    }
}

fn line(
    before: &ProtocolSetting,
    after: &ProtocolSetting,
    app: &App,
    by: Option<UserId>,
    why: Option<&str>,
) -> SettingChange {
    SettingChange {
        at: app.clock.now(),
        by,
        name: by.map(|by| app.name_of(by)),
        why: why.map(|why| why.trim().to_owned()),
        ..by_hand(before, after, app.clock)
    }
}

/// The history first, so that no change is in force without its line; then the file, then the records.
fn put_in_force(
    app: &App,
    file: &KeptFile,
    earlier: Option<&str>,
    changed: ChangedFile,
    line: &SettingChange,
) -> Result<(), Fail> {
    let history = SettingHistory::of(&app.dir, PROTOCOL_HISTORY);
    let mark = history.append(std::slice::from_ref(line)).map_err(fault)?;
    let head = if earlier.is_none() { HEAD } else { "" };
    let who = line.name.as_deref().unwrap_or_default();
    let replaced = format!("on {} by {who}", local_words(line.at));
    let done = file
        .write(&format!("{head}{}", changed.text), &replaced)
        .map_err(fault)
        .and_then(|()| Ok(app.records.change_protocol(Arc::new(changed.protocol))?));
    if done.is_err() {
        undone(history.take_back(mark).and_then(|()| file.put_back(earlier)));
    }
    done
}

/// Puts in force what was changed in the file by hand since the start, before anything is added to it: saved under
/// the name of whoever changes another value, it would seem to be theirs.
fn take_changes_by_hand(app: &App, text: &str) -> Result<Result<(), String>, Fail> {
    let of_file = match Protocol::with_clinic_file(text) {
        Ok(protocol) => protocol,
        Err(error) => {
            let path = app.dir.join(PROTOCOL_FILE);
            let text = format!("{} was changed and cannot be used: {error}", path.display());
            return Ok(Err(crate::exit::sentence(&text)));
        }
    };
    if of_file != *app.protocol() {
        note_changes_by_hand(&app.dir, &of_file, app.clock).map_err(fault)?;
        app.records.change_protocol(Arc::new(of_file))?;
    }
    Ok(Ok(()))
}
