//! Until when a child that is not seen counts as followed: loss to follow-up by the planned interval, for the
//! list of children to call and for the caseload.
//!
//! A child counts as followed for the protocol's time without a visit (`contact.lost_*`, built in as
//! published, [`LossStage::published_days`]), of two feet for the shorter; until the last day in time for a
//! visit booked by the last one; while every foot is in the brace and the early reviews are done, until the
//! last day in time for the review that the protocol plans, and until the day of an appointment ahead,
//! whenever it was made. Results count the same way from plain data
//! (`audit::LossDefinition::ByPlannedInterval`); a test holds them together.

use crate::Protocol;
use course::{AppointmentState, Course, LossStage, Phase};
use record::{Day, EntryId};

/// Until when a child that is not seen again counts as followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FollowedUntil {
    /// The day of the last visit.
    pub seen: Day,
    /// The stage whose time without a visit ends first.
    pub stage: LossStage,
    /// The last day of that time.
    pub defined: Day,
    /// The last day in time for the planned review, or for the visit booked at the last one, where that is
    /// later.
    pub planned: Option<Day>,
    /// The visit booked at the last one, where it decides `planned`.
    pub booked: Option<Day>,
    /// An appointment ahead that is later than both, with its entry.
    pub awaited: Option<(Day, EntryId)>,
}

impl FollowedUntil {
    /// Of a child by a protocol; `None` where nothing is defined for the stage of its feet, it was never seen,
    /// or not since care was opened again.
    #[must_use]
    pub fn of(course: &Course, protocol: &Protocol) -> Option<Self> {
        if course.reopened_unseen().is_some() {
            return None;
        }
        let seen = course.last_seen()?;
        let (defined, stage) = first_limit(course, protocol, |foot| Some(foot.phase))?;
        let review = planned_until(course, protocol, seen).filter(|&planned| planned > defined);
        let last = review.unwrap_or(defined);
        let grace = grace_days(protocol, stage);
        let booked = booked_at(course, seen).filter(|&day| day + grace > last);
        let planned = booked.map(|day| day + grace).or(review);
        let last = planned.unwrap_or(defined);
        let awaited = awaited(course, protocol, seen).filter(|&(day, _)| day > last);
        Some(Self { seen, stage, defined, planned, booked, awaited })
    }

    /// The last day on which the child counts as followed.
    #[must_use]
    pub fn last(&self) -> Day {
        self.awaited.map_or(self.planned.unwrap_or(self.defined), |(day, _)| day)
    }
}

/// The first end of the time without a visit among the feet, each in the phase given for it.
pub(crate) fn first_limit(
    course: &Course,
    protocol: &Protocol,
    phase: impl Fn(&course::FootCourse) -> Option<Phase>,
) -> Option<(Day, LossStage)> {
    let seen = course.last_seen()?;
    let stages = course.feet.iter().filter_map(|foot| LossStage::of(phase(foot)?));
    stages.map(|stage| (limit(protocol, stage, seen), stage)).min_by_key(|(day, _)| *day)
}

/// The last day that still counts as followed for a child seen on a day.
fn limit(protocol: &Protocol, stage: LossStage, seen: Day) -> Day {
    match stage {
        LossStage::Casting => seen + i32::from(protocol.lost_casting_days),
        LossStage::Tenotomy => seen + i32::from(protocol.lost_tenotomy_days),
        LossStage::Bracing => seen.plus_months(protocol.lost_bracing_months.into()),
    }
}

/// The last day in time for the next later review in the brace, if one is planned.
fn planned_until(course: &Course, protocol: &Protocol, seen: Day) -> Option<Day> {
    let in_brace = course.brace_now().is_some() && is_at_later_reviews(course, protocol);
    in_brace.then(|| protocol.review_in_time_until(seen, course.about.born, true))
}

/// Days by which a booked visit may be late: a cast by as much as one not booked, a review by its days of
/// grace.
fn grace_days(protocol: &Protocol, stage: LossStage) -> i32 {
    match stage {
        LossStage::Casting | LossStage::Tenotomy => {
            i32::from(protocol.cast_interval_range_days.high) - i32::from(protocol.cast_interval_days)
        }
        LossStage::Bracing => protocol.review_days_after.into(),
    }
}

/// The next visit that had been booked by a day.
fn booked_at(course: &Course, visit: Day) -> Option<Day> {
    let booked = course.appointments.iter().filter(|one| {
        one.made_on.is_some_and(|made| made <= visit)
            && one.state != AppointmentState::Cancelled
            && one.for_day > visit
    });
    booked.map(|one| one.for_day).min()
}

/// The next appointment after the last visit, if every foot is in the brace.
fn awaited(course: &Course, protocol: &Protocol, seen: Day) -> Option<(Day, EntryId)> {
    let in_brace = course.brace_now().is_some() && is_at_later_reviews(course, protocol);
    let next = course.next_appointment(seen + 1).filter(|_| in_brace)?;
    Some((next.for_day, next.entry))
}

/// Whether the child is at the stage of later reviews: no foot in casts or waiting, and every early review in
/// the brace done.
pub(crate) fn is_at_later_reviews(course: &Course, protocol: &Protocol) -> bool {
    let late =
        |phase: Phase| phase.is_in_brace() || matches!(phase, Phase::AfterBracing | Phase::AfterSurgery);
    let feet = &course.feet;
    !feet.is_empty() && feet.iter().all(|foot| late(foot.phase)) && !early_outstanding(course, protocol)
}

fn early_outstanding(course: &Course, protocol: &Protocol) -> bool {
    let Some(since) = course.brace_now().map(|spell| spell.bracing_since) else { return false };
    let seen_from = |day| course.last_seen().is_some_and(|seen| seen >= day);
    protocol.early_reviews().any(|review| !seen_from(since + review.from_days.max(1)))
}
