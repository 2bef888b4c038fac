//! Where and when bracing of a foot began.
//!
//! A foot that arrived in a brace was observed here only from its arrival: a relapse before it would have
//! brought it earlier, or never. If the day the brace began is recorded and lies before the child was
//! known here (its first registration or referral), the foot counts from that day and comes under
//! observation at the arrival. If it is not recorded, how long the brace had been worn is unknown.
//!
//! A foot was first braced here if a cast or a tenotomy of it is recorded up to that day. Without either
//! it was still first braced here if no earlier treatment is recorded and the child was seen before;
//! otherwise the day counts as unknown, because the first fitting here may replace a brace worn for years.

use crate::BraceBegan;
use course::{Course, FootCourse, PhaseSpell};
use record::Day;

/// The bracing of a foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Bracing {
    /// The day it began; if that is unknown, the first day in a brace here.
    pub from: Option<Day>,
    pub began: BraceBegan,
    /// The first brace on or after the first cast, for a foot braced before that cast.
    pub again: Option<Day>,
}

impl Bracing {
    pub(crate) fn of(course: &Course, foot: &FootCourse) -> Self {
        let braced = |spell: &&PhaseSpell| spell.phase.is_in_brace();
        let mut days = foot.phases.iter().filter(braced).map(|spell| spell.from);
        let Some(first) = days.next() else { return Self::default() };
        let cast = foot.casts.first().map(|cast| cast.on);
        let again = cast.filter(|cast| first < *cast).and_then(|cast| days.find(|day| *day >= cast));
        let (from, began) = began(course, foot, first);
        Self { from: Some(from), began, again }
    }
}

fn began(course: &Course, foot: &FootCourse, first: Day) -> (Day, BraceBegan) {
    let by_then = |day: Option<Day>| day.is_some_and(|day| day <= first);
    let treated =
        by_then(foot.casts.first().map(|cast| cast.on)) || by_then(foot.tenotomies.first().map(|cut| cut.on));
    let treated_elsewhere = foot.earlier_treatment.as_deref().is_some_and(|text| !text.trim().is_empty());
    let before = |day: Day| course.referred_on.is_some_and(|known| day < known);
    if treated && !(treated_elsewhere && before(first)) {
        return (first, BraceBegan::Here);
    }
    let since = course.brace_on(first).map_or(first, |spell| spell.bracing_since.min(first));
    if before(since) {
        return (since, BraceBegan::Elsewhere);
    }
    let seen_before = course.seen_on.first().is_some_and(|seen| *seen < since);
    (first, if seen_before && !treated_elsewhere { BraceBegan::Here } else { BraceBegan::Unknown })
}
