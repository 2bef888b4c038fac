//! Confidence intervals of survival curves and cumulative incidences.

use crate::{
    error::{Result, level},
    special::z_of,
};

/// The scale on which an interval is symmetric.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum IntervalScale {
    /// On the probability itself, cut at 0 and 1 (Greenwood 1926; Klein and Moeschberger 2003, 4.3.1).
    Plain,
    /// On its logarithm, cut at 1: the default of R survival.
    Log,
    /// On the logarithm of minus its logarithm (Kalbfleisch and Prentice 1980; Klein and Moeschberger
    /// 2003, 4.3.2). It stays between 0 and 1 and holds its level best in small samples (Borgan and
    /// Liestøl 1990), so it is the default.
    #[default]
    LogLog,
}

impl IntervalScale {
    /// A short name: `plain`, `log` or `log-log`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Log => "log",
            Self::LogLog => "log-log",
        }
    }
}

/// The kind of confidence interval: its scale and its level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    scale: IntervalScale,
    level: f64,
    z: f64,
}

impl Default for Interval {
    /// 95 %, on the log–log scale.
    fn default() -> Self {
        Self { scale: IntervalScale::LogLog, level: 0.95, z: z_of(0.95) }
    }
}

impl Interval {
    /// An interval on a scale at a confidence level such as 0.95.
    ///
    /// # Errors
    /// A level that is not between 0 and 1.
    ///
    /// ```
    /// use statistics::survival::{Interval, IntervalScale};
    /// let interval = Interval::new(IntervalScale::Plain, 0.9)?;
    /// assert_eq!((interval.scale(), interval.level()), (IntervalScale::Plain, 0.9));
    /// assert!(Interval::new(IntervalScale::Plain, 90.0).is_err());
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn new(scale: IntervalScale, confidence: f64) -> Result<Self> {
        level(confidence)?;
        Ok(Self { scale, level: confidence, z: z_of(confidence) })
    }

    /// The scale.
    #[must_use]
    pub fn scale(&self) -> IntervalScale {
        self.scale
    }

    /// The confidence level.
    #[must_use]
    pub fn level(&self) -> f64 {
        self.level
    }

    /// Limits of a probability with its standard error. `None` if the scale has none: at 0 on both
    /// logarithmic scales, and at 1 on the log–log scale.
    pub(crate) fn of(&self, p: f64, std_err: f64) -> Option<(f64, f64)> {
        match self.scale {
            IntervalScale::Plain => {
                let half = self.z * std_err;
                Some(((p - half).max(0.0), (p + half).min(1.0)))
            }
            IntervalScale::Log if p > 0.0 => {
                let half = self.z * std_err / p;
                Some((p * (-half).exp(), (p * half.exp()).min(1.0)))
            }
            IntervalScale::LogLog if p > 0.0 && p < 1.0 => {
                let half = self.z * std_err / (p * p.ln());
                // The half width is below zero, so the first of the two is the lower limit.
                Some((p.powf((-half).exp()), p.powf(half.exp())))
            }
            _ => None,
        }
    }
}
