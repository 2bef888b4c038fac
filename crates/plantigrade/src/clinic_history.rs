//! The history of the clinic's settings: its file, and what was changed in the settings by hand.

use crate::{
    backup_settings::BackupSettings,
    clock::Clock,
    setting_history::{ReadHistory, SettingChange, SettingHistory},
    settings::{SecondFactorPolicy, Settings},
};
use letters::pdf::PaperSize;
use record::{Timestamp, UserId};
use std::{io, path::Path};

/// The history of the settings in the data folder.
pub const SETTINGS_HISTORY: &str = "clinic.history.jsonl";

/// The history of the settings.
///
/// # Errors
/// When it cannot be read.
pub fn history(dir: &Path) -> io::Result<ReadHistory> {
    SettingHistory::of(dir, SETTINGS_HISTORY).read()
}

/// A change: key, value before and after.
type Change = (&'static str, String, String);

/// The line of a change.
#[must_use]
pub fn line((key, from, to): Change, at: Timestamp, by: Option<(UserId, String)>) -> SettingChange {
    let (by, name) = by.unzip();
    let value = (!to.is_empty()).then(|| to.clone());
    SettingChange { at, by, name, key: key.to_owned(), from, to, value, why: None }
}

/// Adds lines for what was changed in the file by hand since the last line about it.
///
/// # Errors
/// When the history cannot be read or written.
pub fn note_changes_by_hand(dir: &Path, settings: &Settings, clock: Clock) -> io::Result<()> {
    let history = SettingHistory::of(dir, SETTINGS_HISTORY);
    let known = known(&history.read()?);
    let changes = known.changes_to(settings);
    if changes.is_empty() {
        return Ok(());
    }
    let lines: Vec<_> = changes.into_iter().map(|change| line(change, clock.now(), None)).collect();
    history.append(&lines).map(|_| ())
}

/// The number of "10 years" or "20 minutes"; none for an empty text.
fn number<T: std::str::FromStr>(words: &str) -> Option<T> {
    words.split(' ').next().and_then(|word| word.parse().ok())
}

/// The settings as the history tells them.
fn known(history: &ReadHistory) -> Settings {
    let mut settings = Settings::default();
    for change in &history.changes {
        match change.key.as_str() {
            "name" => settings.name.clone_from(&change.to),
            "weekdays" => {
                let named = |day: &record::Weekday| change.to.split(", ").any(|word| word == day.word());
                settings.weekdays = record::Weekday::ALL.into_iter().filter(named).collect();
            }
            "retention_years_after_last_entry" => {
                settings.retention_years_after_last_entry = number(&change.to);
            }
            "retention_until_age" => settings.retention_until_age = number(&change.to),
            "idle_minutes" => settings.idle_minutes = number(&change.to).unwrap_or(settings.idle_minutes),
            "network_name" => settings.network_name = Some(change.to.clone()).filter(|name| !name.is_empty()),
            "host_names" => {
                let names = change.to.split(", ").filter(|name| !name.is_empty());
                settings.host_names = names.map(str::to_owned).collect();
            }
            "telephone" => settings.telephone = Some(change.to.clone()).filter(|number| !number.is_empty()),
            "paper" => settings.paper = PaperSize::from_words(&change.to).unwrap_or_default(),
            key if settings.letterhead.read_words(key, &change.to) => {}
            "proxy" => settings.proxy = change.to.parse().ok(),
            "commands_require_sign_in" => settings.commands_require_sign_in = change.to == "on",
            "second_factor" => settings.second_factor = SecondFactorPolicy::read(&change.to),
            "second_factor_codes" => settings.second_factor_codes = change.to == "on",
            "second_factor_passkeys" => settings.second_factor_passkeys = change.to == "on",
            "backups" => settings.backups = BackupSettings::read_words(&change.to),
            "lock_minutes" => settings.lock_minutes = number(&change.to).unwrap_or(settings.lock_minutes),
            "closures" => {
                settings.closures.retain(|closure| closure.to_string() != change.from);
                settings.closures.extend(change.to.parse());
            }
            _ => {}
        }
    }
    settings
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_change_in_the_file_gets_a_line_without_a_name_and_only_once() {
        let dir = tempfile::tempdir().unwrap();
        let text = "name = \"Hillside\"\nweekdays = [\"tuesday\", \"friday\"]\n[[closures]]\nfrom = \"2026-12-25\"\n";
        let settings = Settings::parse(text).unwrap();
        for _ in 0..2 {
            note_changes_by_hand(dir.path(), &settings, Clock::default()).unwrap();
        }
        let lines = history(dir.path()).unwrap().changes;
        let keys: Vec<&str> = lines.iter().map(|line| line.key.as_str()).collect();
        assert_eq!(keys, ["name", "weekdays", "closures"]);
        assert!(lines.iter().all(|line| line.by.is_none()));
        let required = Settings {
            second_factor: Some(SecondFactorPolicy::Leads),
            second_factor_codes: false,
            ..settings.clone()
        };
        for (settings, told) in [(&required, 5), (&required, 5), (&settings, 7), (&settings, 7)] {
            note_changes_by_hand(dir.path(), settings, Clock::default()).unwrap();
            assert_eq!(history(dir.path()).unwrap().changes.len(), told);
        }
        let without = Settings { closures: Vec::new(), idle_minutes: 20, ..settings };
        note_changes_by_hand(dir.path(), &without, Clock::default()).unwrap();
        let lines = history(dir.path()).unwrap().changes;
        assert_eq!(lines[7].to, "20 minutes");
        assert_eq!((lines[8].from.as_str(), lines[8].to.as_str()), ("2026-12-25", ""));
        assert_eq!(lines.len(), 9);
    }
}
