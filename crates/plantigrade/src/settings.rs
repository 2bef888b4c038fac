//! The clinic's own settings, `clinic.toml` in the folder of the records: its name, its weekdays, the days on which
//! it is closed, when a session without use is locked and ends, and its name on the clinic's network. The protocol has a file
//! of its own.

use crate::{
    backup_settings::BackupSettings, capacity_file, exit::Failure, letterhead_settings::LetterheadSettings,
    network::is_network_name,
};
use clinic::{ClinicDays, Closure, RetentionRule};
use letters::pdf::PaperSize;
use record::Weekday;
use serde::Deserialize;
use std::{
    net::IpAddr,
    path::{Path, PathBuf},
};
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, value};

/// The file's name within the data folder.
pub const FILE_NAME: &str = "clinic.toml";
/// The minutes without use that may be set.
pub const IDLE_MINUTES: std::ops::RangeInclusive<u32> = 5..=720;
/// The years that may be set for the retention of records.
pub const RETENTION_YEARS: std::ops::RangeInclusive<u16> = 1..=100;
/// The minutes without use after which a session may be locked.
pub const LOCK_MINUTES: std::ops::RangeInclusive<u32> = 1..=720;
/// The most closures that are saved.
const MOST_CLOSURES: usize = 1000;
const HEAD: &str = "# The clinic's own settings. Written by the page Settings; changes by hand are read at the next start.\n";

/// The clinic's settings. Settings missing in the file have default values.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Settings {
    /// Name of the clinic, shown on every page.
    pub name: String,
    /// The weekdays of the clinic; empty if any day is possible.
    pub weekdays: Vec<Weekday>,
    /// Minutes without use after which a session ends.
    pub idle_minutes: u32,
    /// Minutes without use after which a session is locked; at most [`Settings::idle_minutes`].
    pub lock_minutes: u32,
    /// The name of this computer on the clinic's network, where it is not its own name and `.local`; for
    /// instance one that the clinic's router gives it.
    pub network_name: Option<String>,
    /// The telephone number for families, as it is printed on their documents; `None` leaves room to write it.
    pub telephone: Option<String>,
    /// What is printed at the head and the foot of letters.
    pub letterhead: LetterheadSettings,
    /// The paper for documents as PDF.
    pub paper: PaperSize,
    /// Whether commands that use the records ask who runs them (`--as`); otherwise the owner of the computer runs
    /// them.
    pub commands_require_sign_in: bool,
    /// Years after the last entry until which a record is kept; none by default.
    pub retention_years_after_last_entry: Option<u16>,
    /// Age in years until which a record is kept, if that is later; none by default.
    pub retention_until_age: Option<u16>,
    /// The folder of the witness of the records, best on another disk; `None` for the usual place of this user.
    pub witness: Option<PathBuf>,
    /// Who needs a second factor to sign in; `None` for the default, which depends on who can reach the pages.
    pub second_factor: Option<SecondFactorPolicy>,
    /// Whether time-based codes may be set up.
    pub second_factor_codes: bool,
    /// Whether passkeys may be added.
    pub second_factor_passkeys: bool,
    /// The address by which browsers reach the pages through a proxy, or with a certificate of the clinic's own:
    /// `https://` and a name, without a path. Passkeys are made for that name.
    pub public_address: Option<String>,
    /// The addresses besides this computer that may ask for the figures about the running program.
    pub metrics_from: Vec<IpAddr>,
    /// Where and when backups are made.
    pub backups: BackupSettings,
    /// More names under which browsers may ask for the pages, for instance that of a certificate of the clinic's own.
    pub host_names: Vec<String>,
    /// The address of the reverse proxy whose forwarded headers are believed (`--behind-proxy`); `None` for one on
    /// this computer.
    pub proxy: Option<IpAddr>,
    /// The days on which the clinic is closed.
    pub closures: Vec<Closure>,
}

/// Who needs a second factor to sign in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum SecondFactorPolicy {
    /// Nobody; everybody may have one.
    Optional,
    /// Leads.
    Leads,
    /// Everybody.
    Everybody,
}

impl SecondFactorPolicy {
    /// Every answer.
    pub const ALL: [Self; 3] = [Self::Optional, Self::Leads, Self::Everybody];

    /// Its key in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Optional => "optional",
            Self::Leads => "leads",
            Self::Everybody => "everybody",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Optional => "optional",
            Self::Leads => "required for leads",
            Self::Everybody => "required for everybody",
        }
    }

    /// From a key, or from its words.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == text || one.words() == text)
    }
}

/// In words, for the history.
const BY_DEFAULT: &str = "by default";

impl Default for Settings {
    fn default() -> Self {
        Self {
            name: "Clubfoot clinic".to_owned(),
            weekdays: Vec::new(),
            idle_minutes: 30,
            lock_minutes: 5,
            network_name: None,
            telephone: None,
            letterhead: LetterheadSettings::default(),
            paper: PaperSize::A4,
            commands_require_sign_in: false,
            retention_years_after_last_entry: None,
            retention_until_age: None,
            witness: None,
            second_factor: None,
            second_factor_codes: true,
            second_factor_passkeys: true,
            public_address: None,
            metrics_from: Vec::new(),
            backups: BackupSettings::default(),
            host_names: Vec::new(),
            proxy: None,
            closures: Vec::new(),
        }
    }
}

impl Settings {
    /// Reads the clinic's file, if there is one. Closures that an earlier version of this program saved with the
    /// setting for capacity count too.
    ///
    /// # Errors
    /// When it cannot be read, with the line and the reason.
    pub fn read(dir: &Path) -> Result<Self, Failure> {
        let path = dir.join(FILE_NAME);
        let mut settings = match std::fs::read_to_string(&path) {
            Ok(text) => {
                Self::parse(&text).map_err(|why| Failure::settings(format!("{}, {why}", path.display())))?
            }
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Self::default(),
            Err(error) => {
                return Err(Failure::settings(format!("{} cannot be read: {error}.", path.display())));
            }
        };
        let of_capacity = capacity_file::of_clinic(dir).map(|setting| setting.closures).unwrap_or_default();
        let of_capacity: Vec<Closure> = of_capacity.into_iter().map(Closure::normal).collect();
        add_closures(&mut settings.closures, &of_capacity);
        Ok(settings)
    }

    /// Reads the text of the file.
    ///
    /// # Errors
    /// The line and the reason, as one sentence.
    pub fn parse(text: &str) -> Result<Self, String> {
        let mut settings: Self = toml::from_str(text).map_err(|error| {
            let before = error.span().and_then(|span| text.get(..span.start)).unwrap_or_default();
            format!("line {}: {}.", before.matches('\n').count() + 1, error.message().trim_end_matches('.'))
        })?;
        if !IDLE_MINUTES.contains(&settings.idle_minutes) {
            return Err(format!("idle_minutes is {}: 5 to 720 is expected.", settings.idle_minutes));
        }
        let periods = [
            ("retention_years_after_last_entry", settings.retention_years_after_last_entry),
            ("retention_until_age", settings.retention_until_age),
        ];
        for (key, years) in periods {
            if let Some(years) = years.filter(|years| !RETENTION_YEARS.contains(years)) {
                return Err(format!("{key} is {years}: 1 to 100 years are expected."));
            }
        }
        if !LOCK_MINUTES.contains(&settings.lock_minutes) || settings.lock_minutes > settings.idle_minutes {
            return Err(format!(
                "lock_minutes is {}: 1 to {} is expected, at most idle_minutes.",
                settings.lock_minutes, settings.idle_minutes
            ));
        }
        if settings.telephone.as_deref().is_some_and(|number| !is_telephone(number)) {
            return Err("telephone: a number of at most 40 characters on one line is expected.".into());
        }
        if let Some(name) = settings.network_name.as_deref().filter(|name| !is_network_name(name)) {
            return Err(format!(
                "network_name is “{name}”: a name in small letters with a dot is expected, such as desk.local."
            ));
        }
        if let Some(name) = settings.host_names.iter().find(|name| !is_host_name(name)) {
            return Err(format!(
                "host_names holds “{name}”: names in small letters are expected, such as clubfoot.clinic.example, without https:// and without a port."
            ));
        }
        if let Some(folder) = settings.witness.as_ref().filter(|folder| !folder.is_absolute()) {
            return Err(format!(
                "witness is “{}”: the whole path of a folder is expected.",
                folder.display()
            ));
        }
        settings.letterhead.check()?;
        settings.check_second_factor()?;
        settings.backups.check()?;
        if let Some(closure) = settings.closures.iter().find(|closure| closure.last() < closure.from) {
            let (from, last) = (closure.from, closure.last());
            return Err(format!("closures: {from} is later than {last}; put the first day first."));
        }
        if settings.closures.len() > MOST_CLOSURES {
            return Err(format!("closures has more than {MOST_CLOSURES} rows."));
        }
        settings.closures = settings.closures.into_iter().map(Closure::normal).collect();
        Ok(settings)
    }

    fn check_second_factor(&self) -> Result<(), String> {
        // Without a decision of the clinic it can be required too, by who can reach the pages.
        if self.second_factor != Some(SecondFactorPolicy::Optional)
            && !self.second_factor_codes
            && !self.second_factor_passkeys
        {
            return Err(
                "codes and passkeys are both turned off, but second_factor is not “optional”.".to_owned()
            );
        }
        match self.public_address.as_deref().filter(|address| host_of(address).is_none()) {
            Some(address) => Err(format!(
                "public_address is “{address}”: https:// and a name in small letters with a dot are expected, such as https://clubfoot.clinic.example."
            )),
            None => Ok(()),
        }
    }

    /// Who needs a second factor, in words for the history.
    #[must_use]
    pub fn second_factor_words(&self) -> String {
        self.second_factor.map_or(BY_DEFAULT, SecondFactorPolicy::words).to_owned()
    }

    /// The days on which the clinic sees children.
    #[must_use]
    pub fn days(&self) -> ClinicDays {
        ClinicDays { closures: self.closures.clone(), ..ClinicDays::on(&self.weekdays) }
    }

    /// How long records are kept.
    #[must_use]
    pub const fn retention(&self) -> RetentionRule {
        RetentionRule {
            years_after_last: self.retention_years_after_last_entry,
            until_age: self.retention_until_age,
        }
    }

    /// The weekdays in words.
    #[must_use]
    pub fn weekdays_words(&self) -> String {
        if self.weekdays.is_empty() {
            return "any day".to_owned();
        }
        self.weekdays.iter().map(|day| day.word()).collect::<Vec<_>>().join(", ")
    }

    /// The text of a file with these settings in place of those it has. Comments and what does not change stay.
    ///
    /// # Errors
    /// When the text is not a settings file, or these settings are not permitted.
    pub fn written_over(&self, text: &str) -> Result<String, String> {
        let of_file = Self::parse(text)?;
        let mut document: DocumentMut =
            text.parse().map_err(|error: toml_edit::TomlError| error.message().to_owned())?;
        // A file of comments alone would have them behind the new values.
        let head = match text.trim() {
            "" => HEAD.to_owned(),
            _ if document.is_empty() => format!("{}\n", text.trim_end()),
            _ => String::new(),
        };
        if document.is_empty() {
            document = DocumentMut::new();
        }
        if of_file.name != self.name {
            put(&mut document, "name", value(&self.name));
        }
        if of_file.weekdays != self.weekdays {
            let keys: toml_edit::Array = self.weekdays.iter().map(|day| day.word().to_lowercase()).collect();
            put(&mut document, "weekdays", value(keys));
        }
        if of_file.idle_minutes != self.idle_minutes {
            put(&mut document, "idle_minutes", value(i64::from(self.idle_minutes)));
        }
        let periods = [
            (
                "retention_years_after_last_entry",
                of_file.retention_years_after_last_entry,
                self.retention_years_after_last_entry,
            ),
            ("retention_until_age", of_file.retention_until_age, self.retention_until_age),
        ];
        for (key, _, after) in periods.into_iter().filter(|(_, before, after)| before != after) {
            match after {
                Some(years) => put(&mut document, key, value(i64::from(years))),
                None => drop(document.remove(key)),
            }
        }
        if of_file.telephone != self.telephone {
            match &self.telephone {
                Some(number) => put(&mut document, "telephone", value(number)),
                None => drop(document.remove("telephone")),
            }
        }
        self.letterhead.write(&of_file.letterhead, &mut document);
        if of_file.paper != self.paper {
            put(&mut document, "paper", value(self.paper.key()));
        }
        self.write_second_factor(&of_file, &mut document);
        self.backups.write(&of_file.backups, &mut document);
        if of_file.lock_minutes != self.lock_minutes {
            put(&mut document, "lock_minutes", value(i64::from(self.lock_minutes)));
        }
        if of_file.closures != self.closures {
            document.remove("closures");
            let tables: ArrayOfTables = self.closures.iter().map(table_of).collect();
            if !tables.is_empty() {
                document.insert("closures", Item::ArrayOfTables(tables));
            }
        }
        let text = format!("{head}{document}");
        if Self::parse(&text)? == *self {
            Ok(text)
        } else {
            Err("the file cannot hold these settings.".into())
        }
    }

    fn write_second_factor(&self, of_file: &Self, document: &mut DocumentMut) {
        match self.second_factor {
            same if same == of_file.second_factor => {}
            Some(policy) => put(document, "second_factor", value(policy.key())),
            None => {
                document.remove("second_factor");
            }
        }
        for (key, before, after) in [
            ("second_factor_codes", of_file.second_factor_codes, self.second_factor_codes),
            ("second_factor_passkeys", of_file.second_factor_passkeys, self.second_factor_passkeys),
        ] {
            if before != after {
                put(document, key, value(after));
            }
        }
    }

    /// What differs from later settings: key, value before and after, both in words and empty for none.
    #[must_use]
    pub fn changes_to(&self, later: &Self) -> Vec<(&'static str, String, String)> {
        let minutes = |minutes: u32| format!("{minutes} minutes");
        let years = |years: Option<u16>| years.map_or_else(String::new, |years| format!("{years} years"));
        let proxy = |settings: &Self| settings.proxy.map_or_else(String::new, |address| address.to_string());
        let telephone = |settings: &Self| settings.telephone.clone().unwrap_or_default();
        let name_on_network = |settings: &Self| settings.network_name.clone().unwrap_or_default();
        let pairs = [
            ("name", self.name.clone(), later.name.clone()),
            ("weekdays", self.weekdays_words(), later.weekdays_words()),
            ("idle_minutes", minutes(self.idle_minutes), minutes(later.idle_minutes)),
            (
                "retention_years_after_last_entry",
                years(self.retention_years_after_last_entry),
                years(later.retention_years_after_last_entry),
            ),
            ("retention_until_age", years(self.retention_until_age), years(later.retention_until_age)),
            ("lock_minutes", minutes(self.lock_minutes), minutes(later.lock_minutes)),
            ("second_factor", self.second_factor_words(), later.second_factor_words()),
            ("second_factor_codes", on(self.second_factor_codes), on(later.second_factor_codes)),
            ("second_factor_passkeys", on(self.second_factor_passkeys), on(later.second_factor_passkeys)),
            ("network_name", name_on_network(self), name_on_network(later)),
            ("backups", self.backups.words(), later.backups.words()),
            ("telephone", telephone(self), telephone(later)),
            ("paper", self.paper.words().to_owned(), later.paper.words().to_owned()),
            ("host_names", self.host_names.join(", "), later.host_names.join(", ")),
            ("proxy", proxy(self), proxy(later)),
            (
                "commands_require_sign_in",
                on(self.commands_require_sign_in),
                on(later.commands_require_sign_in),
            ),
        ];
        let mut changes: Vec<_> = pairs.into_iter().filter(|(_, before, after)| before != after).collect();
        changes.extend(self.letterhead.changes_to(&later.letterhead));
        let gone = self.closures.iter().filter(|closure| !later.closures.contains(closure));
        changes.extend(gone.map(|closure| ("closures", closure.to_string(), String::new())));
        let new = later.closures.iter().filter(|closure| !self.closures.contains(closure));
        changes.extend(new.map(|closure| ("closures", String::new(), closure.to_string())));
        changes
    }
}

/// Whether a text is a name, or an address in numbers, as a browser states it, without a port.
fn is_host_name(name: &str) -> bool {
    let plain = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || b"-.".contains(&byte);
    name.parse::<IpAddr>().is_ok() || ((1..=200).contains(&name.len()) && name.bytes().all(plain))
}

/// Whether a text can be a telephone number on a page: some digits, and no line break.
#[must_use]
pub fn is_telephone(text: &str) -> bool {
    text.chars().count() <= 40
        && text.chars().any(|char| char.is_numeric())
        && !text.chars().any(char::is_control)
}

fn on(allowed: bool) -> String {
    if allowed { "on" } else { "off" }.to_owned()
}

/// The name in an address such as `https://name:port`.
#[must_use]
pub fn host_of(address: &str) -> Option<&str> {
    let place = address.strip_prefix("https://")?;
    let (name, port) = place.split_once(':').map_or((place, None), |(name, port)| (name, Some(port)));
    let fits =
        |port: &str| port.parse::<u16>().is_ok_and(|number| number != 443 && number.to_string() == port);
    (is_network_name(name) && port.is_none_or(fits)).then_some(name)
}

/// Remarks above a value and behind it stay there.
fn put(document: &mut DocumentMut, key: &str, mut new: Item) {
    match document.get_mut(key) {
        Some(there) => {
            if let (Some(before), Some(value)) = (there.as_value(), new.as_value_mut()) {
                *value.decor_mut() = before.decor().clone();
            }
            *there = new;
        }
        None => {
            document.insert(key, new);
        }
    }
}

fn table_of(closure: &Closure) -> Table {
    let mut table = Table::new();
    table.insert("from", value(closure.from.to_string()));
    if let Some(to) = closure.to {
        table.insert("to", value(to.to_string()));
    }
    if !closure.why.is_empty() {
        table.insert("why", value(&closure.why));
    }
    table
}

/// Adds the closures that are not in a list yet.
pub fn add_closures(list: &mut Vec<Closure>, more: &[Closure]) {
    for closure in more {
        if !list.contains(closure) {
            list.push(closure.clone());
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn weekdays_are_read() {
        let settings = Settings::parse("name = \"Hillside\"\nweekdays = [\"tuesday\", \"friday\"]").unwrap();
        assert_eq!(settings.weekdays, [Weekday::Tuesday, Weekday::Friday]);
        assert_eq!(settings.idle_minutes, 30);
        assert!(Settings::default().weekdays.is_empty());
    }

    #[test]
    fn a_wrong_line_is_named() {
        let error = Settings::parse("name = \"Hillside\"\nweekdays = [\"tusday\"]").unwrap_err();
        assert!(error.starts_with("line 2: "), "{error}");
        assert!(Settings::parse("idle_minutes = 1").is_err());
        assert!(Settings::parse("idle_minutes = 10\nlock_minutes = 11").is_err());
        assert!(Settings::parse("lock_minutes = 0").is_err());
        assert!(Settings::parse("network_name = \"192.168.1.5\"").is_err(), "an address is no name");
        assert!(Settings::parse("second_factor = \"doctors\"").is_err());
        for name in ["https://a.example", "a.example:443", "A.example", ""] {
            assert!(Settings::parse(&format!("host_names = [\"{name}\"]")).is_err(), "{name}");
        }
        assert!(Settings::parse("host_names = [\"desk\", \"fd00::1\"]\nproxy = \"10.0.0.2\"").is_ok());
        assert!(Settings::parse("proxy = \"the proxy\"").unwrap_err().starts_with("line 1: "));
        let off = "second_factor = \"leads\"\nsecond_factor_codes = false\nsecond_factor_passkeys = false";
        assert!(Settings::parse(off).unwrap_err().contains("both turned off"));
        for address in ["http://a.example", "https://a.example/", "https://a.example:443", "https://10.0.0.1"]
        {
            assert!(Settings::parse(&format!("public_address = \"{address}\"")).is_err(), "{address}");
        }
        assert_eq!(host_of("https://clubfoot.clinic.example:8443"), Some("clubfoot.clinic.example"));
        assert!(Settings::parse("colour = \"red\"").unwrap_err().starts_with("line 1: "));
        let reversed = "[[closures]]\nfrom = \"2026-01-05\"\nto = \"2026-01-01\"\n";
        assert!(Settings::parse(reversed).unwrap_err().contains("put the first day first"));
    }

    const FILE: &str = "# Ours.\nname = \"Hillside\" # since 2019\nidle_minutes = 20\n";

    #[test]
    fn what_is_written_is_read_again_and_comments_stay() {
        let mut settings = Settings::parse(FILE).unwrap();
        assert_eq!(settings.written_over(FILE).unwrap(), FILE);
        settings.name = "Harbour".into();
        assert_eq!(settings.written_over(FILE).unwrap(), FILE.replace("Hillside", "Harbour"));
        settings.weekdays = vec![Weekday::Tuesday, Weekday::Friday];
        settings.closures =
            vec!["2026-12-24 to 2027-01-01 holidays".parse().unwrap(), "2026-05-01".parse().unwrap()];
        for text in [FILE, ""] {
            let written = settings.written_over(text).unwrap();
            assert_eq!(Settings::parse(&written).unwrap(), settings, "{written}");
        }
        let written = settings.written_over(FILE).unwrap();
        settings.second_factor = Some(SecondFactorPolicy::Everybody);
        settings.second_factor_passkeys = false;
        let required = settings.written_over(&written).unwrap();
        assert_eq!(Settings::parse(&required).unwrap(), settings, "{required}");
        (settings.second_factor, settings.second_factor_passkeys) = (None, true);
        assert_eq!(Settings::parse(&settings.written_over(&required).unwrap()).unwrap(), settings);
        settings.closures.clear();
        let without = settings.written_over(&written).unwrap();
        assert!(!without.contains("closures") && without.starts_with("# Ours.\n"), "{without}");
        let named = format!("{FILE}network_name = \"desk.clinic\"\n");
        let renamed = Settings { name: "Harbour".into(), ..Settings::parse(&named).unwrap() };
        assert_eq!(renamed.written_over(&named).unwrap(), named.replace("Hillside", "Harbour"));
    }

    #[test]
    fn changes_are_named_one_by_one() {
        let before = Settings::parse(FILE).unwrap();
        let after = Settings {
            weekdays: vec![Weekday::Monday],
            closures: vec!["2026-12-25 Christmas".parse().unwrap()],
            ..before.clone()
        };
        let text = |from: &str, to: &str| (from.to_owned(), to.to_owned());
        let (days, closed) = (text("any day", "Monday"), text("", "2026-12-25 Christmas"));
        assert_eq!(
            before.changes_to(&after),
            [("weekdays", days.0, days.1), ("closures", closed.0.clone(), closed.1.clone())]
        );
        assert_eq!(after.changes_to(&before)[1], ("closures", closed.1, closed.0));
        assert_eq!(before.changes_to(&before), []);
    }
}
