//! How fast feet correct in this clinic: a shift of log pace, and the spread between feet, on a grid.
//!
//! Each finished foot gives its likelihood at every point of the grid. Two feet of one child do not
//! count twice: their joint likelihood is taken as the product of both, each raised to
//! 1 / (1 + correlation), which gives their mean the weight that two correlated normals have. Between
//! grid points the sum of log likelihoods is smooth and is interpolated.
//!
//! Prior of the shift: normal, with the spread between clinics of [`HabitSpread`]. Prior of
//! the spread: log-normal around the published one, 0.3 (assumed).

use crate::filter::{ClassPrior, likelihood_under};
use crate::natural_history::{ClinicHabits, HabitSpread, Parameters, classes::CLASSES};

const SPREAD_LOG_SD: f64 = 0.3;
const STEP: f64 = 0.06;
const SHIFTS: usize = 31;
const SPREADS: [f64; 5] = [0.6, 0.8, 1.0, 1.25, 1.6];
/// Steps between two points of the grid when it is summarised.
const FINE: usize = 6;

/// Log likelihood at each point: spreads of shifts.
pub(crate) type PaceGrid = [[f64; SHIFTS]; SPREADS.len()];

/// The posterior of the clinic's pace.
#[derive(Debug, Clone)]
pub(crate) struct PaceHabit {
    middle: f64,
    /// Certain, so nothing is learned.
    known: bool,
    log_weights: PaceGrid,
}

/// The summary of the posterior.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PaceSummary {
    pub(crate) shift: f64,
    pub(crate) variance: f64,
    /// 5 % and 95 % points of the shift.
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// Spread between feet, as a factor on the published.
    pub(crate) spread: f64,
}

fn offset(number: usize) -> f64 {
    (number as f64 - (SHIFTS / 2) as f64) * STEP
}

/// Log likelihood of one foot over the grid.
pub(crate) fn grid(
    foot: &Parameters,
    middle: f64,
    age_years: f64,
    complex: bool,
    likelihood: &[f64; CLASSES],
) -> PaceGrid {
    let mut grid = [[0.0; SHIFTS]; SPREADS.len()];
    for (row, factor) in grid.iter_mut().zip(SPREADS) {
        for (number, cell) in row.iter_mut().enumerate() {
            let prior = ClassPrior {
                shift: middle + offset(number),
                shift_variance: 0.0,
                pace_sd: foot.pace_sd * factor,
                severity_sd: 1.0,
                age_years,
            };
            *cell = likelihood_under(&prior, foot, complex, likelihood).max(1e-300).ln();
        }
    }
    grid
}

impl PaceHabit {
    pub(crate) fn new(habits: &ClinicHabits) -> Self {
        let between = HabitSpread::published().pace_shift_sd.max(0.02);
        let mut log_weights = [[0.0; SHIFTS]; SPREADS.len()];
        for (row, factor) in log_weights.iter_mut().zip(SPREADS) {
            for (number, cell) in row.iter_mut().enumerate() {
                let off = offset(number) / between;
                let spread = factor.ln() / SPREAD_LOG_SD;
                *cell = -0.5 * (off * off + spread * spread);
            }
        }
        Self { middle: habits.pace_shift, known: false, log_weights }
    }

    /// A certain pace.
    pub(crate) fn known(habits: &ClinicHabits) -> Self {
        Self { known: true, ..Self::new(habits) }
    }

    pub(crate) const fn middle(&self) -> f64 {
        self.middle
    }

    pub(crate) fn learn(&mut self, grid: &PaceGrid, share: f64) {
        for (log, more) in self.log_weights.iter_mut().flatten().zip(grid.iter().flatten()) {
            *log += share * more;
        }
    }

    pub(crate) fn summary(&self) -> PaceSummary {
        if self.known {
            let shift = self.middle;
            return PaceSummary { shift, variance: 0.0, low: shift, high: shift, spread: 1.0 };
        }
        let fine: Vec<Vec<f64>> = self.log_weights.iter().map(refine).collect();
        let top = fine.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
        let length = fine.first().map_or(0, Vec::len);
        let mut shifts = vec![0.0; length];
        let (mut sum, mut spread) = (0.0, 0.0);
        for (row, factor) in fine.iter().zip(SPREADS) {
            for (into, log) in shifts.iter_mut().zip(row) {
                let weight = (log - top).exp();
                *into += weight;
                sum += weight;
                spread += weight * factor * factor;
            }
        }
        shifts.iter_mut().for_each(|weight| *weight /= sum);
        let step = STEP / FINE as f64;
        let first = self.middle + offset(0);
        let place = |number: usize| first + number as f64 * step;
        let shift = shifts.iter().enumerate().map(|(n, weight)| weight * place(n)).sum::<f64>();
        let variance = shifts.iter().enumerate().map(|(n, weight)| weight * (place(n) - shift).powi(2)).sum();
        let at = |share| first + step * super::tenotomy::quantile_of_grid(&shifts, share);
        PaceSummary { shift, variance, low: at(0.05), high: at(0.95), spread: (spread / sum).sqrt() }
    }
}

/// The row with [`FINE`] steps between any two of its points, on cubics through four neighbours.
fn refine(row: &[f64; SHIFTS]) -> Vec<f64> {
    let at = |number: isize| row[number.clamp(0, SHIFTS as isize - 1) as usize];
    let mut fine = Vec::with_capacity((SHIFTS - 1) * FINE + 1);
    for number in 0..SHIFTS - 1 {
        let n = number as isize;
        // Beyond the ends the curve continues as a straight line.
        let before = if n == 0 { 2.0 * at(0) - at(1) } else { at(n - 1) };
        let last = SHIFTS as isize - 1;
        let after = if n + 2 > last { 2.0 * at(last) - at(last - 1) } else { at(n + 2) };
        for part in 0..FINE {
            fine.push(cubic([before, at(n), at(n + 1), after], part as f64 / FINE as f64));
        }
    }
    fine.push(row[SHIFTS - 1]);
    fine
}

/// The cubic through four equally spaced points, between the second and the third.
fn cubic(y: [f64; 4], t: f64) -> f64 {
    let (a, b, c) = (t + 1.0, t - 1.0, t - 2.0);
    -y[0] * t * b * c / 6.0 + y[1] * a * b * c / 2.0 - y[2] * a * t * c / 2.0 + y[3] * a * t * b / 6.0
}
