//! Temperatures of a logger, and the days in their seconds.

use record::Day;

/// Temperatures with their times, of equal number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Temperatures<'a> {
    /// Elapsed seconds since any fixed moment (without clock changes), rising.
    pub at_s: &'a [i64],
    /// Degrees Celsius.
    pub celsius: &'a [f64],
}

/// A calendar day in the seconds of [`Temperatures`]; 23 or 25 hours long at a change of the clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DaySpan {
    /// The day.
    pub day: Day,
    /// Its first second.
    pub from_s: i64,
    /// The first second after it.
    pub until_s: i64,
}
