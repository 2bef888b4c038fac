//! On what results rest: the intervals of the clinic's protocol as the plain data that `audit` reads.

use audit::{KnownBy, PlannedInterval, PlannedIntervals, PlannedReview, ResultsBasis};
use guidance::Protocol;
use record::Day;
use std::sync::Arc;

/// The basis of results under a protocol, as known on a day.
#[must_use]
pub fn results_basis(protocol: &Protocol, as_of: Day, known_by: KnownBy) -> ResultsBasis {
    ResultsBasis { as_of, known_by, plan: Arc::new(planned_intervals(protocol)) }
}

/// The intervals a protocol plans. The days of grace around a tenotomy are those that its days of loss
/// leave after the usual cast, also for the longer cast of an older child.
#[must_use]
pub fn planned_intervals(protocol: &Protocol) -> PlannedIntervals {
    let low_to_high = |due_days: u16, range: guidance::Span| PlannedInterval {
        due_days: due_days.into(),
        in_time_days: range.high.into(),
    };
    let grace =
        (i32::from(protocol.lost_tenotomy_days) - i32::from(protocol.tenotomy_cast_range_days.high)).max(0);
    let cast = |due_days: u16, off_by: i32| PlannedInterval {
        due_days: due_days.into(),
        in_time_days: i32::from(due_days).max(off_by) + grace,
    };
    let surgery = i32::from(protocol.surgery_review_days.high);
    PlannedIntervals {
        casting: low_to_high(protocol.cast_interval_days, protocol.cast_interval_range_days),
        tenotomy_cast: cast(protocol.tenotomy_cast_days, protocol.tenotomy_cast_range_days.high.into()),
        tenotomy_cast_older: cast(protocol.tenotomy_older_cast_days, 0),
        tenotomy_older_from_years: protocol.tenotomy_older_from_years.into(),
        surgery: PlannedInterval {
            due_days: surgery,
            in_time_days: surgery + i32::from(protocol.review_days_after),
        },
        early_reviews: protocol.early_reviews().map(early).collect(),
        review_months_under_3y: protocol.review_months_under_3y.into(),
        review_months_under_4y: protocol.review_months_under_4y.into(),
        review_months_older: protocol.review_months_older.into(),
        review_grace_days: protocol.review_days_after.into(),
        bracing_ends_years: protocol.bracing_ends_years.into(),
        lost_casting_days: protocol.lost_casting_days.into(),
        lost_tenotomy_days: protocol.lost_tenotomy_days.into(),
        lost_bracing_months: protocol.lost_bracing_months.into(),
    }
}

const fn early(review: guidance::EarlyReview) -> PlannedReview {
    PlannedReview { from_days: review.from_days, due_days: review.due_days, in_time_days: review.to_days }
}
