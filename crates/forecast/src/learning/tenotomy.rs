//! How often the clinic does a tenotomy: intercept and slope of its logit, on a grid.
//!
//! The intercept's prior is normal around the published clinic, with the spread between clinics of
//! [`HabitSpread`] (the published base rates run from 22 to 86 % and spread by 0.9 on the logit scale;
//! evidence on correction, section 3, derived). The slope is a factor on both published slopes; its prior is assumed, with its middle at
//! 1 and a small weight on a clinic that decides by habit and not by score.

use crate::filter::Cells;
use crate::natural_history::{ClinicHabits, HabitSpread, Parameters};
use std::sync::Arc;

/// Further spread for a foot unlike the published ones, logit; assumed.
const UNLIKE_SD: f64 = 1.0;
const STEP: f64 = 0.125;
const INTERCEPTS: usize = 121;
const SLOPES: [(f64, f64); 8] = [
    (0.0, 0.02),
    (0.25, 0.04),
    (0.5, 0.12),
    (0.75, 0.22),
    (1.0, 0.28),
    (1.25, 0.18),
    (1.5, 0.10),
    (2.0, 0.04),
];
/// The index of the published slope in [`SLOPES`].
const PUBLISHED_SLOPE: usize = 4;

/// The posterior of the clinic's habit.
#[derive(Debug, Clone)]
pub(crate) struct TenotomyHabit {
    /// First intercept of the grid.
    first: f64,
    /// Chance of a tenotomy by grid point, hindfoot and equinus.
    chances: Arc<Vec<Cells>>,
    log_weights: Vec<f64>,
}

/// The summary of the posterior for forecasting.
#[derive(Debug, Clone)]
pub(crate) struct TenotomyTable {
    /// Mean chance by hindfoot and equinus.
    pub(crate) mean: Cells,
    chances: Arc<Vec<Cells>>,
    weights: Vec<f64>,
}

impl TenotomyHabit {
    pub(crate) fn new(foot: &Parameters, habits: &ClinicHabits) -> Self {
        let middle = (INTERCEPTS / 2) as f64;
        let spread = HabitSpread::published().tenotomy_intercept_sd.max(0.1);
        let first = habits.tenotomy_intercept - middle * STEP;
        let mut chances = Vec::with_capacity(INTERCEPTS * SLOPES.len());
        let mut log_weights = Vec::with_capacity(INTERCEPTS * SLOPES.len());
        for number in 0..INTERCEPTS {
            let off = (number as f64 - middle) * STEP;
            for (slope, weight) in SLOPES {
                chances.push(cells(foot, habits.tenotomy_intercept + off, habits.tenotomy_slope * slope));
                log_weights.push(f64::ln(weight) - 0.5 * (off / spread).powi(2));
            }
        }
        Self { first, chances: Arc::new(chances), log_weights }
    }

    /// A certain habit.
    pub(crate) fn known(foot: &Parameters, habits: &ClinicHabits) -> Self {
        let mut habit = Self::new(foot, habits);
        let middle = INTERCEPTS / 2 * SLOPES.len() + PUBLISHED_SLOPE;
        for (number, log) in habit.log_weights.iter_mut().enumerate() {
            *log = if number == middle { 0.0 } else { f64::NEG_INFINITY };
        }
        habit
    }

    /// Learns from one decision: chances of the written signs, and whether there was a tenotomy.
    pub(crate) fn learn(&mut self, written: &Cells, cut: bool) {
        for (log, chances) in self.log_weights.iter_mut().zip(self.chances.iter()) {
            let chance = weigh(written, chances).clamp(1e-9, 1.0 - 1e-9);
            *log += if cut { chance.ln() } else { (-chance).ln_1p() };
        }
    }

    fn weights(&self) -> Vec<f64> {
        let top = self.log_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let raw: Vec<f64> = self.log_weights.iter().map(|log| (log - top).exp()).collect();
        let sum: f64 = raw.iter().sum();
        raw.into_iter().map(|weight| weight / sum).collect()
    }

    /// For feet like the published ones.
    pub(crate) fn table(&self) -> TenotomyTable {
        TenotomyTable::new(Arc::clone(&self.chances), self.weights())
    }

    /// For feet unlike the published ones, for which the intercept is less certain.
    pub(crate) fn table_unlike(&self) -> TenotomyTable {
        let weights = self.weights();
        let reach = (3.0 * UNLIKE_SD / STEP) as usize;
        let mut spread = vec![0.0; weights.len()];
        for (number, weight) in weights.iter().enumerate().filter(|(_, weight)| **weight > 1e-12) {
            let (at, slope) = (number / SLOPES.len(), number % SLOPES.len());
            for to in at.saturating_sub(reach)..=(at + reach).min(INTERCEPTS - 1) {
                let off = (to as f64 - at as f64) * STEP / UNLIKE_SD;
                spread[to * SLOPES.len() + slope] += weight * (-0.5 * off * off).exp();
            }
        }
        let sum: f64 = spread.iter().sum();
        spread.iter_mut().for_each(|weight| *weight /= sum);
        TenotomyTable::new(Arc::clone(&self.chances), spread)
    }

    /// Mean of the slope.
    pub(crate) fn slope(&self) -> f64 {
        let weights = self.weights();
        weights.iter().enumerate().map(|(number, weight)| weight * SLOPES[number % SLOPES.len()].0).sum()
    }

    /// The intercept and slope at this share of the weight along the grid.
    pub(crate) fn at(&self, share: f64) -> (f64, f64) {
        let weights = self.weights();
        let mut left = share;
        let found = weights.iter().position(|weight| {
            left -= weight;
            left < 0.0
        });
        let number = found.unwrap_or(INTERCEPTS / 2 * SLOPES.len() + PUBLISHED_SLOPE);
        (self.first + (number / SLOPES.len()) as f64 * STEP, SLOPES[number % SLOPES.len()].0)
    }

    /// Mean, 5 % and 95 % points of the intercept.
    pub(crate) fn intercept(&self) -> [f64; 3] {
        let weights = self.weights();
        let by_intercept: Vec<f64> = weights.chunks_exact(SLOPES.len()).map(|row| row.iter().sum()).collect();
        let place = |number: usize| self.first + number as f64 * STEP;
        let mean = by_intercept.iter().enumerate().map(|(number, weight)| place(number) * weight).sum();
        let at = |share| self.first + STEP * quantile_of_grid(&by_intercept, share);
        [mean, at(0.05), at(0.95)]
    }
}

/// The quantile of a share, in steps from the first point; the weight of each point is spread over the step around it.
pub(crate) fn quantile_of_grid(weights: &[f64], share: f64) -> f64 {
    let mut below = 0.0;
    for (number, weight) in weights.iter().enumerate() {
        if below + weight >= share && *weight > 0.0 {
            return number as f64 - 0.5 + (share - below) / weight;
        }
        below += weight;
    }
    weights.len() as f64 - 0.5
}

fn cells(foot: &Parameters, intercept: f64, slope: f64) -> Cells {
    std::array::from_fn(|hindfoot| {
        std::array::from_fn(|equinus| {
            let by_hindfoot = foot.tenotomy_by_hindfoot * (hindfoot as f64 / 2.0 - 2.0);
            let by_equinus = foot.tenotomy_by_equinus * (equinus as f64 - 1.0);
            let logit = intercept + slope * (by_hindfoot + by_equinus);
            1.0 / (1.0 + (-logit).exp())
        })
    })
}

/// Mean of chances over the chances of the written signs.
pub(crate) fn weigh(written: &Cells, chances: &Cells) -> f64 {
    written.iter().flatten().zip(chances.iter().flatten()).map(|(weight, chance)| weight * chance).sum()
}

impl TenotomyTable {
    fn new(chances: Arc<Vec<Cells>>, weights: Vec<f64>) -> Self {
        let mut mean = [[0.0; 3]; 7];
        for (cells, weight) in chances.iter().zip(&weights) {
            for (into, chance) in mean.iter_mut().flatten().zip(cells.iter().flatten()) {
                *into += weight * chance;
            }
        }
        Self { mean, chances, weights }
    }

    /// The 5 % and 95 % points of the chance, over the signs that may be written at the decision.
    pub(crate) fn interval(&self, written: &Cells) -> (f64, f64) {
        let mut points: Vec<(f64, f64)> = self
            .chances
            .iter()
            .zip(&self.weights)
            .filter(|(_, weight)| **weight > 1e-5)
            .map(|(chances, weight)| (weigh(written, chances), *weight))
            .collect();
        points.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        (quantile(&points, 0.05), quantile(&points, 0.95))
    }
}

/// The quantile of a share of the weight.
fn quantile(points: &[(f64, f64)], share: f64) -> f64 {
    let whole: f64 = points.iter().map(|(_, weight)| weight).sum();
    let mut below = 0.0;
    for (value, weight) in points {
        below += weight;
        if below >= share * whole {
            return *value;
        }
    }
    points.last().map_or(0.5, |(value, _)| *value)
}
