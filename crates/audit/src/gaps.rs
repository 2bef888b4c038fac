//! Drop-out by the published definition: no visit within 3 weeks in casts, 4 weeks around a tenotomy,
//! 6 months in the brace (a cohort of 965 children, J Foot Ankle Surg 2021, S1067-2516(21)00458-0).
//!
//! A child belongs to the strictest stage of its feet. The stage is that at the end of the earlier visit.
//! Before the first cast, after bracing and after other surgery no rule applies.

use crate::{Gap, history::Stage};
use course::{Course, FootCourse, Phase, Standing};
use record::Day;

/// Days without a visit that are still no drop-out. Six months are taken as 183 days.
#[must_use]
pub const fn allowed_days(stage: Stage) -> i32 {
    match stage {
        Stage::Casting => 21,
        Stage::Tenotomy => 28,
        Stage::Bracing => 183,
    }
}

fn stage_of(phase: Phase) -> Option<Stage> {
    match phase {
        Phase::InCorrection => Some(Stage::Casting),
        Phase::WaitingForTenotomy | Phase::TenotomyCast => Some(Stage::Tenotomy),
        Phase::FullTimeBracing | Phase::NightTimeBracing => Some(Stage::Bracing),
        _ => None,
    }
}

fn phase_on(foot: &FootCourse, day: Day) -> Option<Phase> {
    let after = foot.phases.partition_point(|spell| spell.from <= day);
    // A spell that declares the child lost hides the treatment; the one before it holds.
    let mut before = foot.phases[..after].iter().rev();
    before.find(|spell| spell.phase != Phase::LostToFollowUp).map(|spell| spell.phase)
}

fn stage_on(course: &Course, day: Day) -> Option<Stage> {
    let stages = course.feet.iter().filter_map(|foot| stage_of(phase_on(foot, day)?));
    stages.min_by_key(|stage| allowed_days(*stage))
}

/// The day care ended here other than by losing the child.
fn ended(course: &Course) -> Option<Day> {
    match course.standing {
        Standing::Discharged(day) | Standing::Transferred(day) | Standing::Died(day) => Some(day),
        Standing::Active | Standing::Lost(_) => None,
    }
}

/// The first drop-out from a day on.
pub(crate) fn first_gap(course: &Course, from: Day) -> Option<Gap> {
    let begin = course.seen_on.partition_point(|day| *day < from);
    let seen = &course.seen_on[begin..];
    let until = ended(course).unwrap_or(course.as_of).min(course.as_of);
    seen.iter().enumerate().find_map(|(place, &day)| {
        let next = seen.get(place + 1).copied();
        // Cheap first: most visits follow each other within the shortest limit.
        let last = next.unwrap_or(until);
        if last - day <= allowed_days(Stage::Casting) {
            return None;
        }
        let stage = stage_on(course, day)?;
        let allowed = allowed_days(stage);
        (last - day > allowed).then(|| Gap { on: day + (allowed + 1), stage, came_back: next.is_some() })
    })
}

/// The day on which the child will have dropped out if it is not seen until then.
pub(crate) fn next_gap(course: &Course) -> Option<Day> {
    let last = course.last_seen()?;
    let due = last + (allowed_days(stage_on(course, last)?) + 1);
    (due > course.as_of && ended(course).is_none()).then_some(due)
}
