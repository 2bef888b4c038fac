//! How long records are kept: when each falls due for erasure by the clinic's own rule. Nothing is erased here.

use crate::ClinicRecords;
use archive::ArchiveError;
use record::{ChildId, Day, Entry};

/// The rule of a clinic: years after the last entry, until an age, or the later of both.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct RetentionRule {
    /// Years after the last entry.
    pub years_after_last: Option<u16>,
    /// Age in years until which a record is kept.
    pub until_age: Option<u16>,
}

/// When a record falls due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RetentionDue {
    /// From this day on, because of the last entry, made on the second day.
    AfterLast(Day, Day),
    /// From this day on, because of the age.
    AtAge(Day),
    /// It cannot be told: the rule has an age, and the day of birth is not known.
    BirthUnknown,
}

impl RetentionDue {
    /// The first day on which the record is due; `None` where it cannot be told.
    #[must_use]
    pub const fn day(self) -> Option<Day> {
        match self {
            Self::AfterLast(day, _) | Self::AtAge(day) => Some(day),
            Self::BirthUnknown => None,
        }
    }
}

impl RetentionRule {
    /// Whether a period is set at all.
    #[must_use]
    pub const fn is_set(self) -> bool {
        self.years_after_last.is_some() || self.until_age.is_some()
    }

    /// The rule in words, as in "The clinic keeps records …"; `None` where none is set.
    #[must_use]
    pub fn words(self) -> Option<String> {
        match (self.years_after_last, self.until_age) {
            (None, None) => None,
            (Some(years), None) => Some(format!("for {years} years after the last entry")),
            (None, Some(age)) => Some(format!("until the age of {age} years")),
            (Some(years), Some(age)) => Some(format!(
                "for {years} years after the last entry or until the age of {age} years, whichever is later"
            )),
        }
    }

    /// When a record falls due, by the day of the last entry and the day of birth; `None` where no period is set.
    #[must_use]
    pub fn due(self, last: Day, born: Option<Day>) -> Option<RetentionDue> {
        let after = self.years_after_last.map(|years| years_later(last, years));
        let at_age = match self.until_age {
            None => None,
            Some(age) => match born {
                None => return Some(RetentionDue::BirthUnknown),
                Some(born) => Some(years_later(born, age)),
            },
        };
        match (after, at_age) {
            (None, None) => None,
            (Some(after), Some(at_age)) if at_age >= after => Some(RetentionDue::AtAge(at_age)),
            (Some(after), _) => Some(RetentionDue::AfterLast(after, last)),
            (None, Some(at_age)) => Some(RetentionDue::AtAge(at_age)),
        }
    }
}

/// The same date years later. A year without 29 February has 1 March instead, so that nothing falls due before the
/// whole time has passed.
fn years_later(day: Day, years: u16) -> Day {
    let later = day.plus_years(i32::from(years));
    if later.parts().2 < day.parts().2 { later + 1 } else { later }
}

/// The last day on which anything was recorded for or about a day.
fn last_day(entries: &[Entry]) -> Option<Day> {
    entries.iter().map(|entry| entry.on.max(entry.at.day())).max()
}

impl ClinicRecords {
    /// When each record falls due by a rule, in the order in which the children were first written. Records without
    /// an entry that is left are not among them.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn retention(&self, rule: RetentionRule) -> Result<Vec<(ChildId, RetentionDue)>, ArchiveError> {
        let mut last_days = Vec::new();
        if rule.is_set() {
            self.for_each_child(&mut |child, entries| {
                last_days.extend(last_day(&entries).map(|last| (child, last)));
            })?;
        }
        let mut found = Vec::with_capacity(last_days.len());
        for (child, last) in last_days {
            let born = self.summary_of(child)?.and_then(|summary| summary.born);
            found.extend(rule.due(last, born).map(|due| (child, due)));
        }
        Ok(found)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    fn rule(years: Option<u16>, age: Option<u16>) -> RetentionRule {
        RetentionRule { years_after_last: years, until_age: age }
    }

    /// By hand, with the calendar: 2028 and 2044 are leap years, 2030, 2042 and 2100 are not.
    #[test]
    fn the_later_of_both_days_counts_and_a_leap_day_never_comes_early() {
        let (last, born) = (day("2020-06-15"), Some(day("2012-03-01")));
        // 15 June 2020 and 10 years; 1 March 2012 and 18 years is 1 March 2030, which is earlier.
        let due = rule(Some(10), None).due(last, born);
        assert_eq!(due, Some(RetentionDue::AfterLast(day("2030-06-15"), last)));
        assert_eq!(rule(Some(10), Some(18)).due(last, born), due);
        // 1 March 2012 and 25 years.
        assert_eq!(rule(Some(10), Some(25)).due(last, born), Some(RetentionDue::AtAge(day("2037-03-01"))));
        assert_eq!(rule(None, Some(18)).due(last, born), Some(RetentionDue::AtAge(day("2030-03-01"))));
        assert_eq!(rule(None, None).due(last, born), None);
        // Born on 29 February 2024: 18 years are complete at the end of 28 February 2042, so due on 1 March; 20 years
        // on 29 February 2044.
        let leap = Some(day("2024-02-29"));
        assert_eq!(rule(None, Some(18)).due(last, leap), Some(RetentionDue::AtAge(day("2042-03-01"))));
        assert_eq!(rule(None, Some(20)).due(last, leap), Some(RetentionDue::AtAge(day("2044-02-29"))));
        // The last entry on 29 February 2020 and 10 years: 1 March 2030; 8 years: 29 February 2028.
        let last = day("2020-02-29");
        assert_eq!(rule(Some(10), None).due(last, None).unwrap().day(), Some(day("2030-03-01")));
        assert_eq!(rule(Some(8), None).due(last, None).unwrap().day(), Some(day("2028-02-29")));
        // 31 March stays 31 March.
        assert_eq!(rule(Some(1), None).due(day("2021-03-31"), None).unwrap().day(), Some(day("2022-03-31")));
    }

    #[test]
    fn a_missing_day_of_birth_is_never_guessed() {
        let last = day("1990-01-01");
        assert_eq!(rule(Some(1), Some(18)).due(last, None), Some(RetentionDue::BirthUnknown));
        assert_eq!(RetentionDue::BirthUnknown.day(), None);
    }

    #[test]
    fn the_rule_is_said_in_words() {
        assert_eq!(rule(None, None).words(), None);
        assert_eq!(
            rule(Some(10), Some(25)).words().unwrap(),
            "for 10 years after the last entry or until the age of 25 years, whichever is later"
        );
    }
}
