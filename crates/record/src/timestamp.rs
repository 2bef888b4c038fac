//! An instant: when an entry was written.

use crate::{
    Day, DayError,
    text::{self, Fixed, digits},
};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::{fmt, str::FromStr};

/// An instant in UTC to the second, when an entry was written. On the wire `2024-07-30T09:12:04Z`.
///
/// Limited to the years 1900–2199, as [`Day`] is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Timestamp(i64);

const DAY_SECONDS: i64 = 86_400;
const FIRST: i64 = Day::FIRST.number() as i64 * DAY_SECONDS;
const LAST: i64 = (Day::LAST.number() as i64 + 1) * DAY_SECONDS - 1;

impl Timestamp {
    /// From seconds since 1970-01-01T00:00:00Z; instants outside 1900–2199 become the first or last of them.
    #[must_use]
    pub const fn from_seconds(seconds: i64) -> Self {
        if seconds < FIRST {
            Self(FIRST)
        } else if seconds > LAST {
            Self(LAST)
        } else {
            Self(seconds)
        }
    }

    /// Seconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub const fn seconds(self) -> i64 {
        self.0
    }

    /// The UTC day of the instant.
    #[must_use]
    pub fn day(self) -> Day {
        Day::from_number(self.0.div_euclid(DAY_SECONDS) as i32)
    }

    fn text(self) -> Fixed<20> {
        let mut text = Fixed(*b"0000-00-00T00:00:00Z");
        let (year, month, day) = self.day().parts();
        let second = self.0.rem_euclid(DAY_SECONDS) as u32;
        text.put(0, 4, year.unsigned_abs());
        for (start, number) in
            [(5, month), (8, day), (11, second / 3600), (14, second / 60 % 60), (17, second % 60)]
        {
            text.put(start, 2, number);
        }
        text
    }
}

impl fmt::Display for Timestamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.text().as_str())
    }
}

/// Reads the form that this program writes, without the date library; `None` for any other form.
fn own_form(text: &str) -> Option<Result<Timestamp, DayError>> {
    let day = text.get(..10)?;
    let [b'T', clock @ ..] = text.as_bytes().get(10..)? else { return None };
    let [h1, h2, b':', m1, m2, b':', s1, s2, b'Z'] = *clock else { return None };
    let (hour, minute, second) = (digits(&[h1, h2])?, digits(&[m1, m2])?, digits(&[s1, s2])?);
    if hour > 23 || minute > 59 || second > 59 {
        return None;
    }
    let of_day = i64::from(hour * 3600 + minute * 60 + second);
    Some(day.parse::<Day>().map(|day| Timestamp(i64::from(day.number()) * DAY_SECONDS + of_day)))
}

impl FromStr for Timestamp {
    type Err = DayError;

    /// Reads the form that this program writes, or any RFC 3339 instant with an offset; a fraction of a
    /// second is dropped.
    fn from_str(text: &str) -> Result<Self, DayError> {
        if let Some(read) = own_form(text) {
            return read;
        }
        let instant: jiff::Timestamp = text.parse().map_err(|_| DayError::Instant(crate::quoted(text)))?;
        let seconds = instant.as_nanosecond().div_euclid(1_000_000_000) as i64;
        if (FIRST..=LAST).contains(&seconds) {
            return Ok(Self(seconds));
        }
        Err(DayError::Year(jiff::tz::Offset::UTC.to_datetime(instant).year().into()))
    }
}

impl Serialize for Timestamp {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.text().serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Timestamp {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        text::deserialize(deserializer, "an instant such as 2024-07-30T09:12:04Z")
    }
}
