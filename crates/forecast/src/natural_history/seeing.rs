//! What is seen of a child as of a day.

use super::truth::{ChildTruth, FootTruth};
use crate::{SeenChild, SeenFoot, SeenVisit};

/// What a clinic knows of a simulated child on a day.
///
/// Nothing is seen on or after the day the family leaves; that it left is known once it is declared.
/// The next visit is known while the family is in care, as it is booked at the one before.
#[must_use]
pub fn seen(truth: &ChildTruth, as_of: i32) -> SeenChild {
    let until = truth.leaves_day.map_or(as_of, |day| as_of.min(day - 1));
    let last = truth.visit_days().filter(|day| *day <= until).max();
    let left_day = truth.declared_lost_day.filter(|day| *day <= as_of);
    SeenChild {
        born_day: (truth.born_day <= as_of).then_some(truth.born_day),
        gestation_weeks: (truth.born_day <= as_of).then_some(truth.gestation_weeks),
        feet: truth.feet.iter().map(|foot| seen_foot(truth, foot, until)).collect(),
        wear: truth.wear.iter().filter(|span| span.to_day <= until).copied().collect(),
        next_day: truth.visit_days().filter(|day| *day > until).min().filter(|_| left_day.is_none()),
        last_day: last.unwrap_or(truth.referred_day.min(as_of)),
        left_day,
    }
}

fn seen_foot(child: &ChildTruth, foot: &FootTruth, until: i32) -> SeenFoot {
    let known = |day: i32| (day <= until).then_some(day);
    let cast_on = |day: i32| foot.casts.iter().any(|cast| cast.day == day);
    let visits = foot.cast_visits.iter().filter(|cast_visit| cast_visit.day <= until);
    SeenFoot {
        side: foot.side,
        complex: foot.complex,
        other_cause: foot.other_cause,
        treated_before: foot.treated_before,
        visits: visits
            .map(|cast_visit| SeenVisit {
                day: cast_visit.day,
                signs: cast_visit.written,
                dorsiflexion_deg: cast_visit.dorsiflexion_deg,
                abduction_deg: cast_visit.abduction_deg,
                cast: cast_on(cast_visit.day),
                slipped: cast_visit.slip_written,
            })
            .collect(),
        casts: u16::try_from(foot.casts.iter().filter(|cast| cast.day <= until).count()).unwrap_or(u16::MAX),
        ready_day: known(foot.ready_day),
        tenotomy_decided: known(foot.ready_day).map(|_| foot.tenotomy_day.is_some()),
        tenotomy_planned_day: known(foot.ready_day).and(foot.tenotomy_day).filter(|day| *day > until),
        tenotomy_day: foot.tenotomy_day.and_then(known),
        brace_day: known(child.brace_day),
        full_time_end_day: known(child.full_time_end_day),
        relapse_day: foot.relapse_day.and_then(known),
    }
}
