//! What an entry says in words.

use super::{FieldSpec, FieldType};
use crate::{Body, Day};

impl FieldSpec {
    /// A value of this field, as it stands in a form, in words.
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

impl Body {
    /// The entry on one line, for a timeline: "Right foot: Pirani 4.5, abduction 20°".
    #[must_use]
    pub fn sentence(&self) -> String {
        let what = self.own_sentence().unwrap_or_else(|| self.listed());
        match self.side() {
            Some(side) => format!("{} foot: {what}", side.title()),
            None => super::place::capital(&what),
        }
    }

    /// The kind and every value, with its label where it needs one to be understood.
    fn listed(&self) -> String {
        let (kind, values) = (self.kind(), self.values());
        let shown: Vec<String> = kind
            .fields_made_once()
            .iter()
            .filter(|field| field.name != "side")
            .filter_map(|field| {
                let value = values.get(&field.name)?.trim();
                if value.is_empty() {
                    return None;
                }
                let words = field.spec.words(value);
                let answer = field.spec.answers().is_some() && !matches!(words.as_str(), "yes" | "no");
                let plain = answer || matches!(field.spec.takes, FieldType::Line | FieldType::Long);
                Some(if plain { words } else { format!("{} {words}", field.label.to_lowercase()) })
            })
            .collect();
        if shown.is_empty() {
            kind.words().to_owned()
        } else {
            format!("{}: {}", kind.words(), shown.join(", "))
        }
    }
}
