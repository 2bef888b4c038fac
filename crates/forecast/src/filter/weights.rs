//! The chance of each class: the prior of one foot or of two feet of one child, and the posterior.
//!
//! The shift of pace of a clinic is known only within a standard deviation. It is common to both feet,
//! so integrating it over a normal adds its variance to that of pace and to the covariance of the two
//! feet: exact except for the nodes, and without further computation.

use super::{Chains, Kernel};
use crate::natural_history::{
    DAYS_PER_YEAR, OLDEST_YEARS, Parameters,
    classes::{CLASSES, PACE, SEVERITY, normal_weights, paired_weights},
};
use crate::{SeenChild, SeenFoot};

/// The values on which the weights of the classes of one child's feet depend.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ClassPrior {
    /// Mean shift of log pace of the clinic.
    pub(crate) shift: f64,
    /// Variance of that mean.
    pub(crate) shift_variance: f64,
    /// Standard deviation of log pace between feet.
    pub(crate) pace_sd: f64,
    /// Standard deviation of severity, 1 for untreated feet.
    pub(crate) severity_sd: f64,
    /// Age at the first cast, years.
    pub(crate) age_years: f64,
}

impl ClassPrior {
    fn spread(&self) -> f64 {
        (self.pace_sd * self.pace_sd + self.shift_variance).sqrt()
    }

    /// As [`Parameters::pace_mean`], at the clinic's learned shift.
    fn mean(&self, foot: &Parameters, severity: f64, hard: bool) -> f64 {
        let complex = if hard { foot.pace_complex } else { 0.0 };
        self.shift + foot.pace_by_age_year * self.age_years + foot.pace_by_severity * severity + complex
    }

    /// Prior weights of the classes of one foot.
    pub(crate) fn one(&self, foot: &Parameters, hard: bool) -> [f64; CLASSES] {
        let severities = normal_weights(&SEVERITY, 0.0, self.severity_sd);
        let mut weights = [0.0; CLASSES];
        for (severity, row) in weights.chunks_exact_mut(PACE.len()).enumerate() {
            let mean = self.mean(foot, SEVERITY[severity], hard);
            let paces = normal_weights(&PACE, mean, self.spread());
            for (cell, pace) in row.iter_mut().zip(paces) {
                *cell = severities[severity] * pace;
            }
        }
        weights
    }

    /// Joint prior weights of two feet; rows are the first foot.
    pub(crate) fn two(&self, foot: &Parameters, hard: [bool; 2]) -> Vec<[f64; CLASSES]> {
        let spread = self.spread();
        let common = foot.pace_correlation * self.pace_sd * self.pace_sd + self.shift_variance;
        let correlation = common / (spread * spread);
        let severities = paired_weights(&SEVERITY, [0.0, 0.0], self.severity_sd, foot.severity_correlation);
        let mut joint = vec![[0.0; CLASSES]; CLASSES];
        for (first, row) in severities.iter().enumerate() {
            for (second, weight) in row.iter().enumerate() {
                let means =
                    [self.mean(foot, SEVERITY[first], hard[0]), self.mean(foot, SEVERITY[second], hard[1])];
                let paces = paired_weights(&PACE, means, spread, correlation);
                for (pace, cells) in paces.iter().enumerate() {
                    let into = &mut joint[first * PACE.len() + pace][second * PACE.len()..];
                    for (cell, chance) in into.iter_mut().zip(cells) {
                        *cell = weight * chance;
                    }
                }
            }
        }
        joint
    }
}

/// Prior times likelihood, summing to 1.
pub(crate) fn posterior(prior: &[f64; CLASSES], likelihood: &[f64; CLASSES]) -> [f64; CLASSES] {
    let raw: [f64; CLASSES] = std::array::from_fn(|class| prior[class] * likelihood[class]);
    let sum: f64 = raw.iter().sum();
    if sum > 0.0 { raw.map(|weight| weight / sum) } else { *prior }
}

/// Joint prior times the likelihoods of both feet, summing to 1.
pub(crate) fn posterior_of_two(
    mut joint: Vec<[f64; CLASSES]>,
    first: &[f64; CLASSES],
    second: &[f64; CLASSES],
) -> Vec<[f64; CLASSES]> {
    let mut sum = 0.0;
    for (row, one) in joint.iter_mut().zip(first) {
        for (cell, other) in row.iter_mut().zip(second) {
            *cell *= one * other;
            sum += *cell;
        }
    }
    if sum > 0.0 {
        joint.iter_mut().flatten().for_each(|cell| *cell /= sum);
    }
    joint
}

/// The weights of each of the two feet alone.
pub(crate) fn marginals(joint: &[[f64; CLASSES]]) -> [[f64; CLASSES]; 2] {
    let mut both = [[0.0; CLASSES]; 2];
    for (class, row) in joint.iter().enumerate() {
        both[0][class] = row.iter().sum();
        for (into, cell) in both[1].iter_mut().zip(row) {
            *into += cell;
        }
    }
    both
}

/// Likelihood of a foot under a prior of its classes.
pub(crate) fn likelihood_under(
    prior: &ClassPrior,
    foot: &Parameters,
    hard: bool,
    likelihood: &[f64; CLASSES],
) -> f64 {
    prior.one(foot, hard).iter().zip(likelihood).map(|(weight, likelihood)| weight * likelihood).sum()
}

/// Weights of the classes of a foot of the published clinic, given its visits.
pub(crate) fn posterior_of_one(
    kernel: &Kernel,
    chains: &Chains,
    age_years: f64,
    hard: bool,
) -> [f64; CLASSES] {
    let foot = &kernel.parameters;
    let prior =
        ClassPrior { shift: 0.0, shift_variance: 0.0, pace_sd: foot.pace_sd, severity_sd: 1.0, age_years };
    posterior(&prior.one(foot, hard), &chains.likelihood())
}

/// Age at the first cast in years, up to the oldest age with evidence. A child with an unknown day of birth counts as
/// a newborn, and its forecast is wider.
pub(crate) fn ageing(child: &SeenChild, foot: &SeenFoot) -> f64 {
    let first = foot.visits.first().map_or(child.last_day, |visit| visit.day);
    let days = child.born_day.map_or(0, |born| first - born);
    (f64::from(days) / DAYS_PER_YEAR).clamp(0.0, OLDEST_YEARS)
}
