//! The error of one measurement, from subjects that were measured more than once.

use crate::{
    error::{Result, StatError, finite, level},
    special::{chi2_quantile, z_of},
};

/// The standard error of measurement: the standard deviation of repeated measurements of one subject.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct WithinSubject {
    /// Subjects that were measured at least twice. The others say nothing and are left out.
    pub subjects: usize,
    /// Measurements of these subjects.
    pub measurements: usize,
    /// Degrees of freedom: measurements less subjects.
    pub df: usize,
    /// The within-subject standard deviation, in the unit of the measurement.
    pub sd: f64,
    /// Lower limit of the standard deviation.
    pub lower: f64,
    /// Upper limit of the standard deviation.
    pub upper: f64,
}

impl WithinSubject {
    /// The square root of the residual mean square of a one-way analysis of variance with the subjects as groups
    /// (Bland and Altman 1996, BMJ 312:1654, "Measurement error"; Weir 2005, J Strength Cond Res 19:231). Subjects
    /// may have different numbers of measurements. The limits are those of a variance of normal errors, by
    /// chi-squared.
    ///
    /// The estimate holds if the error does not grow with the size of what is measured.
    ///
    /// # Errors
    /// No subject that was measured twice, or a value that is not a number.
    ///
    /// ```
    /// use statistics::agreement::WithinSubject;
    /// // Deviations from the means: ±1, ±2 and none with one measurement: (1 + 1 + 4 + 4) / 2 degrees of freedom.
    /// let error = WithinSubject::of(&[vec![10.0, 12.0], vec![20.0, 24.0], vec![7.0]], 0.95)?;
    /// assert_eq!((error.subjects, error.df, error.sd), (2, 2, 5.0_f64.sqrt()));
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn of<S: AsRef<[f64]>>(subjects: &[S], confidence: f64) -> Result<Self> {
        level(confidence)?;
        let repeated = || subjects.iter().map(AsRef::as_ref).filter(|values| values.len() > 1);
        for values in repeated() {
            finite("a measurement", values)?;
        }
        let measurements: usize = repeated().map(<[f64]>::len).sum();
        let df = measurements - repeated().count();
        if df == 0 {
            return Err(StatError::Undefined("no subject was measured more than once"));
        }
        let squares: f64 = repeated().map(squares_about_mean).sum();
        let tail = 0.5 * (1.0 - confidence);
        let limit = |p: f64| (squares / chi2_quantile(p, df as f64)).sqrt();
        Ok(Self {
            subjects: repeated().count(),
            measurements,
            df,
            sd: (squares / df as f64).sqrt(),
            lower: limit(1.0 - tail),
            upper: limit(tail),
        })
    }

    /// The change between two measurements of one subject that error alone exceeds with probability
    /// 1 − `confidence`: z·√2·sd, 1.96·√2·sd for 0.95 (Weir 2005; the "repeatability" of Bland and Altman 1996).
    ///
    /// # Errors
    /// A confidence that is not between 0 and 1.
    ///
    /// ```
    /// use statistics::agreement::WithinSubject;
    /// let error = WithinSubject::of(&[[10.0, 12.0], [20.0, 22.0]], 0.95)?;
    /// assert!((error.detectable_change(0.95)? - 1.959_964 * 2.0).abs() < 1e-5);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn detectable_change(&self, confidence: f64) -> Result<f64> {
        Ok(z_of(level(confidence)?) * std::f64::consts::SQRT_2 * self.sd)
    }
}

fn squares_about_mean(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values.iter().map(|value| (value - mean).powi(2)).sum()
}
