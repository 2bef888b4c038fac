//! The replay of the past in order of day.

use super::baselines::Running;
use super::report::BacktestReport;
use super::score::{Experience, Scores};
use super::{Followed, report};
use crate::SeenChild;
use crate::foot::Forecaster;
use crate::learning::{ClinicPosterior, Trials};
use crate::natural_history::Parameters;
use crate::past::{Moment, Past};
use rayon::prelude::*;

/// Replays every finished foot of a clinic as of each day on which it was seen before the brace.
#[must_use]
pub fn backtest(parameters: &Parameters, children: &[Followed], as_of: i32) -> BacktestReport {
    let mut clinic = ClinicPosterior::published(parameters);
    let now: Vec<&SeenChild> = children.iter().map(|child| &child.now).collect();
    let mut past = Past::of(&clinic, &now, as_of);
    let mut replay = Replay::new(children, &past);
    let all = past.tried(usize::MAX);
    let days = |child: usize| children[child].then.iter().map(|(day, _)| *day).collect();
    let moments = past.moments(&all, days);
    let mut rest = moments.as_slice();
    while let Some(moment) = rest.first() {
        let now = past.until_it_learns(&mut clinic, moment.day, rest);
        replay.average(&past);
        let trials = replay.forecast(&clinic, now);
        past.note(now, trials);
        rest = &rest[now.len()..];
    }
    past.learn_before(&mut clinic, i32::MAX);
    replay.finish(&past, &clinic, as_of)
}

struct Replay<'a> {
    children: &'a [Followed],
    /// For each finished child, the number of feet that finished before its own.
    places: Vec<Option<usize>>,
    running: Running,
    /// The number of finished children in the running average.
    averaged: usize,
    scores: Scores,
    forecasts: usize,
}

impl<'a> Replay<'a> {
    fn new(children: &'a [Followed], past: &Past) -> Self {
        let (mut places, mut feet) = (vec![None; children.len()], 0);
        for (number, _) in &past.finished {
            places[*number] = Some(feet);
            feet += children[*number].now.feet.len();
        }
        let running = Running::new();
        Self { children, places, running, averaged: 0, scores: Scores::default(), forecasts: 0 }
    }

    /// Adds the children from which the clinic has learned to the running average.
    fn average(&mut self, past: &Past) {
        let taken = past.taken();
        for (number, _) in &taken[self.averaged..] {
            self.children[*number].now.feet.iter().for_each(|foot| self.running.learn(foot));
        }
        self.averaged = taken.len();
    }

    fn forecast(&mut self, clinic: &ClinicPosterior, moments: &[Moment]) -> Vec<Vec<Trials>> {
        let forecaster = Forecaster::new(clinic);
        let finished = clinic.finished_feet();
        let made: Vec<(Scores, Vec<Trials>)> =
            moments.par_iter().map(|moment| self.again(&forecaster, moment, finished)).collect();
        self.forecasts += moments.iter().filter(|moment| self.places[moment.child].is_some()).count();
        let taken = made.into_iter().map(|(scores, trials)| {
            self.scores.take(scores);
            trials
        });
        taken.collect()
    }

    fn again(&self, forecaster: &Forecaster, moment: &Moment, finished: usize) -> (Scores, Vec<Trials>) {
        let child = &self.children[moment.child];
        let then = &child.then[moment.place].1;
        let mut scores = Scores::default();
        let (forecasts, trials) = forecaster.again(then, &child.now, moment.day);
        // Forecasts of an unfinished child are made to learn from them, and are not scored.
        let Some(before) = self.places[moment.child] else { return (scores, trials) };
        for (number, forecast) in forecasts.into_iter().enumerate() {
            let experience = Experience { finished, place: before + number + 1 };
            let pair = foot(then, forecast.side).zip(foot(&child.now, forecast.side));
            if let Some((then, now)) = pair {
                scores.take(Scores::of(&forecast, then, now, &self.running, experience));
            }
        }
        (scores, trials)
    }

    fn finish(self, past: &Past, clinic: &ClinicPosterior, as_of: i32) -> BacktestReport {
        let feet = past.finished.iter().map(|(number, _)| self.children[*number].now.feet.len()).sum();
        report::write(
            &self.scores,
            report::Counts {
                as_of,
                feet,
                children: past.finished.len(),
                forecasts: self.forecasts,
                unfinished: self.children.len() - past.finished.len(),
                own_counts_share: clinic.own_counts_share(),
            },
        )
    }
}

fn foot(child: &SeenChild, side: record::Side) -> Option<&crate::SeenFoot> {
    child.feet.iter().find(|foot| foot.side == side)
}
