//! Do raters agree, and by how much do two methods of measurement differ?
//!
//! Start at [`Table`] for any number of raters who put subjects into categories, at [`kappa`] for two,
//! at [`Icc`] and [`bland_altman`] for measurements. Intervals are at the level asked for, on the scale of
//! the measure itself.

mod bland_altman;
mod icc;
mod kappa;
mod table;
mod weights;

pub use bland_altman::{BlandAltman, Limit, bland_altman};
pub use icc::{Icc, IccForm, IccKind};
pub use kappa::{Kappa, kappa};
pub use table::{Chance, Table};
pub use weights::Weights;

/// A measure of agreement with its error and limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// The measure: 1 is perfect agreement, 0 what chance alone would give.
    pub value: f64,
    /// Standard error.
    pub std_err: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit, at most 1.
    pub upper: f64,
    /// Agreement seen, weighted.
    pub observed: f64,
    /// Agreement expected by chance, weighted.
    pub expected: f64,
}

impl Agreement {
    fn of(value: f64, std_err: f64, half: f64, (observed, expected): (f64, f64)) -> Self {
        let (lower, upper) = (value - half, (value + half).min(1.0));
        Self { value, std_err, lower, upper, observed, expected }
    }
}
