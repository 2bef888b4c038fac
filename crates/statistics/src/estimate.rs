//! The results that all regressions share: a coefficient, and a test of several.

use crate::special::{chi2_upper, normal_two_sided, z_of};

/// A test of several coefficients at once.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct ChiSquaredTest {
    /// Test statistic.
    pub chi2: f64,
    /// Degrees of freedom.
    pub df: usize,
    /// Probability of a statistic at least this large if all coefficients are 0.
    pub p: f64,
}

impl ChiSquaredTest {
    pub(crate) fn of(chi2: f64, df: usize) -> Self {
        Self { chi2, df, p: chi2_upper(chi2, df as f64) }
    }
}

/// One covariate's estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Coefficient {
    /// Change of the linear predictor for one unit: a log hazard ratio, log odds ratio or log rate ratio.
    pub coef: f64,
    /// Its standard error from the information.
    pub se: f64,
    /// Its robust standard error, if requested.
    pub robust_se: Option<f64>,
    /// Coefficient divided by its standard error, the robust one if there is one.
    pub z: f64,
    /// Two-sided p value of `z`.
    pub p: f64,
}

impl Coefficient {
    pub(crate) fn of(coef: f64, se: f64, robust_se: Option<f64>) -> Self {
        let z = coef / robust_se.unwrap_or(se);
        Self { coef, se, robust_se, z, p: normal_two_sided(z) }
    }

    /// The standard error used for the test and the intervals: the robust one if there is one.
    ///
    /// ```
    /// use statistics::regression::{Covariates, logistic};
    /// let x = [0.0, 0.0, 0.0, 1.0, 1.0, 1.0];
    /// let fit = logistic(&Covariates::new(6, vec![&x])?, &[true, false, false, true, true, false])?;
    /// assert_eq!(fit.terms[1].std_err(), fit.terms[1].se);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn std_err(&self) -> f64 {
        self.robust_se.unwrap_or(self.se)
    }

    /// The ratio for one unit, exp(coef), with its lower and upper limit at a confidence level such as
    /// 0.95. The limits are not a number if the level is not between 0 and 1.
    ///
    /// ```
    /// use statistics::regression::{Covariates, logistic};
    /// // Odds 1:2 without the exposure and 2:1 with it: the odds ratio is 4, the variance of its
    /// // logarithm 1 + 1/2 + 1/2 + 1 = 3.
    /// let x = [0.0, 0.0, 0.0, 1.0, 1.0, 1.0];
    /// let fit = logistic(&Covariates::new(6, vec![&x])?, &[true, false, false, true, true, false])?;
    /// let (ratio, lower, upper) = fit.terms[1].ratio(0.95);
    /// assert!((ratio - 4.0).abs() < 1e-9);
    /// assert!((upper / ratio - (1.959_963_984_540_054 * 3.0_f64.sqrt()).exp()).abs() < 1e-6);
    /// assert!(lower < 1.0);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn ratio(&self, level: f64) -> (f64, f64, f64) {
        let half = z_of(level) * self.std_err();
        (self.coef.exp(), (self.coef - half).exp(), (self.coef + half).exp())
    }
}
