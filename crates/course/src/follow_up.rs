//! Until when a child that is not seen again counts as followed: the visits that a clinic plans, and the time
//! without a visit that it allows.
//!
//! The intervals are the clinic's own and come as plain data ([`PlannedIntervals`]); this crate has none. After
//! a visit the next one has a due day and a last day on which it is still in time:
//!
//! | phase of the foot | due | in time until |
//! |---|---|---|
//! | casts, waiting for a tenotomy | the interval between casts | the end of its range |
//! | cast after a tenotomy | the day that cast is due off | the days of grace after it |
//! | brace, an early review due | the day of that review | the end of its days |
//! | brace, after bracing | the review interval of the age; the end of bracing where one visit serves for both | the days of grace after it |
//! | after surgery | the review after it, then as after bracing | the days of grace after it |
//!
//! A foot in a [`LossStage`] is never lost before the time without a visit that the clinic allows in that stage.
//! An appointment that had been booked by the visit counts instead where it is later. Of two feet the one that
//! is lost first counts.
//!
//! Results and the list of children to call use this one computation. Where they differ on purpose, the
//! difference has a name ([`PlanReading`], [`UnknownAge`]) or is a filter on the feet that they pass to
//! [`PlannedIntervals::of_child`].

use crate::{AppointmentState, Course, FootCourse, LossStage, Phase};
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

/// The later reviews in the brace and after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct ReviewIntervals {
    /// Months between later reviews until the third birthday.
    #[serde(rename = "review_months_under_3y")]
    pub months_under_3y: i32,
    /// Months between later reviews until the fourth birthday.
    #[serde(rename = "review_months_under_4y")]
    pub months_under_4y: i32,
    /// Months between later reviews from the fourth birthday on.
    #[serde(rename = "review_months_older")]
    pub months_older: i32,
    /// Days by which a later review may be late.
    #[serde(rename = "review_grace_days")]
    pub grace_days: i32,
    /// Age at which bracing ends, years.
    pub bracing_ends_years: i32,
}

/// The interval between later reviews where the day of birth is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnknownAge {
    /// The shortest, so that an unknown age delays no review and no call.
    ShortestInterval,
    /// The longest, so that nobody counts as lost too soon.
    LongestInterval,
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
    /// Later reviews.
    #[serde(flatten)]
    pub reviews: ReviewIntervals,
    /// Days without a visit in casts after which the clinic calls a child lost.
    pub lost_casting_days: i32,
    /// Days without a visit around a tenotomy after which the clinic calls a child lost.
    pub lost_tenotomy_days: i32,
    /// Months without a visit in the brace after which the clinic calls a child lost.
    pub lost_bracing_months: i32,
}

/// As of when phase and brace are read for the plan after a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlanReading {
    /// At the visit: what was planned when the child left. For results, with [`UnknownAge::LongestInterval`].
    AtVisit,
    /// On the day of the course, so that a booking or a change by telephone since the visit counts. For the list
    /// of children to call, with [`UnknownAge::ShortestInterval`].
    Now,
}

impl PlanReading {
    const fn day(self, course: &Course, visit: Day) -> Day {
        match self {
            Self::AtVisit => visit,
            Self::Now => course.as_of,
        }
    }

    const fn unknown_age(self) -> UnknownAge {
        match self {
            Self::AtVisit => UnknownAge::LongestInterval,
            Self::Now => UnknownAge::ShortestInterval,
        }
    }
}

/// The visit planned after another one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlannedVisit {
    /// The phase of the foot that is lost first.
    pub phase: Phase,
    /// The day it is due.
    pub due: Day,
    /// The last day of the time without a visit that the clinic allows in the stage.
    pub allowed_until: Option<Day>,
    /// The appointment booked by the earlier visit, where it decides `until`.
    pub booked: Option<Day>,
    /// The last day on which the child counts as followed.
    pub until: Day,
}

impl PlannedVisit {
    /// The stage of the foot that is lost first; `None` after bracing and after other surgery.
    #[must_use]
    pub const fn stage(&self) -> Option<LossStage> {
        LossStage::of(self.phase)
    }
}

impl ReviewIntervals {
    /// Calendar months from a review on a day to the next.
    #[must_use]
    pub fn months(&self, last: Day, born: Option<Day>, unknown_age: UnknownAge) -> i32 {
        let all = [self.months_under_3y, self.months_under_4y, self.months_older];
        match (born.map(|born| born.months_to(last)), unknown_age) {
            (Some(48..), _) => self.months_older,
            (Some(36..), _) => self.months_under_4y,
            (Some(_), _) => self.months_under_3y,
            (None, UnknownAge::ShortestInterval) => all.into_iter().fold(i32::MAX, i32::min),
            (None, UnknownAge::LongestInterval) => all.into_iter().fold(0, i32::max),
        }
    }

    /// The day on which the next review is due after one on a day; in the brace the end of bracing if that is
    /// within the days of the review, because one visit then serves for both.
    #[must_use]
    pub fn due(&self, last: Day, born: Option<Day>, unknown_age: UnknownAge, in_brace: bool) -> Day {
        let due = last.plus_months(self.months(last, born, unknown_age));
        let serves = |end: &Day| in_brace && *end > last && *end <= due + self.grace_days;
        self.bracing_ends(born).filter(serves).unwrap_or(due)
    }

    /// The day on which bracing ends, if the day of birth is known.
    #[must_use]
    pub fn bracing_ends(&self, born: Option<Day>) -> Option<Day> {
        born.map(|born| born.plus_years(self.bracing_ends_years))
    }
}

impl PlannedIntervals {
    /// The longest time from a visit to the last day in time for the next, in days; a month has at most 31.
    #[must_use]
    pub fn longest_days(&self) -> i32 {
        let ReviewIntervals { months_under_3y, months_under_4y, months_older, grace_days, .. } = self.reviews;
        let months = [months_under_3y, months_under_4y, months_older, self.lost_bracing_months];
        let casts = self.tenotomy_cast_older.in_time_days.max(self.tenotomy_cast.in_time_days);
        let early = self.early_reviews.iter().map(|review| review.in_time_days).fold(0, i32::max);
        31 * months.into_iter().fold(0, i32::max) + grace_days + casts.max(early)
    }

    /// The visit planned for a foot after a visit, without appointments; `None` before the first cast and after
    /// the end of care.
    #[must_use]
    pub fn of_foot(
        &self,
        course: &Course,
        foot: &FootCourse,
        visit: Day,
        reading: PlanReading,
    ) -> Option<PlannedVisit> {
        let phase = foot.phase_on(reading.day(course, visit))?;
        let review = || self.later_review(course, visit, reading, false);
        let (due, in_time) = match phase {
            Phase::InCorrection | Phase::WaitingForTenotomy => self.casting.after(visit),
            Phase::TenotomyCast => self.after_tenotomy(course, foot, visit),
            Phase::FullTimeBracing | Phase::NightTimeBracing => self.in_brace(course, visit, reading),
            Phase::AfterBracing => review(),
            Phase::AfterSurgery => self.after_surgery(foot, visit).unwrap_or_else(review),
            _ => return None,
        };
        let allowed_until = LossStage::of(phase).map(|stage| self.allowed_until(stage, visit));
        let until = allowed_until.map_or(in_time, |allowed| allowed.max(in_time));
        Some(PlannedVisit { phase, due, allowed_until, booked: None, until })
    }

    /// The visit planned for a child after a visit, from those of its feet and the appointments booked by then;
    /// `None` if nothing is planned for any foot.
    #[must_use]
    pub fn of_child(
        &self,
        course: &Course,
        visit: Day,
        feet: impl IntoIterator<Item = PlannedVisit>,
    ) -> Option<PlannedVisit> {
        let first = feet.into_iter().min_by_key(|foot| (foot.until, foot.due))?;
        let Some(booked) = self.booked(course, visit) else { return Some(first) };
        let in_time = booked + self.booked_grace_days(first.stage());
        let decides = in_time > first.until;
        Some(PlannedVisit {
            due: first.due.max(booked),
            until: first.until.max(in_time),
            booked: decides.then_some(booked),
            ..first
        })
    }

    /// The last day of the time without a visit that the clinic allows in a stage.
    fn allowed_until(&self, stage: LossStage, visit: Day) -> Day {
        match stage {
            LossStage::Casting => visit + self.lost_casting_days,
            LossStage::Tenotomy => visit + self.lost_tenotomy_days,
            LossStage::Bracing => visit.plus_months(self.lost_bracing_months),
        }
    }

    /// Days by which a booked visit may be late: a cast by as much as one not booked, a review by its days of
    /// grace.
    const fn booked_grace_days(&self, stage: Option<LossStage>) -> i32 {
        match stage {
            Some(LossStage::Casting | LossStage::Tenotomy) => {
                self.casting.in_time_days - self.casting.due_days
            }
            Some(LossStage::Bracing) | None => self.reviews.grace_days,
        }
    }

    /// The next appointment that had been booked by a visit. One further ahead than any planned visit does not
    /// count: it may be a slip of the pen.
    fn booked(&self, course: &Course, visit: Day) -> Option<Day> {
        let furthest = visit + self.longest_days();
        let booked = course.appointments.iter().filter(|one| {
            one.made_on.is_some_and(|made| made <= visit)
                && one.state != AppointmentState::Cancelled
                && one.for_day > visit
                && one.for_day <= furthest
        });
        booked.map(|one| one.for_day).min()
    }

    fn after_tenotomy(&self, course: &Course, foot: &FootCourse, visit: Day) -> (Day, Day) {
        let done = foot.tenotomies.iter().rev().map(|cut| cut.on).find(|day| *day <= visit);
        let done = done.unwrap_or(visit);
        let from_years = self.tenotomy_older_from_years;
        let older = course.about.born.is_some_and(|born| done >= born.plus_years(from_years));
        let cast = if older { self.tenotomy_cast_older } else { self.tenotomy_cast };
        let (off, in_time) = cast.after(done);
        // Where the cast is already due off, the brace or the next cast comes next.
        if off > visit { (off, in_time) } else { (visit + self.casting.due_days, visit) }
    }

    fn in_brace(&self, course: &Course, visit: Day, reading: PlanReading) -> (Day, Day) {
        let worn = course.brace_on(reading.day(course, visit));
        let early = worn.and_then(|spell| {
            let since = spell.bracing_since;
            let next = self.early_reviews.iter().find(|review| visit < since + review.from_days)?;
            Some((since + next.due_days, since + next.in_time_days))
        });
        early.unwrap_or_else(|| self.later_review(course, visit, reading, worn.is_some()))
    }

    fn later_review(&self, course: &Course, last: Day, reading: PlanReading, in_brace: bool) -> (Day, Day) {
        let due = self.reviews.due(last, course.about.born, reading.unknown_age(), in_brace);
        (due, due + self.reviews.grace_days)
    }

    /// The review after surgery, if it is still to come after a visit.
    fn after_surgery(&self, foot: &FootCourse, visit: Day) -> Option<(Day, Day)> {
        let done = foot.surgery.iter().rev().map(|one| one.on).find(|day| *day <= visit).unwrap_or(visit);
        Some(self.surgery.after(done)).filter(|(due, _)| *due > visit)
    }
}

impl PlannedInterval {
    /// The due day and the last day in time, after a day.
    fn after(self, day: Day) -> (Day, Day) {
        (day + self.due_days, day + self.in_time_days)
    }
}
