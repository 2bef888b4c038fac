//! What a clinic had planned for a child after a visit, for results: the plan of
//! [`course::PlannedIntervals`] as it was at the visit, until bracing comes to its planned end.
//!
//! Nothing more is planned at the planned end of bracing or later, where bracing stopped or began a year or
//! more before. Of two feet the one that is lost first counts, as long as anything is planned for one of them.

use crate::dropout::CareStage;
use course::{Course, FootCourse, LossStage, Phase, PlanReading, PlannedIntervals};
use record::Day;

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

/// What was planned for a child after a visit; `None` where no plan applies.
pub(crate) fn next_visit(plan: &PlannedIntervals, course: &Course, visit: Day) -> Option<NextVisit> {
    let finished = |foot: &&FootCourse| is_finished(plan, course, foot, visit);
    let open = course.feet.iter().filter(|foot| !finished(foot));
    let planned = open.filter_map(|foot| plan.of_foot(course, foot, visit, PlanReading::AtVisit));
    match plan.of_child(course, visit, planned) {
        Some(next) => {
            let stage = next.stage().map_or(CareStage::After, CareStage::from);
            Some(NextVisit::Planned { due: next.due, until: next.until, stage })
        }
        None => course.feet.iter().any(|foot| finished(&foot)).then_some(NextVisit::Finished),
    }
}

/// Whether bracing of a foot had come to its planned end by a visit. A brace whose end is not recorded counts as
/// over too, unless bracing began within a year: after a late start or a relapse it continues beyond the
/// planned age.
fn is_finished(plan: &PlannedIntervals, course: &Course, foot: &FootCourse, visit: Day) -> bool {
    let Some(phase) = foot.phase_on(visit).filter(|_| is_at_the_end(plan, course, visit)) else {
        return false;
    };
    match (LossStage::of(phase), phase) {
        (Some(LossStage::Bracing), _) => {
            let since = course.brace_on(visit).map(|spell| spell.bracing_since);
            since.is_none_or(|since| visit >= since.plus_years(1))
        }
        (_, phase) => phase == Phase::AfterBracing,
    }
}

fn is_at_the_end(plan: &PlannedIntervals, course: &Course, visit: Day) -> bool {
    end_from(plan, course).is_some_and(|end| visit >= end)
}

/// The first day on which a visit may serve as the last one of bracing: the planned end, less the days of
/// grace within which one visit serves for the review too. Without a day of birth the years count from
/// the first brace.
pub(crate) fn end_from(plan: &PlannedIntervals, course: &Course) -> Option<Day> {
    let from = course.about.born.or_else(|| course.braces.first().map(|spell| spell.from))?;
    Some(from.plus_years(plan.reviews.bracing_ends_years) - plan.reviews.grace_days)
}
