//! A day that may be unknown, stored in four bytes.

use record::Day;

/// A day or none, in half the memory of `Option<Day>`: a foot holds a dozen of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OptionalDay(i32);

impl OptionalDay {
    /// No day.
    pub const NEVER: Self = Self(i32::MIN);

    /// The day, if there is one.
    #[must_use]
    pub fn day(self) -> Option<Day> {
        (self != Self::NEVER).then(|| Day::from_number(self.0))
    }

    /// The number of the day ([`Day::number`]), if there is one.
    #[must_use]
    pub const fn number(self) -> Option<i32> {
        if self.0 == i32::MIN { None } else { Some(self.0) }
    }
}

impl Default for OptionalDay {
    fn default() -> Self {
        Self::NEVER
    }
}

impl From<Day> for OptionalDay {
    fn from(day: Day) -> Self {
        Self(day.number())
    }
}

impl From<Option<Day>> for OptionalDay {
    fn from(day: Option<Day>) -> Self {
        day.map_or(Self::NEVER, Self::from)
    }
}
