//! Changes one value in the text of a clinic's own file, and leaves everything else in it as it is.

use super::catalogue::{BUILT_IN, Row};
use super::clinic::not_permitted;
use super::value::{Shape, Value};
use super::{Protocol, ProtocolError};
use toml_edit::{DocumentMut, Item, Table, TableLike};

/// A value that cannot be set.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ValueRefused {
    /// The protocol has no such value.
    #[error("the protocol has no value “{0}”")]
    NoSuchValue(String),
    /// The value cannot be read, is outside the permitted range, or contradicts another. One sentence.
    #[error("{0}")]
    Value(String),
    /// The file as it is cannot be used.
    #[error("{0}")]
    File(ProtocolError),
}

/// A clinic's file after a change, and the protocol that it makes.
#[derive(Debug, Clone)]
pub struct ChangedFile {
    /// The text.
    pub text: String,
    /// The protocol.
    pub protocol: Protocol,
}

impl Protocol {
    /// The text of a clinic's file with one value set, from the parts in which it was entered (see
    /// [`super::ProtocolSetting::parts`]). With `None` the file no longer sets it, and the built-in value holds.
    /// Comments and all other values stay.
    ///
    /// # Errors
    /// See [`ValueRefused`].
    pub fn changed_file(
        text: &str,
        key: &str,
        entered: Option<&[&str]>,
    ) -> Result<ChangedFile, ValueRefused> {
        let row = BUILT_IN.rows.iter().find(|row| row.key == key);
        let row = row.ok_or_else(|| ValueRefused::NoSuchValue(key.to_owned()))?;
        // What is wrong already is told as such, with its line.
        Self::with_clinic_file(text).map_err(ValueRefused::File)?;
        let value = entered.map(|parts| read(row, parts)).transpose().map_err(ValueRefused::Value)?;
        let not_toml = |error: toml_edit::TomlError| {
            ValueRefused::File(ProtocolError { line: 1, reason: error.message().to_owned() })
        };
        let mut document: DocumentMut = text.parse().map_err(not_toml)?;
        // A file of comments alone would have them behind the new value.
        let head =
            if document.is_empty() { std::mem::take(&mut document).to_string() } else { String::new() };
        put(&mut document, key, value.as_ref());
        let text = format!("{head}{document}");
        let protocol = Self::with_clinic_file(&text)
            .map_err(|error| ValueRefused::Value(capital(&with_labels(&error.reason))))?;
        Ok(ChangedFile { text, protocol })
    }
}

fn read(row: &Row, parts: &[&str]) -> Result<Value, String> {
    let value = value_of(row.shape, parts)
        .ok_or_else(|| format!("{}; permitted: {}.", expected(row.shape), row.permitted_words()))?;
    match not_permitted(row, &value) {
        None => Ok(value),
        Some(reason) => Err(format!("{}.", capital(reason.trim_end_matches('.')))),
    }
}

/// The value of what was entered; `None` if it is not of the shape. Nothing is rounded or left out.
fn value_of(shape: Shape, parts: &[&str]) -> Option<Value> {
    let whole = |text: &&str| text.trim().parse::<i64>().ok();
    let item = match shape {
        Shape::Name => toml_edit::value(parts.first()?.trim()),
        Shape::Points => toml_edit::value(parts.first()?.trim().replacen(',', ".", 1).parse::<f64>().ok()?),
        Shape::Number => toml_edit::value(parts.first().and_then(whole)?),
        Shape::Range | Shape::List => {
            let numbers: Option<Vec<i64>> = parts.iter().map(whole).collect();
            toml_edit::value(numbers?.into_iter().collect::<toml_edit::Array>())
        }
    };
    Value::read(shape, &item)
}

const fn expected(shape: Shape) -> &'static str {
    match shape {
        Shape::Number => "Enter a whole number",
        Shape::Range => "Enter two whole numbers, the smaller first",
        Shape::List => "Enter whole numbers separated by commas, each larger than the last",
        Shape::Points => "Enter points in steps of a half, such as 0.5",
        Shape::Name => "Choose one of the rules",
    }
}

/// Sets or removes a value. A section may be written with brackets or within one line; it stays as it is.
fn put(document: &mut DocumentMut, key: &str, value: Option<&Value>) {
    let Some((section, name)) = key.split_once('.') else { return };
    let Some(value) = value else {
        let table = document.get_mut(section).and_then(Item::as_table_like_mut);
        let emptied = table.is_some_and(|table| {
            table.remove(name);
            table.is_empty()
        });
        if emptied {
            document.remove(section);
        }
        return;
    };
    let item = document.entry(section).or_insert_with(|| Item::Table(Table::new()));
    if let Some(table) = item.as_table_like_mut() {
        put_value(table, name, value.to_toml());
    }
}

/// Remarks above a value and behind it stay there.
fn put_value(table: &mut dyn TableLike, name: &str, mut new: toml_edit::Value) {
    match table.get_mut(name) {
        Some(there) => {
            if let Some(before) = there.as_value() {
                *new.decor_mut() = before.decor().clone();
            }
            *there = Item::Value(new);
        }
        None => {
            table.insert(name, Item::Value(new));
        }
    }
}

/// A sentence that names values by their keys, with their labels instead.
fn with_labels(reason: &str) -> String {
    let mut rows: Vec<&Row> = BUILT_IN.rows.iter().collect();
    // A key may be the beginning of another.
    rows.sort_by_key(|row| std::cmp::Reverse(row.key.len()));
    let labelled =
        rows.iter().fold(reason.to_owned(), |text, row| text.replace(&row.key, &format!("“{}”", row.label)));
    format!("{}.", labelled.trim_end_matches('.'))
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const FILE: &str = "# Ours since 2023.\n[casting]\n# A week is too long.\ninterval_days = 6 # as agreed\n\n[start]\nlate_within_days = 5\n";

    fn changed(key: &str, parts: &[&str]) -> Result<ChangedFile, String> {
        Protocol::changed_file(FILE, key, Some(parts)).map_err(|error| error.to_string())
    }

    #[test]
    fn one_value_changes_and_comments_and_other_values_stay() {
        let after = changed("casting.interval_days", &["8"]).unwrap();
        assert_eq!(after.text, FILE.replace("= 6 #", "= 8 #"));
        assert_eq!((after.protocol.cast_interval_days, after.protocol.late_within_days), (8, 5));
    }

    #[test]
    fn a_value_of_each_shape_is_written_and_read_again() {
        let text = |key: &str, parts: &[&str]| {
            let after = changed(key, parts).unwrap();
            let setting = after.protocol.setting(key).unwrap();
            assert_eq!(setting.parts, parts, "{key}");
            assert_eq!(setting.own(), Some(setting.toml.as_str()));
            setting.toml.clone()
        };
        assert_eq!(text("casting.interval_range_days", &["6", "8"]), "[6, 8]");
        assert_eq!(text("bracing.early_reviews_weeks", &["2", "6"]), "[2, 6]");
        assert_eq!(text("scoring.worse_points", &["1.5"]), "1.5");
        let rule = BUILT_IN.rows.iter().find(|row| row.key == "bracing.outgrown_rule").unwrap();
        assert_ne!(rule.value, Value::Name("closed-shoe-room".into()));
        assert_eq!(text("bracing.outgrown_rule", &["closed-shoe-room"]), "\"closed-shoe-room\"");
    }

    #[test]
    fn back_to_the_built_in_value_removes_the_line_and_an_empty_section() {
        let after = Protocol::changed_file(FILE, "start.late_within_days", None).unwrap();
        assert_eq!(after.text, FILE.split("\n[start]").next().unwrap());
        assert_eq!(after.protocol.late_within_days, 7);
        let commented = Protocol::changed_file("# Ours.\n", "start.late_within_days", Some(&["5"])).unwrap();
        assert_eq!(commented.text, "# Ours.\n[start]\nlate_within_days = 5\n");
        let same = Protocol::changed_file("", "start.late_within_days", None).unwrap();
        assert_eq!((same.text.as_str(), same.protocol), ("", Protocol::built_in()));
    }

    #[test]
    fn what_is_not_permitted_is_refused_with_the_range() {
        for (key, parts, said) in [
            ("casting.interval_days", &["30"][..], "30 days is outside the permitted range, 3–14 days."),
            ("casting.interval_days", &["-6"], "Enter a whole number; permitted: 3–14 days."),
            ("casting.interval_days", &["6.5"], "Enter a whole number; permitted: 3–14 days."),
            ("casting.interval_days", &[""], "Enter a whole number; permitted: 3–14 days."),
            (
                "casting.interval_range_days",
                &["9", "8"],
                "Enter two whole numbers, the smaller first; permitted: 2–21 days.",
            ),
            (
                "casting.interval_range_days",
                &["7", "8"],
                "“Interval between casts”, 6, must lie within “The next cast is due between”, 7–8.",
            ),
            ("casting.no_such", &["1"], "the protocol has no value “casting.no_such”"),
        ] {
            assert_eq!(changed(key, parts).unwrap_err(), said, "{key} {parts:?}");
        }
    }

    #[test]
    fn a_file_that_cannot_be_used_is_not_changed() {
        let broken = "[casting]\ninterval_days = 99\n";
        let refused = Protocol::changed_file(broken, "start.late_within_days", Some(&["5"])).unwrap_err();
        assert!(matches!(&refused, ValueRefused::File(error) if error.line == 2), "{refused:?}");
    }

    #[test]
    fn a_section_written_in_one_line_stays_in_one_line() {
        let text = "casting = { interval_days = 6 }\n";
        let after = Protocol::changed_file(text, "casting.interval_days", Some(&["8"])).unwrap();
        assert_eq!(after.text, "casting = { interval_days = 8 }\n");
    }
}
