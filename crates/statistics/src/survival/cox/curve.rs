//! Baseline hazard and predicted curves.

use super::{
    CoxFit,
    sweep::{Moments, sweep},
};
use crate::{
    error::{Result, StatError, finite, same_length},
    survival::Interval,
};

/// One step of the baseline cumulative hazard.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct HazardStep {
    /// Code of the stratum.
    pub stratum: u32,
    /// Time.
    pub time: f64,
    /// Cumulative hazard after this time, of a row with every covariate (and the offset) 0.
    pub hazard: f64,
}

/// One step of a predicted survival curve.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct PredictedPoint {
    /// Time.
    pub time: f64,
    /// Rows (or their weight) at risk just before, in the stratum.
    pub at_risk: f64,
    /// Events at this time.
    pub events: f64,
    /// Cumulative hazard after this time.
    pub hazard: f64,
    /// Standard error of `hazard`, which is also that of the logarithm of `survival`.
    pub hazard_std_err: f64,
    /// Predicted share free of the event.
    pub survival: f64,
    /// Lower limit of `survival`; `None` if the scale has none.
    pub lower: Option<f64>,
    /// Upper limit; `None` as for the lower.
    pub upper: Option<f64>,
}

/// The increments at one event time.
struct Increment {
    block: usize,
    at_risk: f64,
    events: f64,
    hazard: f64,
    variance: f64,
    /// Σ v z̄/a
    mean: Vec<f64>,
}

impl CoxFit {
    /// Cumulative baseline hazard at each event time of each stratum, for a row with every covariate 0:
    /// Σ d/S0 under Breslow, and under Efron with the denominators of his correction (Breslow 1972;
    /// Klein and Moeschberger 2003, 8.8.2), as in R survival's `basehaz(centered = FALSE)`.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells};
    /// let x = [1.0, 0.0, 1.0, 0.0];
    /// let fit = Cox::new(Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?, vec![&x])?.fit()?;
    /// let first = fit.baseline()[0].hazard;
    /// assert!((first - 1.0 / (2.0 + 2.0 * fit.terms[0].coef.exp())).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn baseline(&self) -> Vec<HazardStep> {
        let zero: f64 = self
            .beta
            .iter()
            .zip(self.data.centre.iter().zip(&self.data.scale))
            .map(|(beta, (centre, scale))| -beta * centre / scale)
            .sum();
        let mut steps = Vec::new();
        let mut hazard = 0.0;
        let mut stratum = None;
        for increment in self.increments() {
            let block = &self.data.blocks[increment.block];
            if stratum != Some(block.stratum) {
                (hazard, stratum) = (0.0, Some(block.stratum));
            }
            hazard += increment.hazard * zero.exp();
            let code = self.stratum_code(block.stratum);
            steps.push(HazardStep { stratum: code, time: block.time, hazard });
        }
        steps
    }

    /// The predicted curve of a row with covariates `x` in a stratum (its code; 0 without strata), at each
    /// event time of the stratum: S = exp(−Λ₀ e^(x'β)).
    ///
    /// The variance has a part from the hazard and one from the coefficients (Tsiatis 1981; Therneau
    /// and Grambsch 2000, 10.4 from memory), with the robust variance of the coefficients if there is
    /// one, as in R survival's `survfit.coxph`.
    ///
    /// # Errors
    /// A number of values other than the number of covariates, a value that is not a number, or an unknown
    /// stratum.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells, Interval};
    /// let x = [1.0, 0.0, 1.0, 0.0];
    /// let fit = Cox::new(Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?, vec![&x])?.fit()?;
    /// let curve = fit.curve(&[0.0], 0, &Interval::default())?;
    /// assert!((curve[3].survival - (-fit.baseline()[3].hazard).exp()).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn curve(&self, x: &[f64], stratum: u32, interval: &Interval) -> Result<Vec<PredictedPoint>> {
        same_length("the row to predict", self.data.width, x.len())?;
        finite("a covariate", x)?;
        let wanted = self.stratum_place(stratum)?;
        let z: Vec<f64> = x
            .iter()
            .zip(self.data.centre.iter().zip(&self.data.scale))
            .map(|(x, (centre, scale))| (x - centre) / scale)
            .collect();
        let risk = crate::matrix::dot(&z, &self.beta).exp();
        let variance = self.scaled_robust.as_ref().unwrap_or(&self.scaled_variance);
        let (mut hazard, mut own) = (0.0, 0.0);
        let mut lean = vec![0.0; self.data.width];
        let mut points = Vec::new();
        for step in self.increments().filter(|step| self.data.blocks[step.block].stratum == wanted) {
            hazard += step.hazard * risk;
            own += step.variance * risk * risk;
            for ((lean, mean), z) in lean.iter_mut().zip(&step.mean).zip(&z) {
                *lean += (z * step.hazard - mean) * risk;
            }
            let hazard_std_err = f64::sqrt(own + variance.form(&lean));
            let survival = f64::exp(-hazard);
            let limits = interval.of(survival, survival * hazard_std_err);
            points.push(PredictedPoint {
                time: self.data.blocks[step.block].time,
                at_risk: step.at_risk,
                events: step.events,
                hazard,
                hazard_std_err,
                survival,
                lower: limits.map(|limits| limits.0),
                upper: limits.map(|limits| limits.1),
            });
        }
        Ok(points)
    }

    /// At each event time, times ascending within each stratum.
    fn increments(&self) -> impl Iterator<Item = Increment> {
        let width = self.data.width;
        let mut found = Vec::new();
        sweep(&self.data, &self.beta, self.ties, Moments::First, |step| {
            let small = (-step.shift).exp();
            found.push(Increment {
                block: step.block,
                at_risk: step.at_risk,
                events: step.events,
                hazard: step.c1 * small,
                variance: step.c2 * small * small,
                mean: (0..width)
                    .map(|i| (step.live[1 + i] * step.c2 - step.dead[1 + i] * step.c2f) * small)
                    .collect(),
            });
        });
        found.into_iter().rev()
    }

    fn stratum_code(&self, place: u32) -> u32 {
        self.data.stratum_codes.get(place as usize).copied().unwrap_or(0)
    }

    fn stratum_place(&self, code: u32) -> Result<u32> {
        let place = match self.data.stratum_codes.as_slice() {
            [] if code == 0 => Some(0),
            codes => codes.iter().position(|known| *known == code),
        };
        place.map(|place| place as u32).ok_or(StatError::Undefined("the model has no such stratum"))
    }
}
