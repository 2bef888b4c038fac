//! How long backups are kept.

use record::Timestamp;
use std::collections::BTreeSet;

const DAY: i64 = 24 * 3600;

/// The rule: all of some days, then the last of each week for some weeks, then the last of each month for some months.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RetentionOfBackups {
    /// Days of which all are kept.
    pub days: u16,
    /// Weeks, from Monday on, of which the last one is kept.
    pub weeks: u16,
    /// Months of which the last one is kept.
    pub months: u16,
}

impl Default for RetentionOfBackups {
    fn default() -> Self {
        Self { days: 7, weeks: 8, months: 24 }
    }
}

impl RetentionOfBackups {
    /// Which of these backups are no longer kept, by their place in the list. Days are those of universal time. The newest is always kept, and so is one
    /// from the future, as after a clock went wrong.
    #[must_use]
    pub fn superfluous(self, made: &[Timestamp], now: Timestamp) -> Vec<usize> {
        let mut newest_first: Vec<usize> = (0..made.len()).collect();
        let at = |place: &usize| made.get(*place).map_or(0, |at| at.seconds());
        newest_first.sort_by_key(|place| std::cmp::Reverse(at(place)));
        let (mut weeks, mut months) = (BTreeSet::new(), BTreeSet::new());
        let mut gone = Vec::new();
        for (rank, place) in newest_first.iter().enumerate() {
            let age = now.seconds() - at(place);
            let day = at(place).div_euclid(DAY);
            // 1 January 1970 was a Thursday.
            let first_of_week = weeks.insert((day + 3).div_euclid(7));
            let (year, month, _) = Timestamp::from_seconds(at(place)).day().parts();
            let first_of_month = months.insert((year, month));
            let kept = rank == 0
                || age < i64::from(self.days) * DAY
                || (first_of_week && age < i64::from(self.weeks) * 7 * DAY)
                || (first_of_month && age < i64::from(self.months) * 31 * DAY);
            if !kept {
                gone.push(*place);
            }
        }
        gone.sort_unstable();
        gone
    }

    /// When a backup made at a moment is kept at the longest, seconds since 1970.
    #[must_use]
    pub fn gone_by(self, made: Timestamp) -> Timestamp {
        let days = i64::from(self.days).max(i64::from(self.weeks) * 7).max(i64::from(self.months) * 31);
        Timestamp::from_seconds(made.seconds() + days * DAY)
    }
}
