//! What every regression gives back for a covariate, and for all of them together.

use crate::special::{chi2_upper, normal_two_sided, z_of};

/// A test of several coefficients at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Test {
    /// Test statistic.
    pub chi2: f64,
    /// Degrees of freedom.
    pub df: usize,
    /// Probability of one so large if none of them matters.
    pub p: f64,
}

impl Test {
    pub(crate) fn of(chi2: f64, df: usize) -> Self {
        Self { chi2, df, p: chi2_upper(chi2, df as f64) }
    }
}

/// One covariate's estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// Change of the linear predictor for one unit: a log hazard ratio, log odds ratio or log rate ratio.
    pub coef: f64,
    /// Its standard error from the information.
    pub se: f64,
    /// Its robust standard error, where asked for.
    pub robust_se: Option<f64>,
    /// Coefficient over its standard error, the robust one where there is one.
    pub z: f64,
    /// Two-sided p value of `z`.
    pub p: f64,
}

impl Coefficient {
    pub(crate) fn of(coef: f64, se: f64, robust_se: Option<f64>) -> Self {
        let z = coef / robust_se.unwrap_or(se);
        Self { coef, se, robust_se, z, p: normal_two_sided(z) }
    }

    /// The standard error the test and intervals rest on: the robust one where there is one.
    #[must_use]
    pub fn std_err(&self) -> f64 {
        self.robust_se.unwrap_or(self.se)
    }

    /// The ratio for one unit, exp(coef), with its limits at a confidence level such as 0.95; not a
    /// number where the level does not lie between 0 and 1.
    #[must_use]
    pub fn ratio(&self, level: f64) -> (f64, f64, f64) {
        let half = z_of(level) * self.std_err();
        (self.coef.exp(), (self.coef - half).exp(), (self.coef + half).exp())
    }
}
