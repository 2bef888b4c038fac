//! What the heading of a column of temperatures says: the unit, and the number of the logger where the heading
//! carries it.
//!
//! A number such as `F-2231` has letters that look like a unit. It is therefore taken out first, and the unit is
//! looked for in what remains.

use super::moment::{Date, whole};
use super::unit::{NamedUnit, Unit};

/// Fewer digits are a channel, a depth, a year or a type of sensor rather than the number of one logger, unless a
/// mark such as `#` or `S/N` says so.
const LEAST_DIGITS: usize = 5;
/// No number of a logger is longer.
const MOST_CHARS: usize = 40;

/// A heading, taken apart.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Heading {
    pub(super) unit: NamedUnit,
    /// The number of the logger.
    pub(super) serial: Option<String>,
}

impl Heading {
    pub(super) fn of(text: &str) -> Self {
        let words: Vec<&str> = text.split(splits).filter(|word| !word.is_empty()).collect();
        let (mut serials, mut rest) = (Vec::new(), Vec::new());
        let (mut marked, mut unit_seen, mut of_logger) = (false, false, false);
        for word in words {
            let low = word.to_lowercase();
            if let Some(serial) = serial_of(word, marked, unit_seen) {
                serials.push((serial, of_logger));
                (marked, of_logger) = (false, false);
                continue;
            }
            // "S/N", "serial no.": the number follows, perhaps after one more word of the mark.
            marked =
                is_mark(&low) || (marked && matches!(low.trim_matches(['.', ':']), "no" | "nr" | "number"));
            of_logger = low.starts_with("log") || low.starts_with("lgr") || (of_logger && marked);
            unit_seen |= Unit::named(word).one().is_some();
            rest.push(word);
        }
        // A logger with a probe of its own has two numbers.
        let found = serials.iter().find(|(_, of_logger)| *of_logger).or_else(|| serials.first());
        Self { unit: Unit::named(&rest.join(" ")), serial: found.map(|(serial, _)| serial.clone()) }
    }
}

fn splits(c: char) -> bool {
    c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | '[' | ']' | '"' | '|')
}

/// Whether a word says that the number of a logger follows.
fn is_mark(low: &str) -> bool {
    matches!(
        low.trim_end_matches([':', '.', '=']),
        "s/n" | "sn" | "serial" | "serial-no" | "serialno" | "#" | "id"
    )
}

/// The number in a word: after a mark of its own, after a marking word, or behind the unit.
fn serial_of(word: &str, marked: bool, unit_seen: bool) -> Option<String> {
    let own = word.strip_prefix('#').or_else(|| after_mark(word));
    let text = own.unwrap_or(word).trim_matches([':', '.', '=']);
    let digits = text.chars().filter(char::is_ascii_digit).count();
    let fits = (1..=MOST_CHARS).contains(&text.chars().count()) && digits > 0;
    // A time, a zone or a range has other characters as well.
    let plain = text.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '/'));
    let is_date = Date::read(text).is_some() || whole(text).is_some();
    let behind_unit = unit_seen && plain && digits >= LEAST_DIGITS && !is_date;
    (fits && (own.is_some() || marked || behind_unit)).then(|| text.to_owned())
}

/// What follows a mark within the same word, as in `S/N:1234567`.
fn after_mark(word: &str) -> Option<&str> {
    let (mark, number) = word.split_once([':', '='])?;
    is_mark(&mark.to_lowercase()).then_some(number).filter(|number| !number.is_empty())
}
