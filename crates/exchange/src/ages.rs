//! Ages as people write them, and the birth they point to. An age gives no day: what follows from it is
//! approximate and is said to be so.

use crate::{
    lists::DATE_LISTS,
    text::tokens,
    values::{self, Read},
};
use record::Day;

/// What an age is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AgeUnit {
    Days,
    Weeks,
    Months,
    Years,
}

/// An age in one or two units, as "2 months 1 week".
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Age {
    months: f64,
    days: f64,
    /// Whether it is in years alone, which say too little.
    pub(crate) coarse: bool,
}

impl Age {
    /// The birth that a child of this age on `day` would have had.
    pub(crate) fn birth(self, day: Day) -> Option<Day> {
        let days = (self.months * DAYS_OF_MONTH + self.days).round();
        (0.0..=40.0 * 365.25).contains(&days).then(|| day + -(days as i32))
    }
}

/// A year of 365.25 days in twelve parts.
const DAYS_OF_MONTH: f64 = 365.25 / 12.0;

/// The unit that a heading names: "Age (weeks)".
pub(crate) fn unit_in(heading: &str) -> Option<AgeUnit> {
    let mut found = tokens(heading).into_iter().filter_map(|word| unit(&word).filter(|_| word.len() > 1));
    let first = found.next()?;
    found.all(|other| other == first).then_some(first)
}

fn unit(word: &str) -> Option<AgeUnit> {
    let lists = &DATE_LISTS.age;
    let units = [
        (&lists.days, AgeUnit::Days),
        (&lists.weeks, AgeUnit::Weeks),
        (&lists.months, AgeUnit::Months),
        (&lists.years, AgeUnit::Years),
    ];
    units.into_iter().find(|(words, _)| words.has(word)).map(|(_, unit)| unit)
}

/// Reads an age; `heading` is the unit of its column, for a number alone.
pub(crate) fn read(text: &str, heading: Option<AgeUnit>) -> Read<Age> {
    if values::is_nothing(text) {
        return Read::Nothing;
    }
    parse(text, heading).map_or(Read::Unreadable, Read::Value)
}

fn parse(text: &str, heading: Option<AgeUnit>) -> Option<Age> {
    if let Read::Value(value) = values::number(text)
        && text.trim().chars().all(|c| c.is_numeric() || matches!(c, '.' | ',' | '½' | ' '))
    {
        return whole(&[(value, heading?)]);
    }
    if let Some((count, of)) = text.split_once('/') {
        let Read::Value(count) = values::number(count.trim()) else { return None };
        // "3/52" is three weeks: parts of a year, or of a week.
        let unit = match of.trim() {
            "52" => AgeUnit::Weeks,
            "12" => AgeUnit::Months,
            "7" => AgeUnit::Days,
            _ => return None,
        };
        return whole(&[(count, unit)]);
    }
    let plain = crate::text::latin_digits(text).replace(',', ".");
    let mut parts = Vec::new();
    let mut number: Option<f64> = None;
    for word in numbers_and_words(&plain) {
        match (word.parse::<f64>(), number) {
            (Ok(value), None) => number = Some(value),
            (Err(_), Some(value)) => {
                parts.push((value, unit(&crate::text::fold(&word))?));
                number = None;
            }
            (Err(_), None) if DATE_LISTS.age.around.has(&crate::text::fold(&word)) => {}
            _ => return None,
        }
    }
    if number.is_some() { None } else { whole(&parts) }
}

/// "2mo 1.5 wk" as "2", "mo", "1.5", "wk".
fn numbers_and_words(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut last = 0u8;
    for c in text.chars() {
        let kind = match c {
            '0'..='9' => 1,
            '.' if last == 1 => 1,
            _ if crate::text::is_of_word(c) => 2,
            _ => 0,
        };
        match (kind, out.last_mut()) {
            (0, _) => {}
            (_, Some(word)) if kind == last => word.push(c),
            _ => out.push(c.to_string()),
        }
        last = kind;
    }
    out.iter().map(|word| word.trim_end_matches('.').to_owned()).filter(|word| !word.is_empty()).collect()
}

fn whole(parts: &[(f64, AgeUnit)]) -> Option<Age> {
    if parts.is_empty() || parts.len() > 3 {
        return None;
    }
    let mut age =
        Age { months: 0.0, days: 0.0, coarse: parts.iter().all(|(_, unit)| *unit == AgeUnit::Years) };
    for &(value, unit) in parts.iter().filter(|(value, _)| *value >= 0.0) {
        match unit {
            AgeUnit::Days => age.days += value,
            AgeUnit::Weeks => age.days += value * 7.0,
            AgeUnit::Months => age.months += value,
            AgeUnit::Years => age.months += value * 12.0,
        }
    }
    Some(age)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn ages_in_many_forms() {
        // 2 March 2024 less the age in days; a month is 365.25 / 12 = 30.4 days.
        let day: Day = "2024-03-02".parse().unwrap();
        let birth = |text: &str, heading: Option<AgeUnit>| match read(text, heading) {
            Read::Value(age) if !age.coarse => age.birth(day).map(|day| day.to_string()),
            _ => None,
        };
        for (text, expected) in [
            ("3 weeks", "2024-02-10"),
            ("3w", "2024-02-10"),
            ("3/52", "2024-02-10"),
            ("21 days", "2024-02-10"),
            ("21/7", "2024-02-10"),
            ("3 semanas", "2024-02-10"),
            ("3 semaines", "2024-02-10"),
            ("3 Wochen", "2024-02-10"),
            ("wiki 3", ""),
            ("3 wiki", "2024-02-10"),
            ("٣ أسابيع", "2024-02-10"),
            ("3 सप्ताह", "2024-02-10"),
            // 1 month and 1 week: 30 + 7 days.
            ("1 month 1 week", "2024-01-25"),
            ("1m 1w", "2024-01-25"),
            ("1 mois", "2024-02-01"),
            ("newborn", ""),
            ("3", ""),
            ("2 years", ""),
            ("about 3", ""),
        ] {
            let expected = Some(expected.to_owned()).filter(|text| !text.is_empty());
            assert_eq!(birth(text, None), expected, "{text}");
        }
        assert_eq!(birth("3", Some(AgeUnit::Weeks)).as_deref(), Some("2024-02-10"));
        assert_eq!(unit_in("Age (weeks)"), Some(AgeUnit::Weeks));
        assert_eq!(unit_in("Age"), None);
    }
}
