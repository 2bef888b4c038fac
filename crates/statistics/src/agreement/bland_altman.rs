//! Limits of agreement of two measurements of the same subjects.

use crate::{
    error::{Result, StatError, finite, level, same_length},
    special::{t_quantile, z_of},
};

/// An estimate with its standard error and confidence limits.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct IntervalEstimate {
    /// The estimate.
    pub value: f64,
    /// Standard error.
    pub std_err: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
}

/// Limits of agreement of two measurements.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct BlandAltman {
    /// Subjects.
    pub n: usize,
    /// Mean of the differences, first less second.
    pub bias: IntervalEstimate,
    /// Standard deviation of the differences.
    pub sd: f64,
    /// Lower limit of agreement: bias less z standard deviations.
    pub lower: IntervalEstimate,
    /// Upper limit of agreement: bias plus z standard deviations.
    pub upper: IntervalEstimate,
}

/// Limits of agreement, bias ± z·sd with z the normal deviate of `coverage` (1.96 for 0.95), each with
/// limits at `confidence` by Student's t (Bland and Altman 1986, 1999: the variance of a limit is
/// sd² (1/n + z²/(2 (n − 1)))).
///
/// The limits hold their coverage if the differences are about normal and do not grow with the
/// measurement; a plot of the differences against the means shows whether they do.
///
/// # Errors
/// Fewer than three subjects, slices of different length, a value that is not a number.
///
/// ```
/// use statistics::agreement::bland_altman;
/// let result = bland_altman(&[10.0, 12.0, 9.0, 15.0], &[11.0, 12.0, 8.0, 13.0], 0.95, 0.95)?;
/// assert_eq!(result.bias.value, 0.5);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn bland_altman(one: &[f64], two: &[f64], coverage: f64, confidence: f64) -> Result<BlandAltman> {
    same_length("the second measurement", one.len(), two.len())?;
    finite("the first measurement", one)?;
    finite("the second measurement", two)?;
    let z = z_of(level(coverage)?);
    level(confidence)?;
    if one.len() < 3 {
        return Err(StatError::Undefined("limits of agreement need at least three subjects measured twice"));
    }
    let n = one.len() as f64;
    let differences: Vec<f64> = one.iter().zip(two).map(|(one, two)| one - two).collect();
    let mean = differences.iter().sum::<f64>() / n;
    let sd = (differences.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    let t = t_quantile(0.5 + 0.5 * confidence, n - 1.0);
    let limit = |value: f64, std_err: f64| IntervalEstimate {
        value,
        std_err,
        lower: value - t * std_err,
        upper: value + t * std_err,
    };
    let spread = sd * (1.0 / n + z * z / (2.0 * (n - 1.0))).sqrt();
    Ok(BlandAltman {
        n: one.len(),
        bias: limit(mean, sd / n.sqrt()),
        sd,
        lower: limit(mean - z * sd, spread),
        upper: limit(mean + z * sd, spread),
    })
}
