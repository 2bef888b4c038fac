//! What the clinic learns from one child: when its first casting is finished, and before.
//!
//! Computed from the child alone, so that many children can be read in parallel and then added in order.
//! The course of a foot and its decision on tenotomy are learned only when the child is finished, because
//! earlier only quick feet would count. Days between visits, waits, and the decision at a midfoot score are
//! complete as soon as they are observed ([`Happening`]), so that a slow clinic need not wait for its first
//! finished foot. Only recorded facts count: a visit without a complete midfoot score adds nothing about
//! readiness, and a foot with an unknown decision nothing about tenotomy.

use super::pace::{self, PaceGrid};
use crate::filter::{Cells, Chains, Kernel, ageing, cells, hindfoot, posterior_of_one};
use crate::{SeenChild, SeenFoot, halves};
use record::Sign;

/// The midfoot signs.
const MIDFOOT: [Sign; 3] = [Sign::LateralBorder, Sign::MedialCrease, Sign::TalarHead];

/// What the clinic learns from a finished child.
#[derive(Debug, Clone)]
pub(crate) struct Lesson {
    /// The day from which it is known, when the brace is fitted.
    pub(crate) day: i32,
    pub(crate) feet: Vec<FootLesson>,
}

/// What the clinic learns from one of its feet.
#[derive(Debug, Clone)]
pub(crate) struct FootLesson {
    /// Chances of the hindfoot signs written at the decision, and whether there was a tenotomy.
    pub(crate) decision: Option<(Cells, bool)>,
    /// Log likelihood over shifts and spreads of pace; `None` for a foot unlike the published ones.
    pub(crate) pace: Option<PaceGrid>,
    /// Weight of the likelihood: less than 1 if both feet of a child count.
    pub(crate) pace_share: f64,
    /// At each visit with a cast: midfoot score if complete, and the number of visits to the decision.
    pub(crate) remaining: Vec<(Option<u8>, usize)>,
}

/// One observation, complete from a day on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Happening {
    /// The day from which it is known.
    pub(crate) day: i32,
    pub(crate) what: What,
}

/// What was observed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum What {
    /// Days from a visit with a cast to the next.
    Interval(i32),
    /// Written midfoot in half points at a visit, and whether casting ended there.
    CastVisit(u8, bool),
    /// Days from the decision to the tenotomy.
    Wait(i32),
    /// Days from the tenotomy to the brace.
    ToBrace(i32),
    /// Days from the decision to the brace, without a tenotomy.
    ReadyToBrace(i32),
    /// Days of bracing full time.
    FullTime(i32),
}

/// The day from which the decision on tenotomy is known, and with it the end of casting for correction: the day of the
/// tenotomy, or of the brace without one.
pub(crate) fn decided_day(foot: &SeenFoot) -> Option<i32> {
    foot.tenotomy_day.or(foot.brace_day)
}

/// The written midfoot score in half points.
pub(crate) fn midfoot(signs: &crate::SignsSeen) -> Option<u8> {
    halves(signs, &MIDFOOT)
}

/// The day on which the first casting of every foot ended; `None` before.
pub(crate) fn finished_day(child: &SeenChild) -> Option<i32> {
    if child.feet.is_empty() {
        return None;
    }
    child.feet.iter().map(|foot| foot.brace_day).try_fold(i32::MIN, |last, day| Some(last.max(day?)))
}

impl Lesson {
    /// `None` while the child is not finished.
    pub(crate) fn of(kernel: &Kernel, middle: f64, child: &SeenChild) -> Option<Self> {
        let day = finished_day(child)?;
        let share = if child.feet.len() > 1 { 1.0 / (1.0 + kernel.parameters.pace_correlation) } else { 1.0 };
        let feet = child.feet.iter().map(|foot| FootLesson::of(kernel, middle, child, foot, share)).collect();
        Some(Self { day, feet })
    }
}

/// All observations of a child, finished or not, in no order.
pub(crate) fn happenings(child: &SeenChild) -> Vec<Happening> {
    let mut seen = Vec::new();
    // Both feet have their visits on the same days: the foot with more visits shows them all.
    if let Some(foot) = child.feet.iter().max_by_key(|foot| foot.visits.len()) {
        for pair in foot.visits.windows(2).filter(|pair| pair[0].cast && pair[1].day > pair[0].day) {
            seen.push(Happening { day: pair[1].day, what: What::Interval(pair[1].day - pair[0].day) });
        }
    }
    child.feet.iter().for_each(|foot| cast_visits(foot, &mut seen));
    waits(child, &mut seen);
    let full_time = child.feet.iter().find_map(|foot| Some((foot.full_time_end_day?, foot.brace_day?)));
    seen.extend(full_time.map(|(end, brace)| Happening { day: end, what: What::FullTime(end - brace) }));
    seen
}

fn waits(child: &SeenChild, seen: &mut Vec<Happening>) {
    let last = child.feet.iter().filter_map(|foot| foot.tenotomy_day.or(foot.ready_day)).max();
    let whole = finished_day(child).is_some();
    let (mut before, mut to_brace, mut plain) = (None, false, false);
    for foot in &child.feet {
        let Some(ready) = foot.ready_day else { continue };
        if let Some(cut) = foot.tenotomy_day.filter(|cut| before != Some(cut - ready)) {
            before = Some(cut - ready);
            seen.push(Happening { day: cut, what: What::Wait(cut - ready) });
        }
        // The foot for which the brace waited shows how long the brace takes.
        let waited_for = whole && foot.tenotomy_day.or(foot.ready_day) == last;
        let Some(brace) = foot.brace_day.filter(|_| waited_for) else { continue };
        match foot.tenotomy_day {
            Some(cut) if !to_brace => {
                to_brace = true;
                seen.push(Happening { day: brace, what: What::ToBrace(brace - cut) });
            }
            None if !plain => {
                plain = true;
                seen.push(Happening { day: brace, what: What::ReadyToBrace(brace - ready) });
            }
            _ => {}
        }
    }
}

/// The decision at each visit with a score. The end of casting is known with the tenotomy or the brace at the
/// latest; that casting continued is known with the cast or the next visit.
fn cast_visits(foot: &SeenFoot, seen: &mut Vec<Happening>) {
    for (number, visit) in foot.visits.iter().enumerate() {
        let Some(score) = midfoot(&visit.signs) else { continue };
        // At the first visit only a hardly affected foot goes on, so it shows nothing about later visits.
        if number == 0 && score > 1 {
            continue;
        }
        let ready = foot.ready_day == Some(visit.day);
        let known = if ready {
            decided_day(foot)
        } else if visit.cast {
            Some(visit.day)
        } else {
            foot.visits.get(number + 1).map(|next| next.day)
        };
        seen.extend(known.map(|day| Happening { day, what: What::CastVisit(score, ready) }));
    }
}

impl FootLesson {
    fn of(kernel: &Kernel, middle: f64, child: &SeenChild, foot: &SeenFoot, share: f64) -> Self {
        let chains = Chains::through(kernel, &foot.visits);
        let like = !(foot.other_cause || foot.treated_before || foot.visits.is_empty());
        let age = ageing(child, foot);
        let pace = (like && !foot.complex)
            .then(|| pace::grid(&kernel.parameters, middle, age, foot.complex, &chains.likelihood()));
        Self {
            decision: like.then(|| decision(kernel, &chains, foot, age)).flatten(),
            pace,
            pace_share: share,
            remaining: remaining(foot),
        }
    }
}

/// The hindfoot signs written at the decision; missing ones have their chances.
fn decision(kernel: &Kernel, chains: &Chains, foot: &SeenFoot, age: f64) -> Option<(Cells, bool)> {
    let last = foot.visits.last().filter(|visit| Some(visit.day) == foot.ready_day)?;
    let known = [last.signs[3], last.signs[4], last.signs[5]];
    let weights = posterior_of_one(kernel, chains, age, foot.complex);
    let mut written = [[0.0; 3]; 7];
    for (class, weight) in weights.iter().enumerate().filter(|(_, weight)| **weight > 1e-6) {
        let given = cells(&hindfoot(chains, class), &kernel.given, known);
        for (into, chance) in written.iter_mut().flatten().zip(given.iter().flatten()) {
            *into += weight * chance;
        }
    }
    Some((written, foot.tenotomy_day.is_some()))
}

/// At each visit with a cast, the number of visits to the decision.
pub(crate) fn remaining(foot: &SeenFoot) -> Vec<(Option<u8>, usize)> {
    let Some(ready) = foot.ready_day else { return Vec::new() };
    let until = foot.visits.iter().filter(|visit| visit.day <= ready).count();
    let casts = foot.visits.iter().take(until.saturating_sub(1)).enumerate().filter(|(_, visit)| visit.cast);
    casts.map(|(number, visit)| (midfoot(&visit.signs), until - 1 - number)).collect()
}
