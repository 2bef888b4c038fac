//! Days and instants. Time between clinical events is whole days; no clock is read here.

use jiff::civil::Date;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use std::{
    fmt,
    ops::{Add, Sub},
    str::FromStr,
};

/// A calendar day, held as days since 1970-01-01 so that intervals are plain subtraction.
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

/// A day that does not exist or is outside the years a living child's record can hold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DayError {
    /// Not of the form year-month-day.
    #[error("“{0}” is not a day: year-month-day is expected, as in 2024-07-30")]
    Form(String),
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
    /// Before 1900 or after 2199: a slip of the pen such as the year 0202.
    #[error("the year {0} cannot be right: 1900 to 2199 is expected")]
    Year(i32),
}

const EPOCH: Date = jiff::civil::date(1970, 1, 1);

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
        if !(1900..=2199).contains(&year) {
            return Err(DayError::Year(year));
        }
        let wrong = || DayError::Calendar { year, month, day };
        let date = Date::new(
            i16::try_from(year).map_err(|_| wrong())?,
            i8::try_from(month).map_err(|_| wrong())?,
            i8::try_from(day).map_err(|_| wrong())?,
        )
        .map_err(|_| wrong())?;
        Ok(Self::from_date(date))
    }

    /// Days since 1970-01-01.
    #[must_use]
    pub const fn number(self) -> i32 {
        self.0
    }

    /// From days since 1970-01-01, held within 1900–2199.
    #[must_use]
    pub fn from_number(number: i32) -> Self {
        Self(number.clamp(Self::FIRST.0, Self::LAST.0))
    }

    /// From a calendar date of the date library.
    #[must_use]
    pub fn from_date(date: Date) -> Self {
        let days = date.duration_since(EPOCH).as_hours() / 24;
        Self::from_number(i32::try_from(days).unwrap_or(i32::MAX))
    }

    /// The calendar date for the date library.
    #[must_use]
    pub fn date(self) -> Date {
        EPOCH.saturating_add(jiff::Span::new().days(i64::from(self.0)))
    }

    /// Year, month (1–12), day of the month (1–31).
    #[must_use]
    pub fn parts(self) -> (i32, u32, u32) {
        let date = self.date();
        (i32::from(date.year()), date.month().unsigned_abs().into(), date.day().unsigned_abs().into())
    }

    /// 0 Monday … 6 Sunday. 1970-01-01 was a Thursday.
    #[must_use]
    pub const fn weekday_from_monday(self) -> u8 {
        (self.0 + 3).rem_euclid(7) as u8
    }

    /// "Tuesday".
    #[must_use]
    pub const fn weekday_word(self) -> &'static str {
        match self.weekday_from_monday() {
            0 => "Monday",
            1 => "Tuesday",
            2 => "Wednesday",
            3 => "Thursday",
            4 => "Friday",
            5 => "Saturday",
            _ => "Sunday",
        }
    }

    /// The same day of the month so many calendar months later; the last of the month where there is
    /// no such day (31 January + 1 month = 28 or 29 February).
    #[must_use]
    pub fn plus_months(self, months: i32) -> Self {
        Self::from_date(self.date().saturating_add(jiff::Span::new().months(months)))
    }

    /// The birthday so many years later; 29 February becomes 28 February in other years.
    #[must_use]
    pub fn plus_years(self, years: i32) -> Self {
        self.plus_months(years.saturating_mul(12))
    }

    /// Whole calendar months from `self` to `later`, rounded down; negative when `later` is earlier.
    #[must_use]
    pub fn months_to(self, later: Self) -> i32 {
        let ((y0, m0, d0), (y1, m1, d1)) = (self.parts(), later.parts());
        let months = (y1 - y0) * 12 + (m1 as i32 - m0 as i32);
        let last_of_month = later.plus_days(1).parts().2 == 1;
        if d1 < d0 && !last_of_month { months - 1 } else { months }
    }

    /// So many days later (or earlier, when negative).
    #[must_use]
    pub fn plus_days(self, days: i32) -> Self {
        Self::from_number(self.0.saturating_add(days))
    }

    /// "5 October 2023".
    #[must_use]
    pub fn words(self) -> String {
        let (year, month, day) = self.parts();
        let name = MONTHS[(month as usize).saturating_sub(1) % 12];
        format!("{day} {name} {year}")
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

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.parts();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}

impl FromStr for Day {
    type Err = DayError;

    fn from_str(text: &str) -> Result<Self, DayError> {
        let form = || DayError::Form(text.chars().take(40).collect());
        let mut parts = text.splitn(3, '-');
        let mut number = |width: usize| {
            let part = parts.next().ok_or_else(form)?;
            let plain = part.len() == width && part.bytes().all(|b| b.is_ascii_digit());
            if plain { part.parse::<u32>().map_err(|_| form()) } else { Err(form()) }
        };
        let (year, month, day) = (number(4)?, number(2)?, number(2)?);
        Self::new(i32::try_from(year).map_err(|_| form())?, month, day)
    }
}

impl Serialize for Day {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<str>::deserialize(deserializer)?;
        text.parse().map_err(D::Error::custom)
    }
}

/// A window of days, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
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

    /// A window of one day.
    #[must_use]
    pub const fn on(day: Day) -> Self {
        Self { from: day, to: day }
    }

    /// Whether the day lies in the window, ends included.
    #[must_use]
    pub fn contains(self, day: Day) -> bool {
        self.from <= day && day <= self.to
    }
}

/// An instant in UTC to the second, when an entry was written. On the wire `2024-07-30T09:12:04Z`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Timestamp(i64);

impl Timestamp {
    /// Seconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub const fn from_seconds(seconds: i64) -> Self {
        Self(seconds)
    }

    /// Seconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub const fn seconds(self) -> i64 {
        self.0
    }

    /// The UTC day of the instant.
    #[must_use]
    pub fn day(self) -> Day {
        Day::from_number(i32::try_from(self.0.div_euclid(86_400)).unwrap_or(i32::MAX))
    }
}

impl fmt::Display for Timestamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let second = self.0.rem_euclid(86_400);
        write!(f, "{}T{:02}:{:02}:{:02}Z", self.day(), second / 3600, second / 60 % 60, second % 60)
    }
}

impl FromStr for Timestamp {
    type Err = DayError;

    fn from_str(text: &str) -> Result<Self, DayError> {
        let instant: jiff::Timestamp =
            text.parse().map_err(|_| DayError::Form(text.chars().take(40).collect()))?;
        Ok(Self(instant.as_second()))
    }
}

impl Serialize for Timestamp {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Timestamp {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<str>::deserialize(deserializer)?;
        text.parse().map_err(D::Error::custom)
    }
}
