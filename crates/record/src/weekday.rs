//! Days of the week.

use crate::Day;
use serde::Deserialize;

/// A day of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Weekday {
    /// 0.
    Monday,
    /// 1.
    Tuesday,
    /// 2.
    Wednesday,
    /// 3.
    Thursday,
    /// 4.
    Friday,
    /// 5.
    Saturday,
    /// 6.
    Sunday,
}

impl Weekday {
    /// All seven, Monday first.
    pub const ALL: [Self; 7] = [
        Self::Monday,
        Self::Tuesday,
        Self::Wednesday,
        Self::Thursday,
        Self::Friday,
        Self::Saturday,
        Self::Sunday,
    ];

    /// "Monday".
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Monday => "Monday",
            Self::Tuesday => "Tuesday",
            Self::Wednesday => "Wednesday",
            Self::Thursday => "Thursday",
            Self::Friday => "Friday",
            Self::Saturday => "Saturday",
            Self::Sunday => "Sunday",
        }
    }

    /// 0 Monday … 6 Sunday.
    #[must_use]
    pub const fn from_monday(self) -> u8 {
        self as u8
    }
}

impl Day {
    /// The day of the week. 1970-01-01 was a Thursday.
    #[must_use]
    pub const fn weekday(self) -> Weekday {
        match self.weekday_from_monday() {
            0 => Weekday::Monday,
            1 => Weekday::Tuesday,
            2 => Weekday::Wednesday,
            3 => Weekday::Thursday,
            4 => Weekday::Friday,
            5 => Weekday::Saturday,
            _ => Weekday::Sunday,
        }
    }

    /// "Tuesday".
    #[must_use]
    pub const fn weekday_word(self) -> &'static str {
        self.weekday().word()
    }
}
