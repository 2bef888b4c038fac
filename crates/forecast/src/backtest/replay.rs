//! Going through the past in order of day.

use super::baselines::Running;
use super::report::BacktestReport;
use super::score::{Experience, Scores};
use super::{Followed, report};
use crate::foot::Forecaster;
use crate::learning::{ClinicPosterior, Lesson, Trials, finished_day};
use crate::natural_history::Parameters;
use rayon::prelude::*;

/// The clinic learns anew when one in so many more children has finished.
const STEP: usize = 50;

/// One forecast to make again: the day, the child, its place in [`Followed::then`].
type Moment = (i32, usize, usize);

/// Replays every finished foot of a clinic as of each day on which it was seen before the brace.
#[must_use]
pub fn backtest(parameters: &Parameters, children: &[Followed], as_of: i32) -> BacktestReport {
    let mut replay = Replay::new(parameters, children, as_of);
    let mut moments: Vec<Moment> = Vec::new();
    for (_, number, _) in &replay.finished {
        let then = &children[*number].then;
        moments.extend(then.iter().enumerate().map(|(place, (day, _))| (*day, *number, place)));
    }
    moments.sort_unstable();
    let mut rest = moments.as_slice();
    while let Some((day, ..)) = rest.first() {
        replay.learn_before(*day);
        let until = replay.learns_next().unwrap_or(i32::MAX);
        let together = rest.partition_point(|moment| moment.0 <= until);
        let (now, later) = rest.split_at(together.max(1));
        replay.forecast(now);
        rest = later;
    }
    replay.finish(as_of)
}

struct Replay<'a> {
    children: &'a [Followed],
    /// Finished children in order of the day they finished, with what they teach.
    finished: Vec<(i32, usize, Lesson)>,
    /// How many of them have been learned from.
    learned: usize,
    clinic: ClinicPosterior,
    running: Running,
    scores: Scores,
    trials: Vec<Vec<Trials>>,
    /// Of each child, how many feet finished before its own; nothing of those that did not.
    places: Vec<usize>,
    forecasts: usize,
}

impl<'a> Replay<'a> {
    fn new(parameters: &Parameters, children: &'a [Followed], as_of: i32) -> Self {
        let clinic = ClinicPosterior::published(parameters);
        let mut finished: Vec<(i32, usize, Lesson)> = children
            .par_iter()
            .enumerate()
            .filter_map(|(number, child)| {
                let day = finished_day(&child.now).filter(|day| *day <= as_of)?;
                Some((day, number, clinic.read(&child.now)?))
            })
            .collect();
        finished.sort_by_key(|(day, number, _)| (*day, *number));
        let (mut places, mut feet) = (vec![0; children.len()], 0);
        for (_, number, _) in &finished {
            places[*number] = feet;
            feet += children[*number].now.feet.len();
        }
        Self {
            places,
            children,
            finished,
            learned: 0,
            clinic,
            running: Running::new(),
            scores: Scores::default(),
            trials: children.iter().map(|child| vec![Trials::default(); child.now.feet.len()]).collect(),
            forecasts: 0,
        }
    }

    /// Learns from every child that finished before a day.
    fn learn_before(&mut self, day: i32) {
        while let Some((finished, number, lesson)) = self.finished.get(self.learned)
            && *finished < day
        {
            for foot in &self.trials[*number] {
                self.clinic.guard.trial(foot);
            }
            self.clinic.take(lesson);
            self.children[*number].now.feet.iter().for_each(|foot| self.running.learn(foot));
            self.learned += 1;
        }
    }

    /// The last day of forecasts made before the clinic learns anew.
    fn learns_next(&self) -> Option<i32> {
        let more = self.learned / STEP;
        self.finished.get(self.learned + more).map(|(day, ..)| *day)
    }

    fn forecast(&mut self, moments: &[Moment]) {
        let forecaster = Forecaster::new(&self.clinic);
        let (children, running, places) = (self.children, self.running, &self.places);
        let finished = self.clinic.finished_feet();
        let made: Vec<(usize, Scores, Vec<Trials>)> = moments
            .par_iter()
            .map(|(day, number, place)| {
                let child = &children[*number];
                let then = &child.then[*place].1;
                let mut scores = Scores::default();
                let (forecasts, trials) = forecaster.again(then, &child.now, *day);
                for (foot_number, forecast) in forecasts.into_iter().enumerate() {
                    let experience = Experience { finished, place: places[*number] + foot_number + 1 };
                    let pair = foot(then, forecast.side).zip(foot(&child.now, forecast.side));
                    if let Some((then, now)) = pair {
                        scores.take(Scores::of(&forecast, then, now, &running, experience));
                    }
                }
                (*number, scores, trials)
            })
            .collect();
        self.forecasts += made.len();
        for (number, scores, trials) in made {
            self.scores.take(scores);
            for (all, more) in self.trials[number].iter_mut().zip(trials) {
                all.take(more);
            }
        }
    }

    fn finish(mut self, as_of: i32) -> BacktestReport {
        self.learn_before(i32::MAX);
        let feet = self.finished.iter().map(|(_, number, _)| self.children[*number].now.feet.len()).sum();
        report::write(
            &self.scores,
            report::Counts {
                as_of,
                feet,
                children: self.finished.len(),
                forecasts: self.forecasts,
                unfinished: self.children.len() - self.finished.len(),
                own_counts_share: self.clinic.own_counts_share(),
            },
        )
    }
}

fn foot(child: &crate::SeenChild, side: record::Side) -> Option<&crate::SeenFoot> {
    child.feet.iter().find(|foot| foot.side == side)
}
