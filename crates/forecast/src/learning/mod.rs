//! Learning from the clinic's own finished feet: a posterior over its habits.
//!
//! [`ClinicPosterior`] starts at the published clinic and takes finished children one at a time; a forecast
//! uses only what was finished before its day. Tenotomy and pace are posteriors on grids (`tenotomy`, `pace`),
//! readiness is a Beta for each score, days are Dirichlets (`days`), relapse is a Gamma and adherence a Beta
//! (`bracing`). In a forecast, the intercept and slope of tenotomy and the shift of pace are integrated over,
//! because they matter most and are learned slowest; days and readiness are used at their means, which is
//! exact for one draw and slightly too narrow for sums of several while a clinic is new.
//!
//! Three parts correct forecasts by the results of past ones: `guard` weighs the signs against plain counts,
//! `experts` mixes the chance of a tenotomy, `calibration` corrects the coverage of windows. They learn
//! online: every forecast is made again as of its day, from what was known by then, by a clinic that had
//! learned only from what was known before that day (`past`), and is judged only when its outcome is known.

mod bracing;
mod calibration;
mod days;
mod draw;
mod experts;
mod guard;
mod lesson;
mod line;
mod own_line;
mod pace;
mod pit;
mod rule;
mod tenotomy;
mod trials;

pub(crate) use bracing::BracingHabit;
pub(crate) use calibration::{Band, Calibration, Mark, NOMINAL, Recalibration, Target, shares};
pub(crate) use experts::{CutExperts, Opinions};
pub(crate) use guard::{AtVisit, Guard, VISITS};
pub(crate) use lesson::{Happening, Lesson, What, decided_day, finished_day, happenings, midfoot};
pub(crate) use pace::PaceSummary;
pub(crate) use rule::{RunningRate, rule_of_thumb};
pub(crate) use tenotomy::{TenotomyTable, weigh};
pub(crate) use trials::Trials;

use crate::SeenChild;
use crate::filter::Kernel;
use crate::natural_history::{ClinicHabits, Parameters};
use days::{DayHabits, GoOn};
use pace::PaceHabit;
use serde::Serialize;
use std::sync::Arc;
use tenotomy::TenotomyHabit;

/// What is known of a clinic's habits.
#[derive(Debug, Clone)]
pub struct ClinicPosterior {
    pub(crate) kernel: Arc<Kernel>,
    published: ClinicHabits,
    pub(crate) tenotomy: TenotomyHabit,
    pub(crate) pace: PaceHabit,
    pub(crate) go_on: GoOn,
    pub(crate) days: DayHabits,
    pub(crate) bracing: BracingHabit,
    pub(crate) guard: Guard,
    pub(crate) experts: CutExperts,
    pub(crate) calibration: Calibration,
    pub(crate) finished_feet: usize,
    pub(crate) tenotomy_decisions: usize,
}

/// A learned number with its 90 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Learned {
    /// Posterior mean.
    pub mean: f64,
    /// 5 % point.
    pub low: f64,
    /// 95 % point.
    pub high: f64,
}

impl ClinicPosterior {
    /// The published clinic: nothing learned yet.
    #[must_use]
    pub fn published(parameters: &Parameters) -> Self {
        Self::starting_at(parameters, &ClinicHabits::published())
    }

    /// A clinic with these habits as the prior.
    #[must_use]
    pub fn starting_at(parameters: &Parameters, habits: &ClinicHabits) -> Self {
        Self {
            kernel: Arc::new(Kernel::new(parameters)),
            tenotomy: TenotomyHabit::new(parameters, habits),
            pace: PaceHabit::new(habits),
            go_on: GoOn::new(habits),
            days: DayHabits::new(habits),
            bracing: BracingHabit::new(parameters, habits),
            guard: Guard::new(),
            experts: CutExperts::new(),
            calibration: Calibration::new(),
            finished_feet: 0,
            tenotomy_decisions: 0,
            published: habits.clone(),
        }
    }

    /// A clinic with certain habits, whose forecasts do not learn.
    #[must_use]
    pub fn known(parameters: &Parameters, habits: &ClinicHabits) -> Self {
        Self {
            tenotomy: TenotomyHabit::known(parameters, habits),
            pace: PaceHabit::known(habits),
            go_on: GoOn::known(habits),
            days: DayHabits::known(habits),
            guard: Guard::off(),
            experts: CutExperts::certain(),
            calibration: Calibration::certain(),
            ..Self::starting_at(parameters, habits)
        }
    }

    /// The lesson of a child; `None` while its first casting is not finished.
    pub(crate) fn read(&self, child: &SeenChild) -> Option<Lesson> {
        Lesson::of(&self.kernel, self.pace.middle(), child)
    }

    /// Learns the habits from one finished child; `false` while its first casting is not finished, and
    /// then nothing is learned.
    pub fn learn(&mut self, child: &SeenChild) -> bool {
        let Some(lesson) = self.read(child) else { return false };
        self.take(&lesson);
        happenings(child).iter().for_each(|seen| self.observe(seen));
        true
    }

    /// Learns relapse and wear from every child in the brace, as known on a day.
    pub fn learn_bracing(&mut self, children: &[SeenChild], as_of: i32) {
        let kernel = Arc::clone(&self.kernel);
        self.bracing = BracingHabit::new(&kernel.parameters, &self.published);
        for child in children {
            self.bracing.learn(&kernel.parameters, child, as_of);
        }
    }

    /// Learns from the forecasts of a foot whose decision on tenotomy is now known.
    pub(crate) fn settle_decision(&mut self, foot: &Trials, cut: bool) {
        self.guard.trial(&foot.cast_visits);
        self.experts.learn(&foot.opinions, cut);
        self.calibration.learn(&foot.marks, Target::by_decision);
    }

    /// Learns from the forecasts of a foot that is now in the brace.
    pub(crate) fn settle_brace(&mut self, foot: &Trials) {
        self.calibration.learn(&foot.marks, |target| !target.by_decision());
    }

    pub(crate) fn take(&mut self, lesson: &Lesson) {
        for foot in &lesson.feet {
            self.finished_feet += 1;
            if let Some((written, cut)) = &foot.decision {
                self.tenotomy.learn(written, *cut);
                self.tenotomy_decisions += 1;
            }
            if let Some(pace) = &foot.pace {
                self.pace.learn(pace, foot.pace_share);
            }
            for (score, cast_visits) in &foot.remaining {
                self.guard.learn(*score, *cast_visits, 1.0);
            }
        }
    }

    /// Learns from one observation.
    pub(crate) fn observe(&mut self, seen: &Happening) {
        let days = &mut self.days;
        match seen.what {
            What::Interval(gap) => days.interval.learn(gap),
            What::CastVisit(score, ready) => self.go_on.learn(score, ready),
            What::Wait(wait) => days.wait.learn(wait),
            What::ToBrace(wait) => days.to_brace.learn(wait),
            What::ReadyToBrace(wait) => days.ready_to_brace.learn(wait),
            What::FullTime(span) => days.full_time.learn(span),
        }
    }

    /// Logit of tenotomy at a written hindfoot score of 2 with rigid equinus 0.5.
    #[must_use]
    pub fn tenotomy_intercept(&self) -> Learned {
        let [mean, low, high] = self.tenotomy.intercept();
        Learned { mean, low, high }
    }

    /// Shift of log pace of the clinic.
    #[must_use]
    pub fn pace_shift(&self) -> Learned {
        let summary = self.pace.summary();
        Learned { mean: summary.shift, low: summary.low, high: summary.high }
    }

    /// The habits at their posterior means.
    #[must_use]
    pub fn habits(&self) -> ClinicHabits {
        ClinicHabits {
            tenotomy_intercept: self.tenotomy_intercept().mean,
            tenotomy_by: self.published.tenotomy_by,
            tenotomy_slope: self.tenotomy.slope(),
            pace_shift: self.pace_shift().mean,
            go_on: self.go_on.chances(),
            interval_days: self.days.interval.chances(),
            tenotomy_wait_days: self.days.wait.chances(),
            tenotomy_to_brace_days: self.days.to_brace.chances(),
            ready_to_brace_days: self.days.ready_to_brace.chances(),
            full_time_days: self.days.full_time.chances(),
            relapse_factor: self.bracing.factor(),
        }
    }

    /// The number of the clinic's feet from which it learned.
    #[must_use]
    pub const fn finished_feet(&self) -> usize {
        self.finished_feet
    }

    /// Share of the forecast of visits to come that rests on the clinic's own counts.
    #[must_use]
    pub fn own_counts_share(&self) -> f64 {
        self.guard.plain_share()
    }
}
