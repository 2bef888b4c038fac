//! Times as loggers write them.

use crate::DateOrder;
use record::Day;

/// A moment as a cell gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Moment {
    /// Seconds since 1970, of the clock on the wall or truly, as `offset_s` says.
    pub(super) clock_s: i64,
    /// How far the clock was ahead of UTC, where that is written. Seconds.
    pub(super) offset_s: Option<i64>,
}

impl Moment {
    /// Whether it is a moment of a day that this program knows, wherever in the world. Two days at either end of the
    /// calendar are left out, because a time zone moves a moment by a day at most.
    pub(super) fn is_in_calendar(&self) -> bool {
        let first_s = |day: Day| i64::from(day.number()) * 86_400;
        (first_s(Day::FIRST + 2)..first_s(Day::LAST + -2)).contains(&self.clock_s)
    }
}

/// The parts of a date in figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Date {
    Day(Day),
    /// Two figures whose order is not plain, and the year.
    Open(u32, u32, i32),
}

const MONTHS: [&str; 12] =
    ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

impl Date {
    pub(super) fn day(self, order: DateOrder) -> Option<Day> {
        match self {
            Self::Day(day) => Some(day),
            Self::Open(first, second, year) => {
                let (month, day) =
                    if order == DateOrder::MonthFirst { (first, second) } else { (second, first) };
                Day::new(year, month, day).ok()
            }
        }
    }

    /// From the text of a date alone.
    pub(super) fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let mut parts = text.split(['-', '/', '.', ' ', ',']).filter(|part| !part.is_empty());
        let (Some(a), Some(b), Some(c), None) = (parts.next(), parts.next(), parts.next(), parts.next())
        else {
            return compact(text);
        };
        let year = |text: &str| {
            let value: i32 = text.parse().ok()?;
            Some(if text.len() <= 2 { 2000 + value } else { value })
        };
        let month = |text: &str| {
            let low = text.to_lowercase();
            let found = MONTHS.iter().position(|month| low.starts_with(month))?;
            (low.chars().all(char::is_alphabetic)).then_some(found as u32 + 1)
        };
        let number = |text: &str| text.parse::<u32>().ok();
        if a.len() == 4 {
            let middle = month(b).or(number(b))?;
            return Day::new(year(a)?, middle, number(c)?).ok().map(Self::Day);
        }
        if let Some(month) = month(b) {
            return Day::new(year(c)?, month, number(a)?).ok().map(Self::Day);
        }
        if let Some(month) = month(a) {
            return Day::new(year(c)?, month, number(b)?).ok().map(Self::Day);
        }
        let (first, second) = (number(a)?, number(b)?);
        let good = a.len() <= 2 && b.len() <= 2 && (c.len() == 2 || c.len() == 4);
        (good && (1..=31).contains(&first) && (1..=31).contains(&second)).then_some(())?;
        Some(Self::Open(first, second, year(c)?))
    }
}

/// 20260329.
fn compact(text: &str) -> Option<Date> {
    if text.len() != 8 || !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let number = |range: std::ops::Range<usize>| text.get(range)?.parse::<u32>().ok();
    let (year, month, day) = (number(0..4)?, number(4..6)?, number(6..8)?);
    let year = i32::try_from(year).ok()?;
    (1990..2100).contains(&year).then(|| Day::new(year, month, day).ok().map(Date::Day))?
}

/// Seconds of the day, "14:05", "14:05:30.5", "2:05 PM", "1405".
pub(super) fn time_of_day(text: &str) -> Option<i64> {
    let low = text.trim().to_lowercase();
    let (digits, half) = match low.find(['a', 'p']) {
        Some(at) => (low.get(..at)?.trim(), Some(low.get(at..)?.starts_with('p'))),
        None => (low.as_str(), None),
    };
    let digits = digits.trim_end_matches(['h', ' ']);
    let mut parts = digits.split([':', 'h']);
    let hour: i64 = parts.next()?.trim().parse().ok()?;
    let minute: i64 = match (parts.next(), half) {
        (Some(minute), _) => minute.trim().parse().ok()?,
        (None, Some(_)) => 0,
        (None, None) => return None,
    };
    let second: f64 = parts.next().map_or(Some(0.0), |text| text.trim().replace(',', ".").parse().ok())?;
    let hour = match half {
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(after_noon) => hour % 12 + if after_noon { 12 } else { 0 },
        None => hour,
    };
    let good = (0..24).contains(&hour) && (0..60).contains(&minute) && (0.0..61.0).contains(&second);
    (good && parts.next().is_none()).then_some(hour * 3600 + minute * 60 + second as i64)
}

/// A date with its time in one cell: the date, the seconds of the day, the offset where written.
pub(super) fn whole(text: &str) -> Option<(Date, i64, Option<i64>)> {
    let text = text.trim();
    let (date, rest) = match text.split_once('T') {
        Some((date, rest)) if date.len() >= 8 && date.starts_with(|c: char| c.is_ascii_digit()) => {
            (date, rest)
        }
        _ => {
            // The time begins at the word that holds the first colon.
            let colon = text.find(':')?;
            let begin = text.get(..colon)?.rfind([' ', ',', '\u{a0}'])?;
            (text.get(..begin)?, text.get(begin..)?.trim_start_matches([' ', ',', '\u{a0}']))
        }
    };
    let (time, offset) = offset(rest);
    Some((Date::read(date.trim_end_matches([',', ' ']))?, time_of_day(time)?, offset))
}

/// Splits "14:05+01:00" and "14:05Z".
fn offset(rest: &str) -> (&str, Option<i64>) {
    let rest = rest.trim();
    if let Some(time) = rest.strip_suffix(['Z', 'z']) {
        return (time, Some(0));
    }
    if let Some(time) = rest.strip_suffix("UTC").or_else(|| rest.strip_suffix("GMT")) {
        return (time, Some(0));
    }
    let at = rest.rfind(['+', '-', '−']);
    let Some((before, from)) = at.and_then(|at| rest.split_at_checked(at)) else { return (rest, None) };
    let sign = if from.starts_with('+') { 1 } else { -1 };
    let digits: String = from.chars().filter(char::is_ascii_digit).collect();
    let value = match digits.len() {
        1 | 2 => digits.parse::<i64>().ok().map(|hours| hours * 3600),
        4 => digits.parse::<i64>().ok().map(|both| both / 100 * 3600 + both % 100 * 60),
        _ => None,
    };
    match value.filter(|seconds| *seconds <= 15 * 3600) {
        Some(seconds) => (before, Some(sign * seconds)),
        None => (rest, None),
    }
}

/// A moment written as a number: seconds or milliseconds since 1970, or days as spreadsheets count them.
pub(super) fn counted(text: &str) -> Option<Moment> {
    let value: f64 = text.trim().parse().ok()?;
    let digits = text.trim().split('.').next().map_or(0, str::len);
    match digits {
        // 2001 to 2033 and beyond.
        10 if value >= 1e9 => Some(Moment { clock_s: value as i64, offset_s: Some(0) }),
        13 if value >= 1e12 => Some(Moment { clock_s: (value / 1e3) as i64, offset_s: Some(0) }),
        // 1 January 1970 is day 25,569 of a spreadsheet; 36,000 is in 1998, 80,000 in 2119.
        5 if (36_000.0..80_000.0).contains(&value) && text.contains('.') => {
            let seconds = ((value - 25_569.0) * 86_400.0).round();
            Some(Moment { clock_s: seconds as i64, offset_s: None })
        }
        _ => None,
    }
}
