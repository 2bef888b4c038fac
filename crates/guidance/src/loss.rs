//! Until when a child that is not seen counts as followed: loss to follow-up by the planned interval, for the
//! list of children to call and for the caseload.
//!
//! The computation is that of the results, [`course::PlannedIntervals`], read as it holds now
//! ([`PlanReading::Now`]). On purpose two things differ from the results: only feet in casts, around a tenotomy
//! or in the brace count, the brace also after the planned end of bracing, because such a child still has to be
//! seen; and while every foot is in the brace and the early reviews are done, the call waits for an appointment
//! ahead, whenever it was made.

use crate::Protocol;
use course::{Course, LossStage, Phase, PlanReading, PlannedVisit, Standing};
use record::{Day, EntryId};

/// Until when a child that is not seen again counts as followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FollowedUntil {
    /// The day of the last visit.
    pub seen: Day,
    /// The phase of the foot that is lost first.
    pub phase: Phase,
    /// The stage of that phase.
    pub stage: LossStage,
    /// The last day of the time without a visit that the protocol allows in the stage.
    pub defined: Day,
    /// The day on which the next visit is due.
    pub due: Day,
    /// The last day in time for the planned or booked visit, where that is later.
    pub planned: Option<Day>,
    /// The visit booked at the last one, where it decides `planned`.
    pub booked: Option<Day>,
    /// An appointment ahead that is later than both, with its entry.
    pub awaited: Option<(Day, EntryId)>,
}

impl FollowedUntil {
    /// Of a child by a protocol; `None` where nothing is defined for the stage of its feet, it was never seen,
    /// or not since care was opened again, and if the clinic declared it lost.
    #[must_use]
    pub fn of(course: &Course, protocol: &Protocol) -> Option<Self> {
        if course.reopened_unseen().is_some() || matches!(course.standing, Standing::Lost(_)) {
            return None;
        }
        let seen = course.last_seen()?;
        let next = planned_visit(course, protocol, seen)?;
        let (stage, defined) = (next.stage()?, next.allowed_until?);
        let planned = Some(next.until).filter(|&until| until > defined);
        let awaited = awaited(course, protocol, seen).filter(|&(day, _)| day > next.until);
        let PlannedVisit { phase, due, booked, .. } = next;
        Some(Self { seen, phase, stage, defined, due, planned, booked, awaited })
    }

    /// The last day on which the child counts as followed.
    #[must_use]
    pub fn last(&self) -> Day {
        self.awaited.map_or(self.planned.unwrap_or(self.defined), |(day, _)| day)
    }
}

/// The next visit of a child last seen on a day, by its feet in casts, around a tenotomy or in the brace.
fn planned_visit(course: &Course, protocol: &Protocol, seen: Day) -> Option<PlannedVisit> {
    let plan = protocol.planned_intervals();
    let feet = course.feet.iter().filter_map(|foot| plan.of_foot(course, foot, seen, PlanReading::Now));
    plan.of_child(course, seen, feet.filter(|foot| foot.stage().is_some()))
}

/// The last day of the protocol's time without a visit, whatever was planned; of a child declared lost by the
/// phases before the declaration.
pub(crate) fn allowed_until(course: &Course, protocol: &Protocol) -> Option<Day> {
    let (seen, plan) = (course.last_seen()?, protocol.planned_intervals());
    let feet = course.feet.iter().filter_map(|foot| plan.of_foot(course, foot, seen, PlanReading::Now));
    feet.filter_map(|foot| foot.allowed_until).min()
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
