//! Days. The time between clinical events is whole days; no clock is read here.
//!
//! Millions of entries are read at a time, so the calendar arithmetic works on plain integers (by the
//! rules of the proleptic Gregorian calendar); tests compare it with two date libraries on every day of
//! 1900–2199.

use crate::text::{self, Fixed, digits};
use jiff::civil::Date;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::{
    fmt,
    ops::{Add, Sub},
    str::FromStr,
};

/// A calendar day, stored as days since 1970-01-01 so that an interval is a subtraction.
///
/// ```
/// use record::Day;
/// let fitted: Day = "2024-07-30".parse()?;
/// assert_eq!((fitted + 84).to_string(), "2024-10-22"); // 12 weeks on
/// assert_eq!("2024-10-22".parse::<Day>()? - fitted, 84);
/// # Ok::<(), record::DayError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Day(i32);

/// A day that does not exist or is outside the years of a record.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DayError {
    /// Not of the form year-month-day.
    #[error("“{0}” is not a day: year-month-day is expected, as in 2024-07-30")]
    Form(String),
    /// Not an instant.
    #[error("“{0}” is not an instant: a form such as 2024-07-30T09:12:04Z is expected")]
    Instant(String),
    /// There is no such day in the calendar.
    #[error("{year:04}-{month:02}-{day:02} is not in the calendar")]
    Calendar {
        /// Year as given.
        year: i32,
        /// Month as given.
        month: u32,
        /// Day of the month as given.
        day: u32,
    },
    /// Before 1900 or after 2199: a typing error such as the year 0202.
    #[error("the year {0} cannot be right: 1900 to 2199 is expected")]
    Year(i32),
    /// A range whose last day is before its first.
    #[error("the window from {from} to {to} ends before it begins")]
    Reversed {
        /// First day as given.
        from: Day,
        /// Last day as given.
        to: Day,
    },
}

const EPOCH: Date = jiff::civil::date(1970, 1, 1);
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2199;

const fn is_leap(year: i32) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

/// The last day of a month 1–12.
const fn month_length(year: i32, month: u32) -> u32 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Days since 1970-01-01 of a day in the calendar, for years from 1 on.
///
/// The year is counted from 1 March, so that the leap day is its last. There are 719,468 days from
/// 0000-03-01 to 1970-01-01, and 146,097 days in 400 years.
const fn number_of(year: i32, month: u32, day: u32) -> i32 {
    let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    let day_of_year = (153 * month as i32 + 2) / 5 + day as i32 - 1;
    year * 365 + year / 4 - year / 100 + year / 400 + day_of_year - 719_468
}

/// The reverse of [`number_of`].
const fn parts_of(number: i32) -> (i32, u32, u32) {
    let days = number + 719_468;
    let (era, day_of_era) = (days / 146_097, days % 146_097);
    let year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let march_month = (5 * day_of_year + 2) / 153;
    let day = (day_of_year - (153 * march_month + 2) / 5 + 1) as u32;
    let month = if march_month < 10 { march_month + 3 } else { march_month - 9 } as u32;
    let year = year_of_era + era * 400;
    (if month <= 2 { year + 1 } else { year }, month, day)
}

impl Day {
    /// Earliest day accepted, 1900-01-01.
    pub const FIRST: Self = Self(-25_567);
    /// Latest day accepted, 2199-12-31.
    pub const LAST: Self = Self(84_005);

    /// A day from its parts.
    ///
    /// # Errors
    /// When the calendar has no such day, or the year is outside 1900–2199.
    pub fn new(year: i32, month: u32, day: u32) -> Result<Self, DayError> {
        if !YEARS.contains(&year) {
            return Err(DayError::Year(year));
        }
        if !(1..=12).contains(&month) || !(1..=month_length(year, month)).contains(&day) {
            return Err(DayError::Calendar { year, month, day });
        }
        Ok(Self(number_of(year, month, day)))
    }

    /// Days since 1970-01-01.
    #[must_use]
    pub const fn number(self) -> i32 {
        self.0
    }

    /// From days since 1970-01-01; days outside 1900–2199 become the first or last of them.
    #[must_use]
    pub fn from_number(number: i32) -> Self {
        Self(number.clamp(Self::FIRST.0, Self::LAST.0))
    }

    /// From a date of the date library; dates outside 1900–2199 become the first or last of them.
    #[must_use]
    pub fn from_date(date: Date) -> Self {
        let (year, month, day) = (i32::from(date.year()), date.month(), date.day());
        if year < *YEARS.start() {
            return Self::FIRST;
        }
        Self::from_number(number_of(year, month.unsigned_abs().into(), day.unsigned_abs().into()))
    }

    /// The calendar date for the date library.
    #[must_use]
    pub fn date(self) -> Date {
        EPOCH.saturating_add(jiff::Span::new().days(i64::from(self.0)))
    }

    /// Year, month (1–12), day of the month (1–31).
    #[must_use]
    pub const fn parts(self) -> (i32, u32, u32) {
        parts_of(self.0)
    }

    /// 0 Monday … 6 Sunday. 1970-01-01 was a Thursday.
    #[must_use]
    pub const fn weekday_from_monday(self) -> u8 {
        (self.0 + 3).rem_euclid(7) as u8
    }

    /// The same day of the month a number of calendar months later; the last day of the month if it has
    /// no such day (31 January + 1 month = 28 or 29 February). Limited to 1900–2199.
    #[must_use]
    pub fn plus_months(self, months: i32) -> Self {
        let (year, month, day) = self.parts();
        let months = (year * 12 + month as i32 - 1).saturating_add(months);
        let (year, month) = (months.div_euclid(12), months.rem_euclid(12) as u32 + 1);
        if year < *YEARS.start() {
            Self::FIRST
        } else if year > *YEARS.end() {
            Self::LAST
        } else {
            Self(number_of(year, month, day.min(month_length(year, month))))
        }
    }

    /// The same date a number of years later; 29 February becomes 28 February in other years.
    #[must_use]
    pub fn plus_years(self, years: i32) -> Self {
        self.plus_months(years.saturating_mul(12))
    }

    /// Whole calendar months from `self` to `later`, rounded down; negative when `later` is earlier.
    ///
    /// It is the largest number for which [`Day::plus_months`] does not pass `later`, so 31 January to
    /// 28 February of a common year is one month.
    #[must_use]
    pub fn months_to(self, later: Self) -> i32 {
        let ((y0, m0, d0), (y1, m1, d1)) = (self.parts(), later.parts());
        let months = (y1 - y0) * 12 + (m1 as i32 - m0 as i32);
        if d1 < d0 && d1 < month_length(y1, m1) { months - 1 } else { months }
    }

    /// The day a number of days later, or earlier if negative. Limited to 1900–2199.
    #[must_use]
    pub fn plus_days(self, days: i32) -> Self {
        Self::from_number(self.0.saturating_add(days))
    }

    /// "5 October 2023".
    #[must_use]
    pub fn words(self) -> String {
        let (year, month, day) = self.parts();
        format!("{day} {} {year}", Self::month_word(month))
    }

    /// "October" for 10. Numbers above 12 continue from January.
    #[must_use]
    pub fn month_word(month: u32) -> &'static str {
        MONTHS.get((month as usize).saturating_sub(1) % MONTHS.len()).copied().unwrap_or_default()
    }
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl Add<i32> for Day {
    type Output = Self;
    fn add(self, days: i32) -> Self {
        self.plus_days(days)
    }
}

impl Sub<i32> for Day {
    type Output = Self;
    fn sub(self, days: i32) -> Self {
        self.plus_days(days.saturating_neg())
    }
}

/// Whole days between two days.
impl Sub for Day {
    type Output = i32;
    fn sub(self, other: Self) -> i32 {
        self.0 - other.0
    }
}

impl Day {
    fn text(self) -> Fixed<10> {
        let mut text = Fixed(*b"0000-00-00");
        let (year, month, day) = self.parts();
        text.put(0, 4, year.unsigned_abs());
        text.put(5, 2, month);
        text.put(8, 2, day);
        text
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.text().as_str())
    }
}

impl FromStr for Day {
    type Err = DayError;

    fn from_str(text: &str) -> Result<Self, DayError> {
        let parts = |bytes: &[u8]| {
            let [y1, y2, y3, y4, b'-', m1, m2, b'-', d1, d2] = *bytes else { return None };
            Some((digits(&[y1, y2, y3, y4])?, digits(&[m1, m2])?, digits(&[d1, d2])?))
        };
        let (year, month, day) = parts(text.as_bytes()).ok_or_else(|| DayError::Form(crate::quoted(text)))?;
        Self::new(year as i32, month, day)
    }
}

impl Serialize for Day {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.text().serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        text::deserialize(deserializer, "a day such as 2024-07-30")
    }
}

/// A range of days, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "Ends")]
pub struct DayRange {
    /// First day.
    pub from: Day,
    /// Last day; never before `from`.
    pub to: Day,
}

impl DayRange {
    /// From the two ends in either order.
    #[must_use]
    pub fn new(a: Day, b: Day) -> Self {
        Self { from: a.min(b), to: a.max(b) }
    }

    /// A range of one day.
    #[must_use]
    pub const fn on(day: Day) -> Self {
        Self { from: day, to: day }
    }

    /// Whether the day is in the range, ends included.
    #[must_use]
    pub fn contains(self, day: Day) -> bool {
        self.from <= day && day <= self.to
    }
}

/// The two ends as read, their order not yet checked.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Ends {
    from: Day,
    to: Day,
}

impl TryFrom<Ends> for DayRange {
    type Error = DayError;

    fn try_from(Ends { from, to }: Ends) -> Result<Self, DayError> {
        if to < from { Err(DayError::Reversed { from, to }) } else { Ok(Self { from, to }) }
    }
}
