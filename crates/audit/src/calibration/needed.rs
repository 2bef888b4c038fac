//! How many feet two people have to score for an interval of a given width.
//!
//! The large-sample variance of weighted kappa (Fleiss, Cohen and Everitt 1969; Fleiss, Levin and Paik 2003, 18.13)
//! falls with the number of feet, so that n = (z σ / h)², with σ² the variance of one foot and h the distance from
//! kappa to either limit. Before there are feet, σ² is that of two people who use the levels equally often and agree
//! beyond chance by a supposed kappa: p_ij = κ p_i δ_ij + (1 − κ) p_i p_j. A test holds the number against simulated
//! feet.

use crate::raters::{FEWEST_CHILDREN, ItemAgreement, RatedItem, RaterAgreement, USEFUL, feet_until};
use record::Sign;
use statistics::{
    agreement::{Weights, kappa},
    special::normal_quantile,
};

/// Kappa supposed while there are too few feet: the middle of the published values of single signs, 0.28 to 0.72.
pub const SUPPOSED_KAPPA: f64 = 0.5;
/// The most feet that are proposed in a month. Our own choice: two in a week.
pub const MOST_IN_MONTH: usize = 8;
/// The fewest feet that are proposed in a month, also where kappa is known well enough: with two a month a quarter has
/// the five children below which nothing is said about it.
pub const FEWEST_IN_MONTH: usize = 2;

/// Feet still to be scored by two people for one sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FeetNeeded {
    /// So many more than those so far, if future feet are like them.
    More(usize),
    /// So many in all: there are too few children for an interval, and kappa is supposed to be [`SUPPOSED_KAPPA`].
    InAll(usize),
    /// Cannot be told: all feet so far agreed, or were of one level.
    Unknown,
}

impl FeetNeeded {
    /// For an interval that lies within a distance of kappa; `item` is what is known of the sign so far.
    #[must_use]
    pub fn of(item: Option<&ItemAgreement>, within: f64) -> Self {
        match item.filter(|item| item.children >= FEWEST_CHILDREN) {
            Some(item) => {
                let until = item.kappa.as_ref().and_then(|kappa| feet_until(kappa, item.n, within));
                until.map_or(Self::Unknown, Self::More)
            }
            None => feet_for_width(SUPPOSED_KAPPA, PlanningShares::EVEN, within)
                .map_or(Self::Unknown, |found| Self::InAll(found.feet)),
        }
    }
}

/// How many feet are proposed in a month: those still needed for the sign that needs most, to within
/// [`USEFUL`], but neither more than [`MOST_IN_MONTH`] nor fewer than [`FEWEST_IN_MONTH`].
#[must_use]
pub fn wanted_in_month(so_far: &RaterAgreement) -> usize {
    let of = |sign: Sign| {
        let item = so_far.items.iter().find(|item| item.item == RatedItem::Sign(sign));
        match FeetNeeded::of(item, USEFUL) {
            FeetNeeded::More(feet) => feet,
            FeetNeeded::InAll(feet) => feet.saturating_sub(item.map_or(0, |item| item.n)),
            FeetNeeded::Unknown => 0,
        }
    };
    let most = Sign::ALL.into_iter().map(of).max().unwrap_or(0);
    most.clamp(FEWEST_IN_MONTH, MOST_IN_MONTH)
}

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
