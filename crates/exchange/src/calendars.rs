//! Dates of other calendars, read once the user stated which calendar they are of.
//!
//! A year of the Buddhist calendar is 543 more than that of the Gregorian one, with the same months and days
//! (from memory). A year of the Ethiopian calendar has twelve months of 30 days and a thirteenth of five, or of
//! six in each year that leaves 3 when divided by 4; its year 2000 began on 12 September 2007 (from memory).

use crate::{
    ColumnMap, DateOrder, Meaning, Table,
    table::CellKind,
    text::{latin_digits, numbers_as},
};
use record::Day;
use std::collections::BTreeMap;

/// The id of the question about the calendar.
pub(crate) const CALENDAR: &str = "calendar";

/// A calendar with other years than the Gregorian one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum OtherCalendar {
    Buddhist,
    Ethiopian,
}

const BUDDHIST_YEARS: i32 = 543;

impl OtherCalendar {
    /// The calendar that an answer names.
    pub(crate) fn of_answer(answer: &str) -> Option<Self> {
        match answer {
            "buddhist" => Some(Self::Buddhist),
            "ethiopian" => Some(Self::Ethiopian),
            _ => None,
        }
    }

    /// A date in the Gregorian calendar: as it is written with another year, or as year-month-day. `None` where it
    /// is no date of this calendar.
    fn gregorian(self, text: &str, order: Option<DateOrder>) -> Option<String> {
        match self {
            Self::Buddhist => {
                let changed = numbers_as(text, |digits| match digits.parse::<i32>() {
                    Ok(year) if digits.len() == 4 && is_buddhist(year) => (year - BUDDHIST_YEARS).to_string(),
                    _ => digits.to_owned(),
                });
                (changed != text).then_some(changed)
            }
            Self::Ethiopian => {
                let (year, month, day) = parts(text, order?)?;
                Some(from_ethiopian(year, month, day)?.to_string())
            }
        }
    }
}

/// Whether a year can only be one of the Buddhist calendar.
pub(crate) const fn is_buddhist(year: i32) -> bool {
    2_400 <= year && year <= 2_700
}

/// The day of the Gregorian calendar.
pub(crate) fn from_ethiopian(year: i32, month: u32, day: u32) -> Option<Day> {
    let last = match month {
        1..=12 => 30,
        13 if year.rem_euclid(4) == 3 => 6,
        13 => 5,
        _ => 0,
    };
    if !(1..=last).contains(&day) || !(1_900..=2_200).contains(&year) {
        return None;
    }
    let years = year - 2_000;
    let within = i32::try_from((month - 1) * 30 + day - 1).ok()?;
    Some(Day::new(2007, 9, 12).ok()?.plus_days(years * 365 + years.div_euclid(4) + within))
}

/// Year, month and day of three numbers with the same mark between them.
fn parts(text: &str, order: DateOrder) -> Option<(i32, u32, u32)> {
    let text = text.split_whitespace().next()?;
    let numbers = ['/', '-', '.'].into_iter().find_map(|mark| {
        let numbers: Option<Vec<u32>> = text.split(mark).map(|part| part.parse().ok()).collect();
        numbers.filter(|numbers| numbers.len() == 3)
    })?;
    let [first, second, third] = numbers[..] else { return None };
    let (year, month, day) = match (first > 1_900, order) {
        (true, _) => (first, second, third),
        (false, DateOrder::MonthFirst) => (third, first, second),
        (false, _) => (third, second, first),
    };
    Some((i32::try_from(year).ok()?, month, day))
}

/// The order of day and month in which all dates of the columns exist, where it is one only.
fn order(texts: &BTreeMap<(usize, String), bool>) -> Option<DateOrder> {
    let fits = |order: DateOrder| {
        let read =
            |text: &str| parts(text, order).and_then(|(year, month, day)| from_ethiopian(year, month, day));
        texts.keys().filter(|(_, text)| !text.is_empty()).all(|(_, text)| read(text).is_some())
    };
    match [DateOrder::DayFirst, DateOrder::MonthFirst].map(fits) {
        [true, false] => Some(DateOrder::DayFirst),
        [false, true] => Some(DateOrder::MonthFirst),
        _ => None,
    }
}

/// Makes every date that is written in another calendar one of the Gregorian calendar. What is no date of that
/// calendar is not read.
pub(crate) fn convert(table: &Table, map: &mut ColumnMap, calendar: OtherCalendar) {
    let columns = map.columns.iter().filter(|column| column.meaning.is_some_and(Meaning::is_date));
    let columns: Vec<usize> = columns.map(|column| column.index).collect();
    // By column and text, whether a workbook holds it as a date.
    let mut texts: BTreeMap<(usize, String), bool> = BTreeMap::new();
    for row in table.rows() {
        for &at in &columns {
            let cell = table.cell(row, at);
            let typed = cell.kind != CellKind::Text;
            *texts.entry((at, latin_digits(cell.trimmed()).into_owned())).or_default() |= typed;
        }
    }
    texts.retain(|(_, text), _| text.chars().filter(char::is_ascii_digit).count() >= 6);
    let order = map.date_order.or_else(|| order(&texts));
    for row in table.rows() {
        for &at in &columns {
            let text = table.cell(row, at).trimmed();
            let Some(&typed) = texts.get(&(at, latin_digits(text).into_owned())) else { continue };
            // A workbook counts its dates by the Gregorian calendar, whatever its owner took them for.
            let converted = if typed && calendar == OtherCalendar::Ethiopian {
                None
            } else {
                calendar.gregorian(&latin_digits(text), order)
            };
            match (converted, calendar) {
                (Some(date), _) => map.rules.replace(at, text, date),
                (None, OtherCalendar::Buddhist) => {}
                (None, OtherCalendar::Ethiopian) => {
                    map.rules.replace(at, text, format!("{text} (Ethiopian)"))
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn days_of_the_ethiopian_calendar() {
        let day = |year, month, day| from_ethiopian(year, month, day).map(|day| day.to_string());
        for (date, expected) in [
            // The first days of years: a day later before a Gregorian leap year.
            ((2000, 1, 1), "2007-09-12"),
            ((2001, 1, 1), "2008-09-11"),
            ((2004, 1, 1), "2011-09-12"),
            ((2016, 1, 1), "2023-09-12"),
            ((2017, 1, 1), "2024-09-11"),
            // Four months of 30 days on: 7 January 2024, the Ethiopian Christmas of 28 Tahsas 2016.
            ((2016, 4, 28), "2024-01-07"),
            ((2015, 13, 6), "2023-09-11"),
            ((2016, 13, 5), "2024-09-10"),
        ] {
            assert_eq!(day(date.0, date.1, date.2).as_deref(), Some(expected), "{date:?}");
        }
        assert_eq!(
            [day(2016, 13, 6), day(2016, 2, 31), day(2016, 14, 1), day(2016, 0, 1)],
            [None, None, None, None]
        );
    }

    #[test]
    fn years_of_the_buddhist_calendar() {
        let read = |text| OtherCalendar::Buddhist.gregorian(text, None);
        assert_eq!(read("29/2/2567").as_deref(), Some("29/2/2024"));
        assert_eq!(read("2567-03-05").as_deref(), Some("2024-03-05"));
        assert_eq!((read("29/2/2024"), read("12567")), (None, None));
    }
}
