//! A day that may be unknown, in four bytes.

use record::Day;

/// A day, or nothing: half the room of `Option<Day>`, of which a foot holds a dozen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct When(i32);

impl When {
    /// Nothing.
    pub const NEVER: Self = Self(i32::MIN);

    /// The day, where there is one.
    #[must_use]
    pub fn day(self) -> Option<Day> {
        (self != Self::NEVER).then(|| Day::from_number(self.0))
    }

    /// The number of the day ([`Day::number`]), where there is one.
    #[must_use]
    pub const fn number(self) -> Option<i32> {
        if self.0 == i32::MIN { None } else { Some(self.0) }
    }
}

impl Default for When {
    fn default() -> Self {
        Self::NEVER
    }
}

impl From<Day> for When {
    fn from(day: Day) -> Self {
        Self(day.number())
    }
}

impl From<Option<Day>> for When {
    fn from(day: Option<Day>) -> Self {
        day.map_or(Self::NEVER, Self::from)
    }
}
