//! Confidence intervals of a probability that changes over time.

use crate::{
    error::{Result, level},
    special::z_of,
};

/// On which scale an interval is symmetric.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scale {
    /// On the probability itself, cut at 0 and 1 (Greenwood 1926; Klein and Moeschberger 2003, 4.3.1).
    Plain,
    /// On its logarithm, cut at 1: what R survival gives where nothing is said.
    Log,
    /// On the logarithm of minus its logarithm (Kalbfleisch and Prentice 1980; Klein and Moeschberger
    /// 2003, 4.3.2). It never leaves 0 to 1, and holds its level best in small samples (Borgan and
    /// Liestøl 1990), so it is what is given where nothing is said.
    #[default]
    LogLog,
}

impl Scale {
    /// The name as it is printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Log => "log",
            Self::LogLog => "log-log",
        }
    }
}

/// Which interval is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    scale: Scale,
    level: f64,
    z: f64,
}

impl Default for Interval {
    /// 95 %, on the log–log scale.
    fn default() -> Self {
        Self { scale: Scale::LogLog, level: 0.95, z: z_of(0.95) }
    }
}

impl Interval {
    /// An interval on a scale at a confidence level such as 0.95.
    ///
    /// # Errors
    /// A level that does not lie between 0 and 1.
    pub fn new(scale: Scale, confidence: f64) -> Result<Self> {
        level(confidence)?;
        Ok(Self { scale, level: confidence, z: z_of(confidence) })
    }

    /// The scale.
    #[must_use]
    pub fn scale(&self) -> Scale {
        self.scale
    }

    /// The confidence level.
    #[must_use]
    pub fn level(&self) -> f64 {
        self.level
    }

    /// Limits of a probability with its standard error; `None` where the scale has none: for the log
    /// scales at 0, for log–log also at 1.
    pub(crate) fn of(&self, p: f64, std_err: f64) -> Option<(f64, f64)> {
        match self.scale {
            Scale::Plain => {
                let half = self.z * std_err;
                Some(((p - half).max(0.0), (p + half).min(1.0)))
            }
            Scale::Log if p > 0.0 => {
                let half = self.z * std_err / p;
                Some((p * (-half).exp(), (p * half.exp()).min(1.0)))
            }
            Scale::LogLog if p > 0.0 && p < 1.0 => {
                let half = self.z * std_err / (p * p.ln());
                // The half width is below zero, so the first of the two is the lower limit.
                Some((p.powf((-half).exp()), p.powf(half.exp())))
            }
            _ => None,
        }
    }
}
