//! The published spread of habits between clinics, and clinics drawn from it.

use super::casting::{decided_by, tenotomy_chance};
use super::chance::Chance;
use super::parameters::peaked;
use super::{ClinicHabits, Cohort, ModelError, Parameters, simulate};
use crate::SignsSeen;

/// The spread of habits over clinics.
#[derive(Debug, Clone, PartialEq)]
pub struct HabitSpread {
    /// Mean over clinics of the tenotomy intercept.
    pub tenotomy_intercept_mean: f64,
    /// Its standard deviation over clinics.
    pub tenotomy_intercept_sd: f64,
    /// Standard deviation over clinics of the shift of log pace.
    pub pace_shift_sd: f64,
    /// Standard deviation over clinics of the logit of going on from casting at a midfoot of 0.5 or 1.
    pub go_on_logit_sd: f64,
    /// Share of clinics that change casts twice a week, and share of those that change them every five days.
    pub quick_clinics: [f64; 2],
    /// Share of clinics that do the tenotomy at the visit of the decision.
    pub cut_at_once: f64,
    /// Standard deviation over clinics of the logarithm of the relapse factor.
    pub relapse_log_sd: f64,
}

impl HabitSpread {
    /// The published spread. The source of each value: [`Self::notes`].
    #[must_use]
    pub const fn published() -> Self {
        Self {
            tenotomy_intercept_mean: 4.3,
            tenotomy_intercept_sd: 2.5,
            pace_shift_sd: 0.2,
            go_on_logit_sd: 0.6,
            quick_clinics: [0.1, 0.1],
            cut_at_once: 0.5,
            relapse_log_sd: 0.4,
        }
    }
}

impl ClinicHabits {
    /// Habits of one clinic out of many: the same seed gives the same clinic.
    #[must_use]
    pub fn draw(spread: &HabitSpread, seed: u64) -> Self {
        let mut chance = Chance::of(seed, 0);
        let mut habits = Self::published();
        habits.tenotomy_intercept =
            spread.tenotomy_intercept_mean + spread.tenotomy_intercept_sd * chance.normal();
        habits.pace_shift = spread.pace_shift_sd * chance.normal();
        let eager = spread.go_on_logit_sd * chance.normal();
        for go_on in &mut habits.go_on[1..=2] {
            *go_on = 1.0 / (1.0 + (1.0 / *go_on - 1.0) * (-eager).exp());
        }
        if let Some(days) = quick_interval(spread, chance.unit()) {
            habits.interval_days = days;
        }
        habits.tenotomy_wait_days = if chance.happens(spread.cut_at_once) {
            peaked(&[(0, 0.90), (7, 0.10)], 43)
        } else {
            peaked(&[(0, 0.10), (3, 0.10), (7, 0.50), (14, 0.25), (21, 0.05)], 43)
        };
        habits.relapse_factor = (spread.relapse_log_sd * chance.normal()).exp();
        habits
    }

    /// The intercept with which this clinic would do a tenotomy in this share of feet, found on the
    /// children of a simulated cohort (whose course before the decision does not depend on the intercept).
    ///
    /// # Errors
    /// When the cohort cannot be simulated, or the share is not between 0 and 1.
    pub fn intercept_for(
        &self,
        parameters: &Parameters,
        share: f64,
        cohort: &Cohort,
    ) -> Result<f64, ModelError> {
        if !(share > 0.0 && share < 1.0) {
            let expected = "a share between 0 and 1";
            return Err(ModelError::Number { name: "the share of tenotomies", value: share, expected });
        }
        let children = simulate(parameters, self, cohort)?;
        let feet = children.iter().flat_map(|child| &child.truth.feet);
        let judged: Vec<SignsSeen> = feet.filter_map(|foot| decided_by(foot, self)).collect();
        Ok(bisected(self.clone(), parameters, share, &judged))
    }
}

/// The days between casts of a clinic that changes them more than once a week; `None` for the other clinics. `kind` is
/// uniform from 0 to 1.
fn quick_interval(spread: &HabitSpread, kind: f64) -> Option<Vec<f64>> {
    let [twice, five] = spread.quick_clinics;
    if kind < twice {
        Some(peaked(&[(3, 0.45), (4, 0.50), (7, 0.05)], 29))
    } else if kind < twice + five {
        Some(peaked(&[(4, 0.10), (5, 0.70), (6, 0.10), (7, 0.10)], 29))
    } else {
        None
    }
}

/// The intercept with a mean chance of `share` over the judged signs, by bisection.
fn bisected(mut habits: ClinicHabits, parameters: &Parameters, share: f64, judged: &[SignsSeen]) -> f64 {
    let (mut low, mut high) = (-20.0, 20.0);
    for _ in 0..40 {
        habits.tenotomy_intercept = 0.5 * (low + high);
        let chances = judged.iter().map(|signs| tenotomy_chance(parameters, &habits, signs));
        if chances.sum::<f64>() < share * judged.len() as f64 {
            low = habits.tenotomy_intercept;
        } else {
            high = habits.tenotomy_intercept;
        }
    }
    habits.tenotomy_intercept
}
