//! Forward filtering of the signs observed so far, class by class.
//!
//! Given its class the six signs of a foot are six independent chains of five levels, so the filter has
//! six short vectors and one likelihood per class and needs no joint table. The signs depend on each other
//! in one way: a cast that slips leaves all six unchanged. At each visit the two cases are weighed with all
//! six answers at once, which is exact. For the next visit the filter stores the mixture of both, sign by
//! sign, which loses the information that a slip was common to the six. With a slip in about thirty casts,
//! half of them recorded, the error is far smaller than that of any other part; the tests compare it with
//! full enumeration.

use super::kernel::{Kernel, MIDFOOT_STATES, Midfoot, parts};
use crate::SeenVisit;
use crate::natural_history::{
    classes::{CLASSES, PACE},
    signs::{LEVELS, Levels, after, likelihood},
};
use record::Sign;

/// The filter of one foot after some visits.
#[derive(Debug, Clone)]
pub(crate) struct Chains {
    /// Levels of each sign, by class.
    pub(crate) levels: Vec<[Levels; 6]>,
    /// Logarithm of the likelihood of all observations, by class.
    pub(crate) log_likelihood: [f64; CLASSES],
    /// Dorsiflexion was measured. The deviation of a foot is constant, so only the first measurement is used.
    measured: bool,
}

/// A likelihood that counts as zero.
const NONE: f64 = 1e-280;

impl Chains {
    /// A foot without any observation.
    pub(crate) fn start(kernel: &Kernel) -> Self {
        let levels = (0..CLASSES).map(|class| kernel.initial[class / PACE.len()]).collect();
        Self { levels, log_likelihood: [0.0; CLASSES], measured: false }
    }

    /// The filter after every visit given.
    pub(crate) fn through(kernel: &Kernel, visits: &[SeenVisit]) -> Self {
        let mut chains = Self::start(kernel);
        let mut cast = false;
        for visit in visits {
            chains.see(kernel, visit, cast);
            cast = visit.cast;
        }
        chains
    }

    /// One visit; `cast` states whether a cast was worn until it.
    pub(crate) fn see(&mut self, kernel: &Kernel, visit: &SeenVisit, cast: bool) {
        let slip = match (cast, visit.slipped) {
            (false, _) | (_, true) => 1.0,
            _ => kernel.silent_slip,
        };
        let answers = self.answers(kernel, visit);
        for class in 0..CLASSES {
            let steps = &kernel.steps[class % PACE.len()];
            let still = self.levels[class];
            let filtered = if slip >= 1.0 {
                weigh(&still, &answers)
            } else {
                let moved = std::array::from_fn(|sign| after(&still[sign], &steps[sign]));
                mix(weigh(&moved, &answers), weigh(&still, &answers), slip)
            };
            if filtered.1 > NONE {
                self.levels[class] = filtered.0;
                self.log_likelihood[class] += filtered.1.ln();
            } else {
                // The answers cannot be of this class; its levels no longer matter.
                self.log_likelihood[class] += NONE.ln();
            }
        }
    }

    /// Likelihood of the written answers, by sign and level; 1 if nothing was written.
    fn answers(&mut self, kernel: &Kernel, visit: &SeenVisit) -> [Levels; 6] {
        let given = |seen| likelihood(seen, &kernel.given);
        let mut answers = visit.signs.map(|sign| sign.map_or([1.0; LEVELS], given));
        let angle = visit.dorsiflexion_deg.filter(|deg| deg.is_finite() && !self.measured);
        if let Some(measured) = angle {
            self.measured = true;
            for (level, chance) in answers[Sign::RigidEquinus as usize].iter_mut().enumerate() {
                *chance *= dorsiflexion(kernel, measured, level);
            }
        }
        answers
    }

    /// Likelihoods on a common scale, the greatest 1.
    pub(crate) fn likelihood(&self) -> [f64; CLASSES] {
        let top = self.log_likelihood.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        self.log_likelihood.map(|log| (log - top).exp())
    }

    /// Joint distribution of the midfoot levels of a class.
    pub(crate) fn midfoot(&self, class: usize) -> Midfoot {
        let [lateral, medial, talar, ..] = &self.levels[class];
        let mut joint = [0.0; MIDFOOT_STATES];
        for (state, chance) in joint.iter_mut().enumerate() {
            let [a, b, c] = parts(state);
            *chance = lateral[a] * medial[b] * talar[c];
        }
        joint
    }
}

/// Likelihood of a measured dorsiflexion, in units of its own greatest value.
fn dorsiflexion(kernel: &Kernel, measured: f64, level: usize) -> f64 {
    let foot = &kernel.parameters;
    let mean = foot.dorsiflexion_free_deg - foot.dorsiflexion_by_equinus_deg * level as f64 / 4.0;
    let spread = foot.dorsiflexion_sd_deg.hypot(foot.dorsiflexion_reading_sd_deg).max(1.0);
    let off = ((measured - mean) / spread).clamp(-6.0, 6.0);
    (-0.5 * off * off).exp()
}

/// Levels after the answers, and the likelihood of the answers.
type Filtered = ([Levels; 6], f64);

fn weigh(levels: &[Levels; 6], answers: &[Levels; 6]) -> Filtered {
    let mut filtered = *levels;
    let mut likelihood = 1.0;
    for (chances, answer) in filtered.iter_mut().zip(answers) {
        let mut sum = 0.0;
        for (chance, weight) in chances.iter_mut().zip(answer) {
            *chance *= weight;
            sum += *chance;
        }
        likelihood *= sum;
        let scale = if sum > 0.0 { 1.0 / sum } else { 0.0 };
        chances.iter_mut().for_each(|chance| *chance *= scale);
    }
    (filtered, likelihood)
}

/// The mixture of a cast that held and one that slipped.
fn mix(moved: Filtered, still: Filtered, slip: f64) -> Filtered {
    let (held, slipped) = ((1.0 - slip) * moved.1, slip * still.1);
    let total = held + slipped;
    if total <= NONE {
        return (moved.0, 0.0);
    }
    let share = slipped / total;
    let mut levels = moved.0;
    for (level, other) in levels.iter_mut().flatten().zip(still.0.iter().flatten()) {
        *level = (1.0 - share) * *level + share * other;
    }
    (levels, total)
}
