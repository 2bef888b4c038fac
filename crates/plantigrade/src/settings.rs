//! The clinic's own settings, `clinic.toml` in the folder of the records: its name, its weekdays, and how
//! long a session lasts without use, and its name on the clinic's network. The protocol has a file of its own.

use crate::{exit::Failure, network::is_network_name};
use record::Weekday;
use serde::Deserialize;
use std::path::Path;

/// The file's name within the data folder.
pub const FILE_NAME: &str = "clinic.toml";

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
    /// The name of this computer on the clinic's network, where it is not its own name and `.local`; for
    /// instance one that the clinic's router gives it.
    pub network_name: Option<String>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            name: "Clubfoot clinic".to_owned(),
            weekdays: Vec::new(),
            idle_minutes: 30,
            network_name: None,
        }
    }
}

impl Settings {
    /// Reads the clinic's file, if there is one.
    ///
    /// # Errors
    /// When it cannot be read, with the line and the reason.
    pub fn read(dir: &Path) -> Result<Self, Failure> {
        let path = dir.join(FILE_NAME);
        let text = match std::fs::read_to_string(&path) {
            Ok(text) => text,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Self::default()),
            Err(error) => {
                return Err(Failure::settings(format!("{} cannot be read: {error}.", path.display())));
            }
        };
        Self::parse(&text).map_err(|why| Failure::settings(format!("{}, {why}", path.display())))
    }

    fn parse(text: &str) -> Result<Self, String> {
        let settings: Self = toml::from_str(text).map_err(|error| {
            let before = error.span().and_then(|span| text.get(..span.start)).unwrap_or_default();
            format!("line {}: {}.", before.matches('\n').count() + 1, error.message().trim_end_matches('.'))
        })?;
        if !(5..=720).contains(&settings.idle_minutes) {
            return Err(format!("idle_minutes is {}: 5 to 720 is expected.", settings.idle_minutes));
        }
        if let Some(name) = settings.network_name.as_deref().filter(|name| !is_network_name(name)) {
            return Err(format!(
                "network_name is “{name}”: a name in small letters with a dot is expected, such as desk.local."
            ));
        }
        Ok(settings)
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
        assert!(Settings::parse("network_name = \"192.168.1.5\"").is_err(), "an address is no name");
        assert!(Settings::parse("colour = \"red\"").unwrap_err().starts_with("line 1: "));
    }
}
