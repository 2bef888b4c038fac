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

    /// As it is said: in days up to two weeks, then in weeks, months and years.
    #[must_use]
    pub const fn said(self) -> AgeSaid {
        match (self.days, self.months) {
            (days, _) if days < 0 => AgeSaid::Unborn,
            (days, _) if days < 14 => AgeSaid::Days(days),
            (days, _) if days < 7 * 20 => AgeSaid::Weeks(days / 7),
            (_, months) if months < 24 => AgeSaid::Months(months),
            (_, months) if months % 12 == 0 => AgeSaid::Years(months / 12),
            (_, months) => AgeSaid::YearsAndMonths(months / 12, months % 12),
        }
    }

    /// In words, such as "9 days", "7 weeks", "14 months" or "3 years 2 months".
    #[must_use]
    pub fn words(self) -> String {
        let plural = |n: i32, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
        match self.said() {
            AgeSaid::Unborn => "not yet born".to_owned(),
            AgeSaid::Days(days) => plural(days, "day"),
            AgeSaid::Weeks(weeks) => plural(weeks, "week"),
            AgeSaid::Months(months) => plural(months, "month"),
            AgeSaid::Years(years) => plural(years, "year"),
            AgeSaid::YearsAndMonths(years, months) => {
                format!("{} {}", plural(years, "year"), plural(months, "month"))
            }
        }
    }
}

/// An age as it is said, in whole units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AgeSaid {
    /// The day is before the birth.
    Unborn,
    /// Days.
    Days(i32),
    /// Weeks.
    Weeks(i32),
    /// Months.
    Months(i32),
    /// Years, on the day of the birthday's month.
    Years(i32),
    /// Years and months.
    YearsAndMonths(i32, i32),
}
