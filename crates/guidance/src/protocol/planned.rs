//! The visits that the protocol plans, as the plain data with which `course` computes until when a child counts
//! as followed.

use super::{EarlyReview, Protocol, Span};
use course::{PlannedInterval, PlannedIntervals, PlannedReview, ReviewIntervals};

impl Protocol {
    /// The intervals at which children are seen, and the time without a visit after which a child counts as
    /// lost.
    #[must_use]
    pub fn planned_intervals(&self) -> PlannedIntervals {
        PlannedIntervals {
            casting: within(self.cast_interval_days, self.cast_interval_range_days),
            tenotomy_cast: self
                .planned_cast(self.tenotomy_cast_days, self.tenotomy_cast_range_days.high.into()),
            tenotomy_cast_older: self.planned_cast(self.tenotomy_older_cast_days, 0),
            tenotomy_older_from_years: self.tenotomy_older_from_years.into(),
            surgery: self.planned_surgery_review(),
            early_reviews: self.early_reviews().map(EarlyReview::planned).collect(),
            reviews: self.review_intervals(),
            lost_casting_days: self.lost_casting_days.into(),
            lost_tenotomy_days: self.lost_tenotomy_days.into(),
            lost_bracing_months: self.lost_bracing_months.into(),
        }
    }

    /// The intervals between later reviews.
    #[must_use]
    pub fn review_intervals(&self) -> ReviewIntervals {
        ReviewIntervals {
            months_under_3y: self.review_months_under_3y.into(),
            months_under_4y: self.review_months_under_4y.into(),
            months_older: self.review_months_older.into(),
            grace_days: self.review_days_after.into(),
            bracing_ends_years: self.bracing_ends_years.into(),
        }
    }

    /// A cast after a tenotomy. Its days of grace are those that the days of loss leave after the usual cast, also
    /// for the longer cast of an older child.
    fn planned_cast(&self, due_days: u16, off_by_days: i32) -> PlannedInterval {
        let usual_off_by = i32::from(self.tenotomy_cast_range_days.high);
        let grace = (i32::from(self.lost_tenotomy_days) - usual_off_by).max(0);
        let due_days = i32::from(due_days);
        PlannedInterval { due_days, in_time_days: due_days.max(off_by_days) + grace }
    }

    fn planned_surgery_review(&self) -> PlannedInterval {
        let due_days = i32::from(self.surgery_review_days.high);
        PlannedInterval { due_days, in_time_days: due_days + i32::from(self.review_days_after) }
    }
}

impl EarlyReview {
    /// As plain data. The fitting itself is not a review, even if a review may come very soon after it.
    const fn planned(self) -> PlannedReview {
        let Self { from_days, due_days, to_days, .. } = self;
        PlannedReview {
            from_days: if from_days < 1 { 1 } else { from_days },
            due_days,
            in_time_days: to_days,
        }
    }
}

fn within(due_days: u16, range: Span) -> PlannedInterval {
    PlannedInterval { due_days: due_days.into(), in_time_days: range.high.into() }
}
