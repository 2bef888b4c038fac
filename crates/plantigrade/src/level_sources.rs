//! Which levels of the signs the clinic has confirmed with a named source.
//!
//! Confirmations are the last lines of a history about them, as those of translations are: there is no second file
//! that could disagree with it. Each line keeps the words and numbers that were confirmed, so that a changed table
//! counts as from memory again.

use crate::{
    app::App,
    clock::local_words,
    request::Fail,
    setting_changes::newer,
    setting_history::{ReadHistory, SettingChange, SettingHistory},
};
use practice::{ConfirmedLevels, LevelConfirmed, SignGeometry};
use record::{HalfPoint, Sign, UserId};
use std::{io, sync::PoisonError};

/// The history in the data folder.
pub const LEVELS_HISTORY: &str = "levels.history.jsonl";
/// The longest name of a source, in characters.
const LONGEST_SOURCE: usize = 300;
/// The shortest, so that somebody else finds it: "x" or "book" is no source.
const SHORTEST_SOURCE: usize = 8;
/// What a level is while nobody has confirmed it.
const FROM_MEMORY: &str = "from memory";

/// What the history says.
#[derive(Debug, Clone, Default)]
pub struct LevelSources {
    /// The history.
    pub history: ReadHistory,
}

/// The outcome of a change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LevelOutcome {
    /// It is saved.
    Saved,
    /// Nothing was changed, because of this. One sentence.
    Refused(String),
    /// Somebody changed it since the form was shown, as this says.
    Newer(String),
}

/// The key of a level in the history.
#[must_use]
pub fn level_key(sign: Sign, level: HalfPoint) -> String {
    format!("{}.{}", sign.key(), level.text())
}

impl LevelSources {
    /// Reads the history.
    ///
    /// # Errors
    /// When it is there and cannot be read.
    pub fn read(app: &App) -> Result<Self, Fail> {
        Ok(Self { history: SettingHistory::of(&app.dir, LEVELS_HISTORY).read().map_err(fault)? })
    }

    /// The levels that are confirmed. A history of which a line cannot be read confirms nothing: the line could take a
    /// confirmation back.
    #[must_use]
    pub fn confirmed(&self) -> ConfirmedLevels {
        let mut confirmed = ConfirmedLevels::default();
        if self.history.unreadable > 0 {
            return confirmed;
        }
        for sign in Sign::ALL {
            for level in HalfPoint::ALL {
                let last = self.history.last(&level_key(sign, level));
                if let Some((last, statement)) = last.and_then(|last| Some((last, last.value.as_deref()?))) {
                    confirmed.add(sign, level, of_line(last), statement);
                }
            }
        }
        confirmed
    }

    /// A text that differs after every change of a level.
    #[must_use]
    pub fn version(&self, sign: Sign, level: HalfPoint) -> String {
        self.history.times(&level_key(sign, level)).to_string()
    }
}

fn of_line(line: &SettingChange) -> LevelConfirmed {
    LevelConfirmed {
        source: line.to.clone(),
        by: line.name.clone().unwrap_or_else(|| "somebody in the file".to_owned()),
        when: local_words(line.at),
    }
}

/// Confirms the words and numbers of a level as they are now, with a source; without one, takes the confirmation back.
/// `seen` is the version that was shown.
///
/// # Errors
/// When the history cannot be read or written. Nothing is then changed.
pub fn change_level(
    app: &App,
    by: UserId,
    (sign, level): (Sign, HalfPoint),
    source: Option<&str>,
    seen: &str,
) -> Result<LevelOutcome, Fail> {
    let _one = app.setting.lock().unwrap_or_else(PoisonError::into_inner);
    let sources = LevelSources::read(app)?;
    let key = level_key(sign, level);
    let last = sources.history.last(&key);
    if sources.version(sign, level) != seen {
        return Ok(LevelOutcome::Newer(newer(last)));
    }
    let source = source.map(|source| source.split_whitespace().collect::<Vec<_>>().join(" "));
    if let Some(why) = refused(&sources, last, source.as_deref()) {
        return Ok(LevelOutcome::Refused(why));
    }
    let value = source.is_some().then(|| SignGeometry::of(sign).statement(level));
    let change = SettingChange {
        at: app.clock.now(),
        by: Some(by),
        name: Some(app.name_of(by)),
        key,
        from: last.map_or_else(|| FROM_MEMORY.to_owned(), |last| last.to.clone()),
        to: source.unwrap_or_else(|| FROM_MEMORY.to_owned()),
        value,
        why: None,
    };
    let _ = SettingHistory::of(&app.dir, LEVELS_HISTORY).append(&[change]).map_err(fault)?;
    Ok(LevelOutcome::Saved)
}

/// Why a change is not made.
fn refused(sources: &LevelSources, last: Option<&SettingChange>, source: Option<&str>) -> Option<String> {
    if sources.history.unreadable > 0 {
        let why =
            "Lines of the history of confirmations cannot be read. Restore the file from a backup first.";
        return Some(why.to_owned());
    }
    match source {
        None if last.is_none_or(|last| last.value.is_none()) => Some("It is not confirmed.".to_owned()),
        Some(source) if !(SHORTEST_SOURCE..=LONGEST_SOURCE).contains(&source.chars().count()) => {
            Some(format!(
                "Name the source so that somebody else finds it: {SHORTEST_SOURCE} to {LONGEST_SOURCE} characters."
            ))
        }
        _ => None,
    }
}

fn fault(error: io::Error) -> Fail {
    Fail::fault(&format!("the confirmed levels cannot be read or changed: {error}"))
}
