//! When a clinic plans to see a child again, as plain data.
//!
//! The values come from the clinic's own protocol; this crate has none of its own. After a visit the next
//! visit has a due day and a last day on which it is still in time:
//!
//! | stage at the visit | due | in time until |
//! |---|---|---|
//! | casts, waiting for a tenotomy | the interval between casts | the end of its range |
//! | cast after a tenotomy | the day that cast is due off | the days of grace after it |
//! | brace, an early review due | the day of that review | the end of its days |
//! | brace, bracing stopped early | the review interval of the age; the end of bracing where it falls on the days of that review | the days of grace after it |
//! | after surgery | the review after it, then as in the brace | the days of grace after it |
//! | at the planned end of bracing or later, bracing stopped or begun a year or more before | nothing more | – |
//!
//! An appointment that the clinic itself had made by the visit, for a later day, counts instead, with the
//! days by which a visit of its stage may be late. A child
//! lost before the number of days without a visit after which the clinic's protocol calls it lost, so that
//! results and the attention list agree. Of two feet the one due first counts.

use crate::dropout::CareStage;
use course::{AppointmentState, Course, FootCourse, Phase};
use record::Day;
use serde::Serialize;

/// A planned visit, in days after another day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct PlannedInterval {
    /// The day it is due.
    pub due_days: i32,
    /// The last day in time.
    pub in_time_days: i32,
}

/// An early review, in days after the brace was fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct PlannedReview {
    /// The first day on which a visit counts as this review.
    pub from_days: i32,
    /// The day it is due.
    pub due_days: i32,
    /// The last day in time.
    pub in_time_days: i32,
}

/// The intervals at which a clinic plans to see a child.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PlannedIntervals {
    /// From one cast to the next.
    pub casting: PlannedInterval,
    /// From the tenotomy until its cast comes off.
    pub tenotomy_cast: PlannedInterval,
    /// The same for an older child.
    pub tenotomy_cast_older: PlannedInterval,
    /// Age from which the interval for an older child applies, years.
    pub tenotomy_older_from_years: i32,
    /// From surgery other than a tenotomy to its review.
    pub surgery: PlannedInterval,
    /// Early reviews in the brace, in order.
    pub early_reviews: Vec<PlannedReview>,
    /// Months between later reviews until the third birthday.
    pub review_months_under_3y: i32,
    /// Months between later reviews until the fourth birthday.
    pub review_months_under_4y: i32,
    /// Months between later reviews from the fourth birthday on.
    pub review_months_older: i32,
    /// Days by which a later review may be late.
    pub review_grace_days: i32,
    /// Age at which bracing ends, years.
    pub bracing_ends_years: i32,
    /// Days without a visit in casts after which the clinic calls a child lost.
    pub lost_casting_days: i32,
    /// Days without a visit around a tenotomy after which the clinic calls a child lost.
    pub lost_tenotomy_days: i32,
    /// Months without a visit in the brace after which the clinic calls a child lost.
    pub lost_bracing_months: i32,
}

/// What was planned after a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NextVisit {
    /// A visit.
    Planned {
        due: Day,
        /// The last day on which the child is not lost.
        until: Day,
        stage: CareStage,
    },
    /// Nothing: bracing ended at the planned age.
    Finished,
}

impl PlannedIntervals {
    /// The longest time from a visit to the last day in time for the next, in days; a month has at most 31.
    #[must_use]
    pub fn longest_days(&self) -> i32 {
        let months = [
            self.review_months_under_3y,
            self.review_months_under_4y,
            self.review_months_older,
            self.lost_bracing_months,
        ];
        let casts = self.tenotomy_cast_older.in_time_days.max(self.tenotomy_cast.in_time_days);
        let early = self.early_reviews.iter().map(|review| review.in_time_days).max().unwrap_or(0);
        31 * months.into_iter().max().unwrap_or(0) + self.review_grace_days + casts.max(early)
    }

    /// The next regular review after a visit; the end of bracing if one visit serves for both.
    pub(crate) fn later_review(&self, last: Day, born: Option<Day>, in_brace: bool) -> (Day, Day) {
        let by_age = [self.review_months_under_3y, self.review_months_under_4y, self.review_months_older];
        let months = match born.map(|born| born.months_to(last)) {
            Some(48..) => by_age[2],
            Some(36..) => by_age[1],
            Some(_) => by_age[0],
            // Without an age the planned interval is unknown: the child is not lost before the longest has
            // passed.
            None => by_age.into_iter().max().unwrap_or(0),
        };
        let due = last.plus_months(months);
        let end = born.map(|born| born.plus_years(self.bracing_ends_years));
        let serves = |end: &Day| in_brace && *end > last && *end <= due + self.review_grace_days;
        let due = end.filter(serves).unwrap_or(due);
        (due, due + self.review_grace_days)
    }

    /// What was planned for a child after a visit; `None` where no plan applies.
    pub(crate) fn next_visit(&self, course: &Course, visit: Day) -> Option<NextVisit> {
        let (mut first, mut finished) = (None::<(Day, Day, CareStage)>, false);
        for foot in &course.feet {
            match self.of_foot(course, foot, visit) {
                Some(NextVisit::Planned { due, until, stage }) => {
                    let sooner = first.is_none_or(|one| (until, due) < (one.1, one.0));
                    first = if sooner { Some((due, until, stage)) } else { first };
                }
                Some(NextVisit::Finished) => finished = true,
                None => {}
            }
        }
        let Some((due, until, stage)) = first else { return finished.then_some(NextVisit::Finished) };
        let grace = self.grace_days(stage);
        let booked = self.booked(course, visit);
        let (due, until) = booked.map_or((due, until), |day| (due.max(day), until.max(day + grace)));
        Some(NextVisit::Planned { due, until, stage })
    }

    /// Days by which a booked visit may be late: a cast by as much as one not booked, a review by its days of
    /// grace.
    const fn grace_days(&self, stage: CareStage) -> i32 {
        match stage {
            CareStage::Casting | CareStage::Tenotomy => self.casting.in_time_days - self.casting.due_days,
            CareStage::Bracing | CareStage::After => self.review_grace_days,
        }
    }

    /// The next appointment that had been made by a visit.
    fn booked(&self, course: &Course, visit: Day) -> Option<Day> {
        let furthest = visit + self.longest_days();
        let made = course.appointments.iter().filter(|one| {
            one.made_on.is_some_and(|made| made <= visit)
                && one.state != AppointmentState::Cancelled
                && one.for_day > visit
                && one.for_day <= furthest
        });
        made.map(|one| one.for_day).min()
    }

    fn of_foot(&self, course: &Course, foot: &FootCourse, visit: Day) -> Option<NextVisit> {
        let born = course.about.born;
        let planned = |(due, until), stage| Some(NextVisit::Planned { due, until, stage });
        match phase_on(foot, visit)? {
            Phase::InCorrection => planned(self.in_casts(visit, self.lost_casting_days), CareStage::Casting),
            Phase::WaitingForTenotomy => {
                planned(self.in_casts(visit, self.lost_tenotomy_days), CareStage::Tenotomy)
            }
            Phase::TenotomyCast => planned(self.after_tenotomy(foot, born, visit), CareStage::Tenotomy),
            Phase::FullTimeBracing | Phase::NightTimeBracing if self.brace_is_over(course, visit) => {
                Some(NextVisit::Finished)
            }
            Phase::FullTimeBracing | Phase::NightTimeBracing => {
                let (due, until) = self.in_brace(course, visit);
                planned((due, until.max(visit.plus_months(self.lost_bracing_months))), CareStage::Bracing)
            }
            Phase::AfterBracing if self.is_at_the_end(course, visit) => Some(NextVisit::Finished),
            Phase::AfterBracing => planned(self.later_review(visit, born, false), CareStage::After),
            Phase::AfterSurgery => planned(self.after_surgery(foot, born, visit), CareStage::After),
            _ => None,
        }
    }

    fn in_casts(&self, visit: Day, lost_days: i32) -> (Day, Day) {
        (visit + self.casting.due_days, visit + self.casting.in_time_days.max(lost_days))
    }

    fn after_tenotomy(&self, foot: &FootCourse, born: Option<Day>, visit: Day) -> (Day, Day) {
        let done = foot.tenotomies.iter().rev().map(|cut| cut.on).find(|day| *day <= visit);
        let done = done.unwrap_or(visit);
        let older = born.is_some_and(|born| done >= born.plus_years(self.tenotomy_older_from_years));
        let cast = if older { self.tenotomy_cast_older } else { self.tenotomy_cast };
        let lost = visit + self.lost_tenotomy_days;
        match done + cast.due_days {
            off if off > visit => (off, lost.max(done + cast.in_time_days)),
            // The cast is already due off: the brace, or the next cast, comes next.
            _ => (visit + self.casting.due_days, lost),
        }
    }

    fn in_brace(&self, course: &Course, visit: Day) -> (Day, Day) {
        let worn = worn_on(course, visit);
        let early = worn.and_then(|spell| {
            let since = spell.bracing_since;
            let next = self.early_reviews.iter().find(|review| visit < since + review.from_days)?;
            Some((since + next.due_days, since + next.in_time_days))
        });
        early.unwrap_or_else(|| self.later_review(visit, course.about.born, worn.is_some()))
    }

    /// Whether no more visits are planned for a brace still worn at a visit, although its end is not
    /// recorded. Bracing begun within a year, after a late start or a relapse, continues beyond the planned
    /// age.
    fn brace_is_over(&self, course: &Course, visit: Day) -> bool {
        let since = worn_on(course, visit).map(|spell| spell.bracing_since);
        self.is_at_the_end(course, visit) && since.is_none_or(|since| visit >= since.plus_years(1))
    }

    fn after_surgery(&self, foot: &FootCourse, born: Option<Day>, visit: Day) -> (Day, Day) {
        let done = foot.surgery.iter().rev().map(|one| one.on).find(|day| *day <= visit).unwrap_or(visit);
        let due = done + self.surgery.due_days;
        if due > visit {
            (due, done + self.surgery.in_time_days)
        } else {
            self.later_review(visit, born, false)
        }
    }

    fn is_at_the_end(&self, course: &Course, visit: Day) -> bool {
        self.end_from(course).is_some_and(|end| visit >= end)
    }

    /// The first day on which a visit may serve as the last one of bracing: the planned end, less the days of
    /// grace within which one visit serves for the review too. Without a day of birth the years count from
    /// the first brace.
    pub(crate) fn end_from(&self, course: &Course) -> Option<Day> {
        let from = course.about.born.or_else(|| course.braces.first().map(|spell| spell.from))?;
        Some(from.plus_years(self.bracing_ends_years) - self.review_grace_days)
    }
}

/// The brace spell on a day.
fn worn_on(course: &Course, day: Day) -> Option<&course::BraceSpell> {
    let holds =
        |spell: &&course::BraceSpell| spell.from <= day && spell.until.is_none_or(|(until, _)| day < until);
    course.braces.iter().rev().find(holds)
}

/// The phase of a foot on a day. A phase of loss to follow-up hides the treatment, so the one before it is
/// taken.
pub(crate) fn phase_on(foot: &FootCourse, day: Day) -> Option<Phase> {
    let after = foot.phases.partition_point(|spell| spell.from <= day);
    let mut before = foot.phases[..after].iter().rev();
    before.find(|spell| spell.phase != Phase::LostToFollowUp).map(|spell| spell.phase)
}
