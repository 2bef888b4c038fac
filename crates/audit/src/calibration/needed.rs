//! How many feet two people have to score for an interval of a given width.
//!
//! The large-sample variance of weighted kappa (Fleiss, Cohen and Everitt 1969; Fleiss, Levin and Paik 2003, 18.13)
//! falls with the number of feet, so that n = (z σ / h)², with σ² the variance of one foot and h the distance from
//! kappa to either limit. Before there are feet, σ² is that of two people who use the levels equally often and agree
//! beyond chance by a supposed kappa: p_ij = κ p_i δ_ij + (1 − κ) p_i p_j. A test holds the number against simulated
//! feet.

use statistics::{
    agreement::{Weights, kappa},
    special::normal_quantile,
};

/// Shares of the three levels among the feet that are scored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanningShares([f64; 3]);

impl PlanningShares {
    /// The same share of each level: the case in which the fewest feet are needed.
    pub const EVEN: Self = Self([1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0]);

    /// Shares that are not negative and add up to 1, two of them at least above 0; `None` otherwise.
    #[must_use]
    pub fn new(shares: [f64; 3]) -> Option<Self> {
        let used = shares.iter().filter(|share| **share > 0.0).count();
        let whole = (shares.iter().sum::<f64>() - 1.0).abs() < 1e-9;
        (whole && used >= 2 && shares.iter().all(|share| *share >= 0.0)).then_some(Self(shares))
    }

    /// Of levels that were given, in half points.
    #[must_use]
    pub fn of(levels: impl IntoIterator<Item = u8>) -> Option<Self> {
        let mut counts = [0.0; 3];
        for level in levels {
            *counts.get_mut(usize::from(level))? += 1.0;
        }
        let all: f64 = counts.iter().sum();
        if all == 0.0 { None } else { Self::new(counts.map(|count| count / all)) }
    }
}

/// A number of feet, and of what it holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FewestFeet {
    /// Feet to be scored by two people, each foot of another child.
    pub feet: usize,
    /// The supposed kappa.
    pub kappa: f64,
    /// The distance from kappa to either limit of its 95 % interval.
    pub within: f64,
}

/// Feet, each of another child, for an interval of linearly weighted kappa that lies within a distance of it on either
/// side, if kappa is as supposed. `None` if kappa is not from 0 up to and without 1, or the distance not above 0.
///
/// ```
/// use audit::calibration::{PlanningShares, feet_for_width};
/// let wide = feet_for_width(0.5, PlanningShares::EVEN, 0.2).map(|found| found.feet);
/// let narrow = feet_for_width(0.5, PlanningShares::EVEN, 0.1).map(|found| found.feet);
/// // Half the width needs four times as many, up to rounding.
/// assert!(wide.zip(narrow).is_some_and(|(wide, narrow)| narrow.abs_diff(4 * wide) <= 4));
/// ```
#[must_use]
pub fn feet_for_width(supposed: f64, shares: PlanningShares, within: f64) -> Option<FewestFeet> {
    if !(0.0..1.0).contains(&supposed) || !within.is_finite() || within <= 0.0 {
        return None;
    }
    let spread = one_foot(supposed, shares)?;
    let feet = (normal_quantile(0.975) * spread / within).powi(2).ceil();
    Some(FewestFeet { feet: feet as usize, kappa: supposed, within })
}

/// The standard deviation of one foot: the standard error over many times the square root of their number.
fn one_foot(supposed: f64, PlanningShares(shares): PlanningShares) -> Option<f64> {
    const MANY: f64 = 20_000.0;
    let (mut one, mut two) = (Vec::new(), Vec::new());
    for (i, p) in shares.iter().enumerate() {
        for (j, q) in shares.iter().enumerate() {
            let same = if i == j { supposed * p } else { 0.0 };
            let count = (MANY * (same + (1.0 - supposed) * p * q)).round() as usize;
            one.extend(std::iter::repeat_n(i as u32, count));
            two.extend(std::iter::repeat_n(j as u32, count));
        }
    }
    let found = kappa(&one, &two, 3, Weights::Linear, 0.95).ok()?;
    Some(found.kappa.std_err * (found.n as f64).sqrt())
}
