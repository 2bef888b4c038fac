//! Age in the words that clinicians use.

use record::Day;

/// Weeks of gestation that count as term for the correction of age.
pub const TERM_WEEKS: u8 = 40;
/// A child born before this many completed weeks is premature.
pub const PREMATURE_BEFORE_WEEKS: u8 = 37;

/// An age on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Age {
    /// Whole days since birth.
    pub days: i32,
    /// Whole calendar months since birth.
    pub months: i32,
    /// Days since the day on which the child would have reached 40 weeks, for a child born before 37 weeks;
    /// negative before that day.
    pub corrected_days: Option<i32>,
}

impl Age {
    /// Age on a day, from the day of birth and, if known, the whole weeks of gestation.
    #[must_use]
    pub fn on(day: Day, born: Day, gestation_weeks: Option<u8>) -> Self {
        let days = day - born;
        let early = gestation_weeks.filter(|&weeks| weeks < PREMATURE_BEFORE_WEEKS);
        let corrected_days = early.map(|weeks| days - i32::from(TERM_WEEKS - weeks) * 7);
        Self { days, months: born.months_to(day), corrected_days }
    }

    /// In words, such as "9 days", "7 weeks", "14 months" or "3 years 2 months".
    #[must_use]
    pub fn words(self) -> String {
        let plural = |n: i32, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
        match (self.days, self.months) {
            (days, _) if days < 0 => "not yet born".to_owned(),
            (days, _) if days < 14 => plural(days, "day"),
            (days, _) if days < 7 * 20 => plural(days / 7, "week"),
            (_, months) if months < 24 => plural(months, "month"),
            (_, months) if months % 12 == 0 => plural(months / 12, "year"),
            (_, months) => format!("{} {}", plural(months / 12, "year"), plural(months % 12, "month")),
        }
    }
}
