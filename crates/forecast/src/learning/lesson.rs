//! What one child whose first casting is finished teaches about the clinic.
//!
//! Worked out from the child alone, so that many children can be read at once and then added up in
//! order. Only what is written teaches: a sitting without a full midfoot score says nothing about
//! readiness, a foot whose decision is not known nothing about tenotomy.

use super::pace::{self, PaceGrid};
use super::tenotomy::Cells;
use crate::foot::{Chains, Kernel, ageing, cells, hindfoot, posterior_of_one};
use crate::{SeenChild, SeenFoot, halves};
use record::Sign;

/// The midfoot signs.
const MIDFOOT: [Sign; 3] = [Sign::LateralBorder, Sign::MedialCrease, Sign::TalarHead];

/// What a finished child teaches.
#[derive(Debug, Clone)]
pub(crate) struct Lesson {
    /// The day from which it is known: the brace is on.
    pub(crate) day: i32,
    pub(crate) feet: Vec<FootLesson>,
    pub(crate) intervals: Vec<i32>,
    pub(crate) waits: Vec<i32>,
    pub(crate) to_brace: Vec<i32>,
    pub(crate) ready_to_brace: Vec<i32>,
    pub(crate) full_time: Option<i32>,
}

/// What one foot of it teaches.
#[derive(Debug, Clone)]
pub(crate) struct FootLesson {
    /// What was or may have been written of the hindfoot at the decision, and whether the cord was cut.
    pub(crate) decision: Option<(Cells, bool)>,
    /// Log likelihood over shifts and spreads of pace; `None` for a foot unlike the published ones.
    pub(crate) pace: Option<PaceGrid>,
    /// Weight of the likelihood: less than 1 where both feet of a child count.
    pub(crate) pace_share: f64,
    /// Written midfoot in half points at each sitting, and whether casting ended there.
    pub(crate) sittings: Vec<(u8, bool)>,
    /// Midfoot where written, and sittings from there to the decision, at each sitting with a cast.
    pub(crate) remaining: Vec<(Option<u8>, usize)>,
}

/// The written midfoot score in half points.
pub(crate) fn midfoot(signs: &crate::SignsSeen) -> Option<u8> {
    halves(signs, &MIDFOOT)
}

/// The day on which the first casting of every foot is over; `None` while it is not.
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
        let mut lesson = Self {
            day,
            feet,
            intervals: Vec::new(),
            waits: Vec::new(),
            to_brace: Vec::new(),
            ready_to_brace: Vec::new(),
            full_time: full_time(child),
        };
        lesson.learn_days(child);
        Some(lesson)
    }

    fn learn_days(&mut self, child: &SeenChild) {
        // Both feet sit on the same days: the foot with more sittings shows them all.
        if let Some(foot) = child.feet.iter().max_by_key(|foot| foot.visits.len()) {
            let pairs = foot.visits.windows(2).filter(|pair| pair[0].cast);
            self.intervals.extend(pairs.map(|pair| pair[1].day - pair[0].day).filter(|days| *days > 0));
        }
        let last = child.feet.iter().filter_map(|foot| foot.tenotomy_day.or(foot.ready_day)).max();
        let mut waits = Vec::new();
        for foot in &child.feet {
            let (Some(ready), Some(brace)) = (foot.ready_day, foot.brace_day) else { continue };
            waits.extend(foot.tenotomy_day.map(|cut| cut - ready));
            // The foot that the brace waited for tells how long the brace takes.
            let waited_for = foot.tenotomy_day.or(foot.ready_day) == last;
            match foot.tenotomy_day {
                Some(cut) if waited_for => push_once(&mut self.to_brace, brace - cut),
                None if waited_for => push_once(&mut self.ready_to_brace, brace - ready),
                _ => {}
            }
        }
        waits.dedup();
        self.waits = waits;
    }
}

fn push_once(days: &mut Vec<i32>, more: i32) {
    if days.is_empty() {
        days.push(more);
    }
}

fn full_time(child: &SeenChild) -> Option<i32> {
    let foot = child.feet.iter().find(|foot| foot.full_time_end_day.is_some())?;
    Some(foot.full_time_end_day? - foot.brace_day?)
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
            sittings: sittings(foot),
            remaining: remaining(foot),
        }
    }
}

/// What was written at the decision; what was not is filled with its chances.
fn decision(kernel: &Kernel, chains: &Chains, foot: &SeenFoot, age: f64) -> Option<(Cells, bool)> {
    let last = foot.visits.last().filter(|visit| Some(visit.day) == foot.ready_day)?;
    let stands = [last.signs[3], last.signs[4], last.signs[5]];
    let weights = posterior_of_one(kernel, chains, age, foot.complex);
    let mut written = [[0.0; 3]; 7];
    for (class, weight) in weights.iter().enumerate().filter(|(_, weight)| **weight > 1e-6) {
        let given = cells(&hindfoot(chains, class), &kernel.given, stands);
        for (into, chance) in written.iter_mut().flatten().zip(given.iter().flatten()) {
            *into += weight * chance;
        }
    }
    Some((written, foot.tenotomy_day.is_some()))
}

fn sittings(foot: &SeenFoot) -> Vec<(u8, bool)> {
    let told = foot.visits.iter().enumerate().filter_map(|(number, visit)| {
        let score = midfoot(&visit.signs)?;
        let ready = Some(visit.day) == foot.ready_day;
        // At the first sitting only a foot hardly affected goes on; it says nothing of later ones.
        (number > 0 || score <= 1).then_some((score, ready))
    });
    told.collect()
}

/// At each sitting with a cast, how many sittings there were still to be up to the decision.
pub(crate) fn remaining(foot: &SeenFoot) -> Vec<(Option<u8>, usize)> {
    let Some(ready) = foot.ready_day else { return Vec::new() };
    let until = foot.visits.iter().filter(|visit| visit.day <= ready).count();
    let casts = foot.visits.iter().take(until.saturating_sub(1)).enumerate().filter(|(_, visit)| visit.cast);
    casts.map(|(number, visit)| (midfoot(&visit.signs), until - 1 - number)).collect()
}
