//! Dates as people write them, and the order of day and month, settled once for the whole file.

use crate::{
    lists::DATE_LISTS,
    table::{Cell, CellKind},
    text::{latin_digits, tokens},
};
use record::Day;
use serde::{Deserialize, Serialize};

/// Which part of a date written in figures comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum DateOrder {
    /// 31/12/2023.
    #[serde(rename = "day first")]
    DayFirst,
    /// 12/31/2023.
    #[serde(rename = "month first")]
    MonthFirst,
    /// 23/12/31; only where years have two figures.
    #[serde(rename = "year first")]
    YearFirst,
}

impl DateOrder {
    /// "day first", as a map file says it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::DayFirst => "day first",
            Self::MonthFirst => "month first",
            Self::YearFirst => "year first",
        }
    }

    /// From the words of a map file.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        match crate::text::fold(words).as_str() {
            "day first" | "dmy" | "dd mm yyyy" | "day month year" | "d m y" => Some(Self::DayFirst),
            "month first" | "mdy" | "mm dd yyyy" | "month day year" | "m d y" => Some(Self::MonthFirst),
            "year first" | "ymd" | "yy mm dd" | "yyyy mm dd" | "year month day" | "y m d" => {
                Some(Self::YearFirst)
            }
            _ => None,
        }
    }
}

/// A date written in figures whose order is not plain from itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Figures {
    pub(crate) first: u32,
    pub(crate) second: u32,
    pub(crate) third: u32,
    /// Whether the last part has only two figures.
    pub(crate) short: bool,
}

/// What a cell says where a date was expected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateCell {
    Blank,
    Day(Day),
    /// In figures, the year last (or first with two figures).
    Figures(Figures),
    /// A date by its form, but no such day.
    Impossible,
    /// Something else.
    Other,
}

/// Reads a cell. `pivot` is the last year to which two figures can belong.
pub(crate) fn read(cell: Cell<'_>, pivot: i32) -> DateCell {
    let text = cell.trimmed();
    match cell.kind {
        CellKind::Date => text.parse().map_or(DateCell::Impossible, DateCell::Day),
        CellKind::Number => text.parse::<f64>().map_or(DateCell::Other, serial),
        CellKind::Time | CellKind::Error | CellKind::Formula | CellKind::NumberSince1904 => DateCell::Other,
        CellKind::Text if text.is_empty() || crate::values::is_nothing(text) => DateCell::Blank,
        CellKind::Text => {
            let text = latin_digits(text);
            plain_figures(&text).unwrap_or_else(|| written(&text, pivot))
        }
    }
}

/// `d/m/y` in one of its plain forms, without building any text.
fn plain_figures(text: &str) -> Option<DateCell> {
    let bytes = text.as_bytes();
    if bytes.len() > 10 {
        return None;
    }
    let (mut parts, mut lengths, mut at) = ([0u32; 3], [0usize; 3], 0);
    for &byte in bytes {
        match byte {
            b'0'..=b'9' => {
                let part = parts.get_mut(at)?;
                *part = part.saturating_mul(10).saturating_add(u32::from(byte - b'0'));
                *lengths.get_mut(at)? += 1;
            }
            b'/' | b'-' | b'.' if at < 2 && lengths.get(at).is_some_and(|&length| length > 0) => at += 1,
            _ => return None,
        }
    }
    (at == 2).then(|| figures(parts, lengths))
}

fn figures(parts: [u32; 3], lengths: [usize; 3]) -> DateCell {
    let [first, second, third] = parts;
    match lengths {
        [4, 1..=2, 1..=2] => day(first, second, third),
        [1..=2, 1..=2, 4] => DateCell::Figures(Figures { first, second, third, short: false }),
        [1..=2, 1..=2, 2] => DateCell::Figures(Figures { first, second, third, short: true }),
        _ => DateCell::Impossible,
    }
}

fn day(year: u32, month: u32, day: u32) -> DateCell {
    let year = i32::try_from(year).unwrap_or(0);
    Day::new(year, month, day).map_or(DateCell::Impossible, DateCell::Day)
}

/// A day number as spreadsheet programs count, 1 being 1 January 1900.
fn serial(number: f64) -> DateCell {
    if (18_000.0..=80_000.0).contains(&number) {
        return DateCell::Day(Day::from_number(number.floor() as i32 - 25_569));
    }
    let compact = (19_000_101.0..=21_991_231.0).contains(&number) && number.fract() == 0.0;
    if compact { eight_figures(number as u32) } else { DateCell::Other }
}

fn eight_figures(number: u32) -> DateCell {
    day(number / 10_000, number / 100 % 100, number % 100)
}

fn written(text: &str, pivot: i32) -> DateCell {
    if text.len() > 60 {
        return DateCell::Other;
    }
    let words: Vec<String> =
        tokens(without_time(text)).into_iter().filter(|word| !is_connector(word)).collect();
    let mut months = words.iter().filter_map(|word| month(word));
    let month = months.next();
    if months.next().is_some() {
        return DateCell::Other;
    }
    let numbers: Vec<&String> =
        words.iter().filter(|word| word.bytes().all(|b| b.is_ascii_digit())).collect();
    if numbers.len() + usize::from(month.is_some()) != words.len() || numbers.iter().any(|n| n.len() > 8) {
        return DateCell::Other;
    }
    let value = |text: &str| text.parse::<u32>().unwrap_or(0);
    match (month, numbers.as_slice()) {
        (Some(month), [a, b]) if a.len() == 4 => day(value(a), month, value(b)),
        (Some(month), [a, b]) if b.len() == 4 => day(value(b), month, value(a)),
        (Some(month), [a, b]) if a.len() <= 2 && b.len() == 2 => {
            day(full_year(value(b), pivot), month, value(a))
        }
        (Some(_), _) => DateCell::Impossible,
        (None, [a, b, c]) => figures([value(a), value(b), value(c)], [a.len(), b.len(), c.len()]),
        (None, [a]) if a.len() == 5 => serial(f64::from(value(a))),
        (None, [a]) if a.len() == 8 => match eight_figures(value(a)) {
            DateCell::Day(day) => DateCell::Day(day),
            _ => DateCell::Impossible,
        },
        (None, [a, b]) if a.len() == 5 && text.contains(['.', ',']) && !b.is_empty() => {
            serial(f64::from(value(a)))
        }
        _ => DateCell::Other,
    }
}

/// The text before a time of day.
fn without_time(text: &str) -> &str {
    let Some((before, _)) = text.split_once(':') else { return text.trim_end_matches(['Z', 'z']) };
    before.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end_matches(['T', 't', ' ', ','])
}

/// Two figures of a year, none later than `pivot`.
pub(crate) fn full_year(short: u32, pivot: i32) -> u32 {
    let this_century = 2000 + short;
    if i32::try_from(this_century).is_ok_and(|year| year <= pivot) { this_century } else { 1900 + short }
}

/// Two figures of a year that would lie further back are of no child of a clinic: 67 may be 1967, or a year of
/// another calendar.
const OLDEST_SHORT_YEARS: i32 = 45;

impl Figures {
    fn year(self, pivot: i32) -> u32 {
        if self.short { full_year(self.third, pivot) } else { self.third }
    }

    /// The day under one order, `None` where there is no such day.
    pub(crate) fn under(self, order: DateOrder, pivot: i32) -> Option<Day> {
        let (year, month, day) = match order {
            DateOrder::DayFirst => (self.year(pivot), self.second, self.first),
            DateOrder::MonthFirst => (self.year(pivot), self.first, self.second),
            DateOrder::YearFirst if self.short => (full_year(self.first, pivot), self.second, self.third),
            DateOrder::YearFirst => return None,
        };
        let year =
            i32::try_from(year).ok().filter(|&year| !self.short || year >= pivot - OLDEST_SHORT_YEARS)?;
        Day::new(year, month, day).ok()
    }

    /// The only order in which the figures can be meant, day or month first.
    pub(crate) const fn only(self) -> Option<DateOrder> {
        match (self.first, self.second) {
            (13..=31, 1..=12) => Some(DateOrder::DayFirst),
            (1..=12, 13..=31) => Some(DateOrder::MonthFirst),
            _ => None,
        }
    }

    /// Whether the two orders give two different days.
    pub(crate) const fn is_open(self) -> bool {
        self.first <= 12 && self.second <= 12 && self.first != self.second
    }
}

/// The parts of a text that are dates by their form: "TA 18/3/24, skin ok" has one.
pub(crate) fn dates_in(text: &str) -> Vec<&str> {
    if !text.bytes().any(|byte| byte.is_ascii_digit()) && text.is_ascii() {
        return Vec::new();
    }
    let parts = text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | '+' | '&'));
    let parts = parts.map(|part| part.trim_matches(|c: char| !c.is_alphanumeric()));
    parts.filter(|part| has_date_form(part)).collect()
}

/// Three numbers of a day, a month and a year with the same mark between them.
fn has_date_form(part: &str) -> bool {
    let plain = latin_digits(part);
    ['/', '.', '-'].into_iter().any(|mark| {
        let numbers: Vec<&str> = plain.split(mark).collect();
        let figures = |text: &&str| (1..=4).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
        numbers.len() == 3 && numbers.iter().all(figures)
    })
}

fn is_connector(word: &str) -> bool {
    DATE_LISTS.connector.has(word)
}

/// The month a word names, in any of the languages in Latin letters, or in Russian.
fn month(word: &str) -> Option<u32> {
    let at = DATE_LISTS.months.in_order().iter().position(|names| names.has(word))?;
    u32::try_from(at + 1).ok()
}
