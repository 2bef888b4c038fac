//! The settings of backups, the table `backups` in the clinic's file.

use backups::RetentionOfBackups;
use serde::Deserialize;
use std::path::PathBuf;
use toml_edit::{DocumentMut, Item, Table, value};

/// The hours that may lie between two backups.
pub const HOURS_BETWEEN: std::ops::RangeInclusive<u16> = 1..=168;
/// The most folders for backups.
pub const MOST_FOLDERS: usize = 4;
const KEY: &str = "backups";

/// Where and when backups are made, and how long they are kept.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct BackupSettings {
    /// The folders; none where backups are not set up.
    pub folders: Vec<PathBuf>,
    /// Hours between two backups.
    pub every_hours: u16,
    /// The hour of the day, by the clock of the computer, before which the first backup of a day is not made; `None`
    /// for any.
    pub not_before_hour: Option<u8>,
    /// Days of which all are kept.
    pub keep_days: u16,
    /// Weeks of which the last one is kept.
    pub keep_weeks: u16,
    /// Months of which the last one is kept.
    pub keep_months: u16,
}

impl Default for BackupSettings {
    fn default() -> Self {
        let RetentionOfBackups { days, weeks, months } = RetentionOfBackups::default();
        Self {
            folders: Vec::new(),
            every_hours: 24,
            not_before_hour: None,
            keep_days: days,
            keep_weeks: weeks,
            keep_months: months,
        }
    }
}

impl BackupSettings {
    /// How long backups are kept.
    #[must_use]
    pub const fn retention(&self) -> RetentionOfBackups {
        RetentionOfBackups { days: self.keep_days, weeks: self.keep_weeks, months: self.keep_months }
    }

    /// What is wrong with them; one sentence.
    ///
    /// # Errors
    /// That sentence.
    pub fn check(&self) -> Result<(), String> {
        if let Some(folder) = self.folders.iter().find(|folder| !folder.is_absolute()) {
            return Err(format!(
                "backups: “{}” is not the whole path of a folder, from the beginning.",
                folder.display()
            ));
        }
        if self.folders.len() > MOST_FOLDERS {
            return Err(format!("backups has more than {MOST_FOLDERS} folders."));
        }
        if !HOURS_BETWEEN.contains(&self.every_hours) {
            return Err(format!(
                "backups: every_hours is {}: 1 to 168 hours are expected.",
                self.every_hours
            ));
        }
        if self.not_before_hour.is_some_and(|hour| hour > 23) {
            return Err("backups: not_before_hour is an hour of the day, 0 to 23.".to_owned());
        }
        match [self.keep_days, self.keep_weeks, self.keep_months].iter().any(|kept| *kept > 1_200) {
            true => Err("backups: at most 1200 days, weeks or months are kept.".to_owned()),
            false => Ok(()),
        }
    }

    /// Writes what differs from the settings of a file into it.
    pub fn write(&self, of_file: &Self, document: &mut DocumentMut) {
        if self == of_file {
            return;
        }
        if *self == Self::default() {
            document.remove(KEY);
            return;
        }
        if !document.get(KEY).is_some_and(Item::is_table) {
            document.insert(KEY, Item::Table(Table::new()));
        }
        let Some(table) = document.get_mut(KEY).and_then(Item::as_table_mut) else { return };
        let folders: toml_edit::Array =
            self.folders.iter().map(|folder| folder.display().to_string()).collect();
        table.insert("folders", value(folders));
        table.insert("every_hours", value(i64::from(self.every_hours)));
        match self.not_before_hour {
            Some(hour) => drop(table.insert("not_before_hour", value(i64::from(hour)))),
            None => drop(table.remove("not_before_hour")),
        }
        for (key, kept) in [
            ("keep_days", self.keep_days),
            ("keep_weeks", self.keep_weeks),
            ("keep_months", self.keep_months),
        ] {
            table.insert(key, value(i64::from(kept)));
        }
    }

    /// In words, for the history; empty where backups are not set up. [`BackupSettings::read_words`] reads them.
    #[must_use]
    pub fn words(&self) -> String {
        if *self == Self::default() {
            return String::new();
        }
        let folders: Vec<String> = self.folders.iter().map(|folder| folder.display().to_string()).collect();
        let hour = self.not_before_hour.map(|hour| format!(", not before {hour}:00")).unwrap_or_default();
        format!(
            "every {} hours{hour}; kept: {} days, {} weeks, {} months; into {}",
            self.every_hours,
            self.keep_days,
            self.keep_weeks,
            self.keep_months,
            folders.join(" and ")
        )
    }

    /// From the words of the history.
    #[must_use]
    pub fn read_words(words: &str) -> Self {
        let Some((rule, folders)) = words.split_once("; into ") else { return Self::default() };
        let after = |mark: &str| rule.split_once(mark).and_then(|(_, rest)| number(rest));
        let before = |mark: &str| {
            let (rest, _) = rule.split_once(mark)?;
            rest.rsplit([' ']).next()?.parse::<u16>().ok()
        };
        let default = Self::default();
        Self {
            folders: folders.split(" and ").filter(|folder| !folder.is_empty()).map(PathBuf::from).collect(),
            every_hours: after("every ").unwrap_or(default.every_hours),
            not_before_hour: after("not before ").and_then(|hour| u8::try_from(hour).ok()),
            keep_days: before(" days").unwrap_or(default.keep_days),
            keep_weeks: before(" weeks").unwrap_or(default.keep_weeks),
            keep_months: before(" months").unwrap_or(default.keep_months),
        }
    }
}

/// The number at the beginning of a text.
fn number(text: &str) -> Option<u16> {
    let digits: String = text.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_words_of_the_history_are_read_again() {
        let set = BackupSettings {
            folders: vec!["/media/stick".into(), "/net/other computer".into()],
            every_hours: 12,
            not_before_hour: Some(19),
            keep_days: 3,
            keep_weeks: 4,
            keep_months: 5,
        };
        assert_eq!(BackupSettings::read_words(&set.words()), set);
        let plain = BackupSettings { not_before_hour: None, ..set };
        assert_eq!(BackupSettings::read_words(&plain.words()), plain);
        assert_eq!(BackupSettings::default().words(), "");
        assert_eq!(BackupSettings::read_words(""), BackupSettings::default());
    }

    #[test]
    fn the_table_is_written_and_what_is_wrong_is_named() {
        let mut document: DocumentMut = "# Ours.\nname = \"Hillside\"\n".parse().unwrap();
        let set = BackupSettings { folders: vec!["/media/stick".into()], ..BackupSettings::default() };
        set.write(&BackupSettings::default(), &mut document);
        let text = document.to_string();
        assert!(text.starts_with("# Ours.\nname = \"Hillside\"\n") && text.contains("[backups]"), "{text}");
        assert!(text.contains("folders = [\"/media/stick\"]") && text.contains("keep_months = 24"), "{text}");
        BackupSettings::default().write(&set, &mut document);
        assert!(!document.to_string().contains("backups"));
        for wrong in [
            BackupSettings { folders: vec!["stick".into()], ..BackupSettings::default() },
            BackupSettings { every_hours: 0, ..BackupSettings::default() },
            BackupSettings { not_before_hour: Some(24), ..BackupSettings::default() },
            BackupSettings { folders: vec!["/a".into(); MOST_FOLDERS + 1], ..BackupSettings::default() },
        ] {
            assert!(wrong.check().is_err(), "{wrong:?}");
        }
    }
}
