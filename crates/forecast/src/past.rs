//! A clinic's past in order of day: what was known when, and the past forecasts made again.

use crate::SeenChild;
use crate::foot::Forecaster;
use crate::learning::{ClinicPosterior, Happening, Lesson, Trials, decided_day, finished_day, happenings};
use crate::natural_history::Parameters;
use rayon::prelude::*;

/// The number of the last finished children whose forecasts are made again to weigh the sign model against the
/// clinic's own counts when a whole clinic is learned at once.
const TRIALS: usize = 200;

/// A new forecaster is made when the number of finished children has grown by one in this many,
const FINISHED_STEP: usize = 50;
/// or the number of observations by one in this many.
const SEEN_STEP: usize = 8;

/// A forecast to make again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Moment {
    pub(crate) day: i32,
    /// Index of the child.
    pub(crate) child: usize,
    /// Index of the day among the days of the child.
    pub(crate) place: usize,
}

/// The past of a clinic: what was known from which day.
#[derive(Debug)]
pub(crate) struct Past {
    /// Finished children in order of the day on which they finished, with what they teach.
    pub(crate) finished: Vec<(usize, Lesson)>,
    /// The observations of all children, in order of day.
    seen: Vec<Happening>,
    /// Feet with a known decision on tenotomy, in order of the day from which it is known.
    decided: Vec<Decided>,
    as_of: i32,
    /// How many of each have been learned from.
    taken: usize,
    judged: usize,
    observed: usize,
    /// By child, the trials of its forecasts.
    trials: Vec<Vec<Trials>>,
}

/// A foot for which it is known from a day on whether the cord was cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Decided {
    day: i32,
    child: usize,
    foot: usize,
    cut: bool,
}

fn decided(number: usize, child: &SeenChild, as_of: i32) -> Vec<Decided> {
    let feet = child.feet.iter().enumerate().filter_map(|(foot, seen)| {
        let day = decided_day(seen).filter(|day| *day <= as_of)?;
        Some(Decided { day, child: number, foot, cut: seen.tenotomy_day.is_some() })
    });
    feet.collect()
}

/// The lessons of the children finished by a day, in order of the day on which they finished.
fn finished<C: std::borrow::Borrow<SeenChild> + Sync>(
    clinic: &ClinicPosterior,
    children: &[C],
    as_of: i32,
) -> Vec<(usize, Lesson)> {
    let mut finished: Vec<(usize, Lesson)> = children
        .par_iter()
        .enumerate()
        .filter(|(_, child)| finished_day((*child).borrow()).is_some_and(|day| day <= as_of))
        .filter_map(|(number, child)| Some((number, clinic.read(child.borrow())?)))
        .collect();
    finished.sort_by_key(|(number, lesson)| (lesson.day, *number));
    finished
}

/// Days on which a child was seen before its brace, or so far: the days for which forecasts are made again.
pub(crate) fn days_before_brace(child: &SeenChild) -> Vec<i32> {
    let brace = child.feet.iter().filter_map(|foot| foot.brace_day).max().unwrap_or(i32::MAX);
    let cast_visits = child.feet.iter().flat_map(|foot| foot.visits.iter().map(|visit| visit.day));
    let cuts = child.feet.iter().filter_map(|foot| foot.tenotomy_day);
    let mut days: Vec<i32> = cast_visits.chain(cuts).filter(|day| *day < brace).collect();
    days.sort_unstable();
    days.dedup();
    days
}

impl Past {
    /// The past as known on a day, of finished and unfinished children.
    pub(crate) fn of<C: std::borrow::Borrow<SeenChild> + Sync>(
        clinic: &ClinicPosterior,
        children: &[C],
        as_of: i32,
    ) -> Self {
        let finished = finished(clinic, children, as_of);
        let mut seen: Vec<Happening> =
            children.par_iter().flat_map_iter(|child| happenings(child.borrow())).collect();
        seen.retain(|seen| seen.day <= as_of);
        seen.sort_unstable();
        let each = children.iter().enumerate();
        let mut decided: Vec<Decided> =
            each.flat_map(|(number, child)| decided(number, child.borrow(), as_of)).collect();
        decided.sort_unstable();
        let trials =
            children.iter().map(|child| vec![Trials::default(); child.borrow().feet.len()]).collect();
        Self { finished, seen, decided, as_of, taken: 0, judged: 0, observed: 0, trials }
    }

    /// The last children with a foot whose decision on tenotomy is known, at most `most`.
    pub(crate) fn tried(&self, most: usize) -> Vec<usize> {
        let mut tried: Vec<usize> = Vec::new();
        let mut chosen = vec![false; self.trials.len()];
        for decided in self.decided.iter().rev() {
            if tried.len() == most {
                break;
            }
            if !std::mem::replace(&mut chosen[decided.child], true) {
                tried.push(decided.child);
            }
        }
        tried
    }

    /// The days of these children, in order, up to the as-of day.
    pub(crate) fn moments(&self, children: &[usize], days: impl Fn(usize) -> Vec<i32>) -> Vec<Moment> {
        let of_child = |child: usize| {
            let days = days(child).into_iter().enumerate();
            days.map(move |(place, day)| Moment { day, child, place })
        };
        let mut moments: Vec<Moment> = children.iter().flat_map(|child| of_child(*child)).collect();
        moments.retain(|moment| moment.day <= self.as_of);
        moments.sort_unstable();
        moments
    }

    /// Makes every forecast again in order of day, each by a clinic that has learned only from what was known
    /// before its day; then learns from the rest.
    pub(crate) fn go_through(
        &mut self,
        clinic: &mut ClinicPosterior,
        moments: &[Moment],
        again: impl Fn(&Forecaster, &Moment) -> Vec<Trials> + Sync,
    ) {
        let mut rest = moments;
        while let Some(moment) = rest.first() {
            let now = self.until_it_learns(clinic, moment.day, rest);
            let forecaster = Forecaster::new(clinic);
            let made: Vec<Vec<Trials>> = now.par_iter().map(|moment| again(&forecaster, moment)).collect();
            self.note(now, made);
            rest = &rest[now.len()..];
        }
        self.learn_before(clinic, i32::MAX);
    }

    /// Learns what was known before a day, and returns the moments until the clinic learns more.
    pub(crate) fn until_it_learns<'m>(
        &mut self,
        clinic: &mut ClinicPosterior,
        day: i32,
        rest: &'m [Moment],
    ) -> &'m [Moment] {
        self.learn_before(clinic, day);
        let until = self.learns_next();
        let together = rest.partition_point(|moment| moment.day <= until);
        &rest[..together.max(1)]
    }

    /// Stores the trials of forecasts until their child is finished.
    pub(crate) fn note(&mut self, moments: &[Moment], made: Vec<Vec<Trials>>) {
        for (moment, made) in moments.iter().zip(made) {
            self.trials[moment.child].iter_mut().zip(made).for_each(|(all, more)| all.take(more));
        }
    }

    /// Learns from everything known before a day, and only from forecasts whose outcome was known by then.
    pub(crate) fn learn_before(&mut self, clinic: &mut ClinicPosterior, day: i32) {
        while let Some(decided) = self.decided.get(self.judged)
            && decided.day < day
        {
            clinic.settle_decision(&self.trials[decided.child][decided.foot], decided.cut);
            self.judged += 1;
        }
        while let Some((child, lesson)) = self.finished.get(self.taken)
            && lesson.day < day
        {
            std::mem::take(&mut self.trials[*child]).iter().for_each(|foot| clinic.settle_brace(foot));
            clinic.take(lesson);
            self.taken += 1;
        }
        while let Some(seen) = self.seen.get(self.observed)
            && seen.day < day
        {
            clinic.observe(seen);
            self.observed += 1;
        }
    }

    /// Children that had finished before the last day learned from.
    pub(crate) fn taken(&self) -> &[(usize, Lesson)] {
        &self.finished[..self.taken]
    }

    /// The last day for which forecasts are made before the clinic learns again.
    fn learns_next(&self) -> i32 {
        let finished =
            self.finished.get(self.taken + self.taken / FINISHED_STEP).map(|(_, lesson)| lesson.day);
        let decided = self.decided.get(self.judged + self.judged / FINISHED_STEP).map(|decided| decided.day);
        let seen = self.seen.get(self.observed + self.observed / SEEN_STEP).map(|seen| seen.day);
        finished.into_iter().chain(decided).chain(seen).min().unwrap_or(i32::MAX)
    }
}

impl ClinicPosterior {
    /// What the children of a clinic, as known on a day, teach.
    #[must_use]
    pub fn of(parameters: &Parameters, children: &[SeenChild], as_of: i32) -> Self {
        let mut clinic = Self::published(parameters);
        let mut past = Past::of(&clinic, children, as_of);
        let tried = past.tried(TRIALS);
        let moments = past.moments(&tried, |number| days_before_brace(&children[number]));
        past.go_through(&mut clinic, &moments, |forecaster, moment| {
            let child = &children[moment.child];
            forecaster.trials(&child.as_known_on(moment.day), child, moment.day)
        });
        clinic.learn_bracing(children, as_of);
        clinic
    }

    /// As [`Self::learn`], after the forecasts have been tested on the child.
    pub fn add(&mut self, child: &SeenChild) -> bool {
        if finished_day(child).is_none() {
            return false;
        }
        let forecaster = Forecaster::new(self);
        let mut trials = vec![Trials::default(); child.feet.len()];
        for day in days_before_brace(child) {
            let more = forecaster.trials(&child.as_known_on(day), child, day);
            trials.iter_mut().zip(more).for_each(|(all, more)| all.take(more));
        }
        for (foot, trials) in child.feet.iter().zip(&trials) {
            self.settle_decision(trials, foot.tenotomy_day.is_some());
            self.settle_brace(trials);
        }
        self.learn(child)
    }
}
