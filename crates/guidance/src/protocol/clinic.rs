//! Applies a clinic's own file to the built-in values.

use super::catalogue::{BUILT_IN, Permitted, Row};
use super::value::Value;
use super::{Protocol, ProtocolError, Span};
use std::ops::Range;
use toml_edit::{Document, Item, Key, Table};

/// The longest file that is read, in bytes; a protocol file has some dozens of lines.
const LONGEST: usize = 100_000;

/// Applies a clinic's file to the built-in values.
pub(crate) fn apply(text: &str) -> Result<Protocol, ProtocolError> {
    if text.len() > LONGEST {
        let reason = format!("this protocol file is too long: at most {LONGEST} bytes are read");
        return Err(ProtocolError { line: 1, reason });
    }
    let document = Document::parse(text).map_err(|error| not_toml(text, &error))?;
    let mut overlay = Overlay { text, values: BUILT_IN.values(), lines: vec![1; BUILT_IN.rows.len()] };
    for (section, item) in entries(document.as_table()) {
        overlay.section(section, item)?;
    }
    overlay.finish()
}

/// The values so far, and the line on which each was set.
struct Overlay<'a> {
    text: &'a str,
    values: Vec<Value>,
    lines: Vec<usize>,
}

impl Overlay<'_> {
    fn section(&mut self, section: &Key, item: &Item) -> Result<(), ProtocolError> {
        let line = self.line(section.span());
        let sections = sections();
        if !sections.contains(&section.get()) {
            return Err(unknown(line, section.get(), "section", &sections));
        }
        match item {
            Item::Table(table) => entries(table).try_for_each(|(name, item)| self.value(section, name, item)),
            Item::Value(toml_edit::Value::InlineTable(table)) => {
                let table = table.clone().into_table();
                entries(&table).try_for_each(|(name, item)| self.value(section, name, item))
            }
            _ => {
                let reason = format!(
                    "“{}” is a section: write [{}] and its values below",
                    section.get(),
                    section.get()
                );
                Err(ProtocolError { line, reason })
            }
        }
    }

    fn value(&mut self, section: &Key, name: &Key, item: &Item) -> Result<(), ProtocolError> {
        let line = self.line(item.span().or_else(|| name.span()));
        let key = format!("{}.{}", section.get(), name.get());
        let found = BUILT_IN.rows.iter().position(|row| row.key == key);
        let Some((at, row)) = found.and_then(|at| Some((at, BUILT_IN.rows.get(at)?))) else {
            return Err(unknown_value(self.line(name.span()), section.get(), &key));
        };
        let value = read(row, item).map_err(|reason| ProtocolError { line, reason })?;
        if let (Some(slot), Some(set_on)) = (self.values.get_mut(at), self.lines.get_mut(at)) {
            (*slot, *set_on) = (value, line);
        }
        Ok(())
    }

    /// Checks values that must agree with each other, then makes the protocol.
    fn finish(self) -> Result<Protocol, ProtocolError> {
        let wrong = |reason| ProtocolError { line: 1, reason };
        let mut protocol = Protocol::from_values(&BUILT_IN.rows, &self.values).map_err(wrong)?;
        if let Some((keys, reason)) = disagreement(&protocol) {
            return Err(ProtocolError { line: self.last_line(keys), reason });
        }
        protocol.settings = BUILT_IN.settings(&self.values);
        Ok(protocol)
    }

    /// The last line on which any of these was set.
    fn last_line(&self, keys: [&str; 2]) -> usize {
        let set = BUILT_IN.rows.iter().zip(&self.lines).filter(|(row, _)| keys.contains(&row.key.as_str()));
        set.map(|(_, &line)| line).max().unwrap_or(1)
    }

    fn line(&self, span: Option<Range<usize>>) -> usize {
        line_of(self.text, span)
    }
}

fn read(row: &Row, item: &Item) -> Result<Value, String> {
    let key = &row.key;
    let value = Value::read(row.shape, item).ok_or_else(|| format!("{key}: {}", row.shape.expected()))?;
    match not_permitted(row, &value) {
        None => Ok(value),
        Some(reason) => Err(format!("{key}: {reason}")),
    }
}

/// Why a clinic may not set this value; `None` if it may.
pub(super) fn not_permitted(row: &Row, value: &Value) -> Option<String> {
    if row.permits(value) {
        return None;
    }
    Some(match (&row.permitted, value) {
        (Permitted::Names(names), Value::Name(name)) => {
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            let near =
                nearest(name, &names).map(|near| format!(" Did you mean “{near}”?")).unwrap_or_default();
            format!("unknown rule “{}”.{near} Known rules: {}.", brief(name), names.join(", "))
        }
        _ => {
            let (given, permitted) = (value.words(&row.unit), row.permitted_words());
            format!("{given} is outside the permitted range, {permitted}")
        }
    })
}

/// Two values that contradict each other: their keys, and the reason.
type Contradiction = ([&'static str; 2], String);

fn disagreement(protocol: &Protocol) -> Option<Contradiction> {
    days_disagree(protocol).or_else(|| alarm_disagrees(protocol)).or_else(|| scores_disagree(protocol))
}

fn days_disagree(protocol: &Protocol) -> Option<Contradiction> {
    let number = |days: u16| i16::try_from(days).unwrap_or(i16::MAX);
    let within = |keys: [&'static str; 2], days: u16, range: Span| {
        let reason = format!("{}, {days}, must lie within {}, {range}", keys[0], keys[1]);
        (!range.contains(number(days))).then_some((keys, reason))
    };
    let interval = ["casting.interval_days", "casting.interval_range_days"];
    let range = protocol.cast_interval_range_days;
    let longest = || {
        let (key, days) = ("casting.max_days", protocol.cast_max_days);
        let reason = format!("{key}, {days}, must not be less than the end of {}, {range}", interval[1]);
        (range.high > number(days)).then_some(([key, interval[1]], reason))
    };
    let cast = ["tenotomy.cast_days", "tenotomy.cast_range_days"];
    within(interval, protocol.cast_interval_days, range)
        .or_else(longest)
        .or_else(|| within(cast, protocol.tenotomy_cast_days, protocol.tenotomy_cast_range_days))
}

fn alarm_disagrees(protocol: &Protocol) -> Option<Contradiction> {
    let accepted = protocol.non_idiopathic_dorsiflexion_deg;
    let alarm = protocol.non_idiopathic_dorsiflexion_alarm_below_deg;
    (alarm > accepted.low).then(|| {
        let keys = ["non_idiopathic.dorsiflexion_alarm_below_deg", "non_idiopathic.dorsiflexion_deg"];
        let reason = format!(
            "{}, {alarm}, must not be above the lower end of {}, {accepted}: feet accepted as corrected would raise an alarm at once",
            keys[0], keys[1]
        );
        (keys, reason)
    })
}

fn scores_disagree(protocol: &Protocol) -> Option<Contradiction> {
    let keys = ["scoring.worse_points", "scoring.noise_points"];
    let reason = || format!("{} must be larger than {}", keys[0], keys[1]);
    (protocol.score_worse <= protocol.score_noise).then(|| (keys, reason()))
}

fn entries(table: &Table) -> impl Iterator<Item = (&Key, &Item)> {
    table.iter().filter_map(|(name, _)| table.get_key_value(name))
}

fn sections() -> Vec<&'static str> {
    let mut sections: Vec<&str> = BUILT_IN.rows.iter().filter_map(|row| row.key.split('.').next()).collect();
    sections.dedup();
    sections
}

fn unknown_value(line: usize, section: &str, key: &str) -> ProtocolError {
    let keys: Vec<&str> = BUILT_IN.rows.iter().map(|row| row.key.as_str()).collect();
    let here: Vec<&str> =
        keys.iter().copied().filter(|known| known.split('.').next() == Some(section)).collect();
    let name = key.split_once('.').map_or(key, |(_, name)| name);
    // A value may be in the wrong section, or misspelt in the right one.
    let elsewhere =
        keys.iter().copied().find(|known| known.split_once('.').is_some_and(|(_, other)| other == name));
    match elsewhere {
        Some(known) => {
            let reason = format!("unknown value “{}”. Did you mean “{known}”?", brief(key));
            ProtocolError { line, reason }
        }
        None => unknown(line, key, "value", &here),
    }
}

fn unknown(line: usize, given: &str, what: &str, known: &[&str]) -> ProtocolError {
    let hint = match nearest(given, known) {
        Some(near) => format!("Did you mean “{near}”?"),
        None => format!("Known: {}.", known.join(", ")),
    };
    ProtocolError { line, reason: format!("unknown {what} “{}”. {hint}", brief(given)) }
}

/// The known word most similar to the given one, if one is similar enough.
fn nearest<'a>(given: &str, known: &[&'a str]) -> Option<&'a str> {
    let given: String = given.chars().take(100).collect();
    let scored = known.iter().map(|word| (strsim::jaro_winkler(&given, word), *word));
    let best = scored.max_by(|a, b| a.0.total_cmp(&b.0))?;
    // Below this similarity the suggestion is no longer recognisable as a typing error.
    (best.0 > 0.85).then_some(best.1)
}

fn brief(text: &str) -> String {
    text.chars().take(60).collect()
}

fn line_of(text: &str, span: Option<Range<usize>>) -> usize {
    let end = span.map_or(0, |span| span.start.min(text.len()));
    1 + text.as_bytes().iter().take(end).filter(|&&byte| byte == b'\n').count()
}

fn not_toml(text: &str, error: &toml_edit::TomlError) -> ProtocolError {
    let first = error.message().lines().next().unwrap_or_default();
    let reason = format!("this protocol file is not valid TOML: {first}");
    ProtocolError { line: line_of(text, error.span()), reason }
}
