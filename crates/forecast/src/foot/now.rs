//! The stage of each foot of a child, and the posterior of its class from its visits.

use super::outcomes::Next;
use super::tables::Tables;
use super::unlike::{TREATED_SEVERITY_SD, unlike, widening};
use super::{Stage, Unlike};
use crate::filter::{Chains, ageing, marginals, posterior, posterior_of_two};
use crate::natural_history::classes::CLASSES;
use crate::whole_days::{Days, remaining};
use crate::{SeenChild, SeenFoot};

/// Days within which a first visit without a booking is expected; assumed.
const FIRST_WITHIN: usize = 14;

/// One foot as of the day.
pub(crate) struct FootNow<'a> {
    pub(crate) seen: &'a SeenFoot,
    pub(crate) stage: Stage,
    pub(crate) chains: Chains,
    pub(crate) next: Next,
    pub(crate) unlike: Vec<Unlike>,
    /// Weights of its classes, given all observations of both feet.
    pub(crate) weights: [f64; CLASSES],
}

/// A child as of the day.
pub(crate) struct ChildNow<'a> {
    pub(crate) child: &'a SeenChild,
    pub(crate) as_of: i32,
    pub(crate) feet: Vec<FootNow<'a>>,
    /// Joint weights of the classes of two feet.
    pub(crate) joint: Option<Vec<[f64; CLASSES]>>,
    /// Days from the day to the next visit.
    pub(crate) first: Days,
    /// The next visit is later than any known interval.
    pub(crate) overdue: bool,
}

pub(crate) fn stage(child: &SeenChild, foot: &SeenFoot, as_of: i32) -> Stage {
    let by = |day: Option<i32>| day.is_some_and(|day| day <= as_of);
    if by(child.left_day) {
        Stage::NotFollowed
    } else if by(foot.relapse_day) {
        Stage::AfterRelapse
    } else if by(foot.brace_day) {
        if by(foot.full_time_end_day) { Stage::NightTimeBracing } else { Stage::FullTimeBracing }
    } else if by(foot.tenotomy_day) {
        Stage::TenotomyCast
    } else if by(foot.ready_day) {
        Stage::Ready
    } else if foot.visits.is_empty() {
        Stage::BeforeFirstCast
    } else {
        Stage::InCasts
    }
}

impl Stage {
    /// Whether the foot is still on its way to the brace.
    pub(crate) const fn before_brace(self) -> bool {
        matches!(self, Self::BeforeFirstCast | Self::InCasts | Self::Ready | Self::TenotomyCast)
    }

    /// Whether the foot is still in casts for correction, or before them.
    pub(crate) const fn in_casts(self) -> bool {
        matches!(self, Self::BeforeFirstCast | Self::InCasts)
    }
}

impl<'a> ChildNow<'a> {
    pub(crate) fn of(tables: &Tables, child: &'a SeenChild, as_of: i32) -> Self {
        let mut feet: Vec<FootNow<'a>> =
            child.feet.iter().take(2).map(|foot| FootNow::of(tables, child, foot, as_of)).collect();
        let needed = feet.iter().any(|foot| foot.stage.in_casts() || foot.stage == Stage::Ready);
        let joint = if needed { weigh(tables, child, &mut feet) } else { None };
        let (first, overdue) = if needed { next_visit(tables, child, as_of) } else { (vec![1.0], false) };
        Self { child, as_of, feet, joint, first, overdue }
    }
}

impl<'a> FootNow<'a> {
    fn of(tables: &Tables, child: &SeenChild, foot: &'a SeenFoot, as_of: i32) -> Self {
        let stage = stage(child, foot, as_of);
        let chains = if stage.before_brace() {
            let until = foot.visits.partition_point(|visit| visit.day <= as_of);
            Chains::through(&tables.kernel, &foot.visits[..until])
        } else {
            Chains::start(&tables.kernel)
        };
        let last = foot.visits.iter().rfind(|visit| visit.day <= as_of);
        let next = match last {
            None => Next::First,
            Some(visit) if visit.cast => Next::AfterCast,
            Some(_) => Next::NoCast,
        };
        Self { seen: foot, stage, chains, next, unlike: unlike(child, foot, as_of), weights: [0.0; CLASSES] }
    }

    const fn hard(&self) -> bool {
        self.seen.complex || self.seen.other_cause
    }
}

/// Sets the weights of the classes; returns the joint weights if there are two feet.
fn weigh(tables: &Tables, child: &SeenChild, feet: &mut [FootNow<'_>]) -> Option<Vec<[f64; CLASSES]>> {
    let foot = &tables.kernel.parameters;
    let widen = feet.iter().map(|foot| widening(&foot.unlike)).fold(1.0, f64::max);
    let treated = feet.iter().any(|foot| foot.seen.treated_before);
    let severity_sd = if treated { TREATED_SEVERITY_SD } else { 1.0 };
    let age = feet.iter().map(|now| ageing(child, now.seen)).fold(0.0, f64::max);
    let prior = tables.prior(age, widen, severity_sd);
    match feet {
        [one] => {
            one.weights = posterior(&prior.one(foot, one.hard()), &one.chains.likelihood());
            None
        }
        [first, second] => {
            let joint = prior.two(foot, [first.hard(), second.hard()]);
            let joint = posterior_of_two(joint, &first.chains.likelihood(), &second.chains.likelihood());
            [first.weights, second.weights] = marginals(&joint);
            Some(joint)
        }
        _ => None,
    }
}

/// Days to the next visit, and whether it is overdue.
fn next_visit(tables: &Tables, child: &SeenChild, as_of: i32) -> (Days, bool) {
    let feet = child.feet.iter();
    let last = feet.flat_map(|foot| &foot.visits).map(|visit| visit.day).filter(|day| *day <= as_of).max();
    let booked = child.next_day.filter(|day| *day >= as_of && last.is_none_or(|last| *day > last));
    if let Some(day) = booked {
        let mut days = vec![0.0; (day - as_of).clamp(0, 400) as usize + 1];
        days.last_mut().into_iter().for_each(|chance| *chance = 1.0);
        return (days, false);
    }
    match last {
        Some(last) => remaining(&tables.interval, as_of - last, i32::from(as_of == last)),
        None => (vec![1.0 / FIRST_WITHIN as f64; FIRST_WITHIN], false),
    }
}
