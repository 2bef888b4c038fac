//! Drop-out by the published definition: no visit within 3 weeks in casts, 4 weeks around a tenotomy,
//! 6 months in the brace (a cohort of 965 children, J Foot Ankle Surg 2021, S1067-2516(21)00458-0).
//!
//! A child belongs to the strictest stage of its feet, taken at the end of the earlier visit. No rule
//! applies before the first cast, after bracing and after other surgery, nor after a discharge or a
//! transfer until the next visit.

use crate::{Gap, dropout::CareStage};
use course::{Course, LossStage, Phase, Standing};
use record::Day;

/// The shortest time that the definition allows.
const SHORTEST: i32 = LossStage::Casting.published_days();

/// The strictest stage of the feet on a day, and the days it allows.
fn allowed_on(course: &Course, day: Day) -> Option<(i32, CareStage)> {
    let stages = course.feet.iter().filter_map(|foot| LossStage::of(foot.phase_on(day)?));
    let allowed = stages.map(|stage| (stage.published_days(), CareStage::from(stage)));
    allowed.min_by_key(|(days, _)| *days)
}

/// The first day on or after a day on which care ended here other than by loss to follow-up, even if it
/// was opened again later.
pub(crate) fn ended_from(course: &Course, from: Day) -> Option<Day> {
    let over = |phase| matches!(phase, Phase::Discharged | Phase::Transferred | Phase::Died);
    let spells = course.feet.iter().flat_map(|foot| &foot.phases);
    let days = spells.filter(|spell| over(spell.phase)).map(|spell| spell.from);
    let now = match course.standing {
        Standing::Discharged(day) | Standing::Transferred(day) | Standing::Died(day) => Some(day),
        Standing::Active | Standing::Lost(_) => None,
    };
    days.chain(now).filter(|day| *day >= from).min()
}

/// The first drop-out from a day on.
pub(crate) fn first_gap(course: &Course, from: Day) -> Option<Gap> {
    let begin = course.seen_on.partition_point(|day| *day < from);
    let seen = &course.seen_on[begin..];
    seen.iter().enumerate().find_map(|(place, &day)| {
        let next = seen.get(place + 1).copied();
        // The cheap test first: most visits follow each other within the shortest limit.
        if next.unwrap_or(course.as_of) - day <= SHORTEST {
            return None;
        }
        let (allowed, stage) = allowed_on(course, day)?;
        let last = next.unwrap_or(course.as_of).min(ended_from(course, day).unwrap_or(course.as_of));
        (last - day > allowed).then(|| Gap { on: day + (allowed + 1), stage, came_back: next.is_some() })
    })
}

/// The day on which the child will have dropped out if it is not seen until then.
pub(crate) fn next_gap(course: &Course) -> Option<Day> {
    let last = course.last_seen()?;
    let (allowed, _) = allowed_on(course, last)?;
    let due = last + (allowed + 1);
    (due > course.as_of && ended_from(course, last).is_none()).then_some(due)
}
