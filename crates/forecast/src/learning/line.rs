//! A logistic regression that learns foot by foot.
//!
//! Its coefficients have a normal posterior that is updated by one Newton step for each forecast (the extended
//! Kalman filter of a logistic regression). The uncertainty of the coefficients moves the chance towards one half
//! (MacKay 1992, cited from memory).

/// The number of outcomes for which the forecasts of one foot count; assumed.
const OUTCOMES: f64 = 1.0;
/// The factor by which the variances grow after each foot, because a clinic may change; assumed.
const WIDER: f64 = 1.003;

/// The regression: means of its coefficients and their covariances.
#[derive(Debug, Clone)]
pub(crate) struct Line<const N: usize> {
    means: [f64; N],
    covariance: [[f64; N]; N],
    spreads: [f64; N],
}

impl<const N: usize> Line<N> {
    /// From the prior means and standard deviations of the coefficients.
    pub(crate) const fn new(means: [f64; N], spreads: [f64; N]) -> Self {
        let mut covariance = [[0.0; N]; N];
        let mut number = 0;
        while number < N {
            covariance[number][number] = spreads[number] * spreads[number];
            number += 1;
        }
        Self { means, covariance, spreads }
    }

    /// The chance at these facts.
    pub(crate) fn chance(&self, facts: &[f64; N]) -> f64 {
        let known = std::f64::consts::PI / 8.0 * dot(facts, &self.times(facts));
        logistic(dot(&self.means, facts) / (1.0 + known.max(0.0)).sqrt())
    }

    /// A finished foot, by the facts at each of its forecasts.
    pub(crate) fn learn(&mut self, forecasts: impl ExactSizeIterator<Item = [f64; N]>, happened: bool) {
        let weight = OUTCOMES / forecasts.len().max(1) as f64;
        for facts in forecasts {
            self.step(&facts, weight.min(1.0), f64::from(u8::from(happened)));
        }
        self.widen();
    }

    fn step(&mut self, facts: &[f64; N], weight: f64, outcome: f64) {
        let chance = logistic(dot(&self.means, facts));
        let along = self.times(facts);
        let information = weight * (chance * (1.0 - chance)).max(0.01);
        let gain = 1.0 / (1.0 + information * dot(facts, &along));
        for (mean, along) in self.means.iter_mut().zip(&along) {
            *mean += gain * weight * (outcome - chance) * along;
        }
        for (row, one) in self.covariance.iter_mut().zip(&along) {
            for (cell, other) in row.iter_mut().zip(&along) {
                *cell -= gain * information * one * other;
            }
        }
    }

    fn times(&self, facts: &[f64; N]) -> [f64; N] {
        std::array::from_fn(|row| dot(&self.covariance[row], facts))
    }

    /// Widens each coefficient a little after each foot, at most to its prior.
    fn widen(&mut self) {
        let factor: [f64; N] = std::array::from_fn(|number| {
            let most = self.spreads[number].powi(2) / self.covariance[number][number].max(1e-12);
            most.clamp(1.0, WIDER).sqrt()
        });
        for (row, one) in self.covariance.iter_mut().zip(&factor) {
            row.iter_mut().zip(&factor).for_each(|(cell, other)| *cell *= one * other);
        }
    }
}

fn dot<const N: usize>(one: &[f64; N], other: &[f64; N]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}

/// The chance of a logit.
pub(crate) fn logistic(logit: f64) -> f64 {
    1.0 / (1.0 + (-logit).exp())
}
