//! Agreement of raters, and of two methods of measurement.
//!
//! Start at [`RatingTable`] for any number of raters who put subjects into categories, at [`kappa`] for two,
//! at [`Icc`] and [`bland_altman`] for measurements, at [`WithinSubject`] for the error of one measurement. Intervals are at the requested level, on the scale of
//! the measure itself.

mod bland_altman;
mod icc;
mod kappa;
mod table;
mod weights;
mod within_subject;

pub use bland_altman::{BlandAltman, IntervalEstimate, bland_altman};
pub use icc::{Icc, IccForm, IccKind};
pub use kappa::{Kappa, kappa};
pub use table::{ChanceAgreement, RatingTable};
pub use weights::Weights;
pub use within_subject::WithinSubject;

/// A coefficient of agreement with its standard error and confidence limits.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct AgreementCoefficient {
    /// The coefficient: 1 is perfect agreement, 0 the agreement expected by chance.
    pub value: f64,
    /// Standard error.
    pub std_err: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit, at most 1.
    pub upper: f64,
    /// Observed agreement, weighted.
    pub observed: f64,
    /// Agreement expected by chance, weighted.
    pub expected: f64,
}

impl AgreementCoefficient {
    fn of(value: f64, std_err: f64, half: f64, (observed, expected): (f64, f64)) -> Self {
        let (lower, upper) = (value - half, (value + half).min(1.0));
        Self { value, std_err, lower, upper, observed, expected }
    }
}
