//! The value of a field in words.

use super::{FieldSpec, FieldType};
use crate::Day;

impl FieldSpec {
    /// A value of this field, given as a form shows it, in words.
    #[must_use]
    pub fn words(&self, value: &str) -> String {
        if let FieldType::Day = self.takes {
            return value.parse().map_or_else(|_| value.to_owned(), Day::words);
        }
        if let Some(answers) = self.answers() {
            return answers
                .iter()
                .find(|(key, _)| *key == value)
                .map_or(value, |(_, words)| words)
                .to_owned();
        }
        match self.unit() {
            "" => value.to_owned(),
            unit => {
                let gap = if unit == "°" { "" } else { " " };
                format!("{}{gap}{unit}", value.replacen('-', "−", 1))
            }
        }
    }
}
