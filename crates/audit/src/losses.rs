//! Drop-out by two definitions, and when follow-up of a child was complete.
//!
//! **By the planned interval** ([`crate::LossDefinition::ByPlannedInterval`]). A child has dropped out where the
//! day in time for a planned visit has passed and it has not been seen since, as known on the as-of day, or
//! if the clinic declared it lost. It stopped coming at an unknown time between its last visit and the day
//! the next was due, so the event is dated midway. A child who came back was not lost: what was found at
//! its return counts, and a gap that ended excludes no event.
//!
//! **By the published definition** ([`crate::LossDefinition::AsPublished`]). No visit within 3 weeks in casts, 4
//! weeks around a tenotomy, 6 months in the brace (a cohort of 965 children, J Foot Ankle Surg 2021,
//! S1067-2516(21)00458-0), whatever had been planned and whether or not the child came back: see
//! [`crate::gaps`].
//!
//! Whether a child comes to its next visit is not known until the last day in time for it has passed. For
//! drop-out by the planned interval the time after its last visit is left out until then, even if the
//! child has already come again: otherwise those who come early would count and those still to come would
//! not.
//!
//! A child is followed to the end of treatment: to its discharge, or, after the planned end of bracing, to
//! the last visit before the child was no longer seen every review interval. Later events are seen only in
//! children who come back because of them, so they are counted separately.

use crate::{
    Gap,
    gaps::ended_from,
    plan::{NextVisit, end_from, next_visit},
};
use course::{Course, Phase, PlannedIntervals, Standing, UnknownAge};
use record::Day;

/// How long a child was followed, by what was planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct FollowUp {
    /// The drop-out by the planned interval.
    pub lost: Option<Gap>,
    /// The first visit after which it is not yet known whether the next visit will take place in time.
    pub settled_until: Option<Day>,
    /// The end of treatment.
    pub over: Option<Day>,
    /// The first day after the as-of day on which any of this changes although nothing new is written.
    pub changes_on: Option<Day>,
}

impl FollowUp {
    /// The follow-up of a child by the plan; only visits on or after a day count.
    pub(crate) fn of(course: &Course, plan: &PlannedIntervals, from: Option<Day>) -> Self {
        let mut followed = Self { over: over(course, plan), ..Self::default() };
        let begin =
            from.map_or(course.seen_on.len(), |from| course.seen_on.partition_point(|day| *day < from));
        let seen = &course.seen_on[begin..];
        if let Some(last) = seen.last() {
            followed.lost = lost(course, plan, *last);
        }
        followed.unsettled(course, plan, seen);
        if let Some((_, ends)) = finishing(course, plan) {
            followed.change(course, ends + 1);
        }
        followed
    }

    fn change(&mut self, course: &Course, day: Day) {
        if day > course.as_of {
            self.changes_on = Some(self.changes_on.map_or(day, |one| one.min(day)));
        }
    }

    /// Finds the visits after which the planned next visit can still take place in time.
    fn unsettled(&mut self, course: &Course, plan: &PlannedIntervals, seen: &[Day]) {
        let longest = plan.longest_days();
        // A child that is lost did not come to the visit after its last one.
        let seen =
            if self.lost.is_some() { seen.split_last().map_or(seen, |(_, earlier)| earlier) } else { seen };
        for visit in seen.iter().rev().take_while(|visit| **visit + longest >= course.as_of) {
            let Some(NextVisit::Planned { until, .. }) = next_visit(plan, course, *visit) else { continue };
            if until >= course.as_of {
                // From the latest visit back: the last one found is the first.
                self.settled_until = Some(*visit);
                self.change(course, until + 1);
            }
        }
    }
}

/// The drop-out of a child last seen on a day.
fn lost(course: &Course, plan: &PlannedIntervals, last: Day) -> Option<Gap> {
    let Some(NextVisit::Planned { due, until, stage }) = next_visit(plan, course, last) else { return None };
    let gap = |due: Day| Some(Gap { on: last + (due - last) / 2, stage, came_back: false });
    match (ended_from(course, last), course.standing) {
        (Some(end), _) if until < end.min(course.as_of) => gap(due),
        (Some(_), _) => None,
        (None, Standing::Lost(day)) if day >= last => gap(due.min(day)),
        _ if until < course.as_of => gap(due),
        _ => None,
    }
}

/// The end of treatment: the first discharge, or the last visit of a child that finished bracing.
fn over(course: &Course, plan: &PlannedIntervals) -> Option<Day> {
    let spells = course.feet.iter().flat_map(|foot| &foot.phases);
    let discharged = spells.filter(|spell| spell.phase == Phase::Discharged).map(|spell| spell.from).min();
    let discharged = discharged.or(match course.standing {
        Standing::Discharged(day) => Some(day),
        _ => None,
    });
    let finished = finishing(course, plan).filter(|(_, until)| *until < course.as_of).map(|(day, _)| day);
    discharged.into_iter().chain(finished).min()
}

/// The last visit after which a child that had finished bracing stayed away, or may yet stay away, for
/// longer than a review interval: that visit, and the last day of its follow-up.
fn finishing(course: &Course, plan: &PlannedIntervals) -> Option<(Day, Day)> {
    let from = end_from(plan, course)?;
    let begin = course.seen_on.partition_point(|day| *day < from);
    let seen = &course.seen_on[begin..];
    seen.iter().enumerate().find_map(|(place, visit)| {
        let due = plan.reviews.due(*visit, course.about.born, UnknownAge::LongestInterval, false);
        let until = due + plan.reviews.grace_days;
        let stays_away = seen.get(place + 1).is_none_or(|next| *next > until);
        let finished = stays_away && next_visit(plan, course, *visit) == Some(NextVisit::Finished);
        finished.then_some((*visit, until))
    })
}
