//! Shares, means and rates, all as a ratio of two sums whose standard error is clustered by child.
//!
//! The variance is the linearised one over clusters, C/(C − 1) Σ (y_c − R x_c)² / (Σ x)², with y_c and x_c
//! the sums of a child (Cochran 1977, 6.3 and 9A; Woodruff 1971, from memory). The two feet of a child are
//! therefore never counted as independent. Cases must come child by child.

use crate::{Case, figure::Estimate};
use statistics::special::{normal_quantile, normal_two_sided, t_quantile, t_two_sided};
use std::cmp::Ordering;

/// The confidence level of every interval.
pub const LEVEL: f64 = 0.95;

fn z() -> f64 {
    normal_quantile(0.5 + 0.5 * LEVEL)
}

/// What one child adds to the two sums.
#[derive(Debug, Clone, Copy, Default)]
struct ChildSums {
    child: u32,
    y: f64,
    x: f64,
}

/// A ratio of sums.
#[derive(Debug, Clone, Default)]
pub struct Ratio {
    /// Number of feet or children.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Σ y.
    pub y: f64,
    /// Σ x.
    pub x: f64,
    part: ChildSums,
    // Sums of products over children, and over feet.
    by_child: [f64; 3],
    by_unit: [f64; 3],
}

fn products(y: f64, x: f64) -> [f64; 3] {
    [y * y, y * x, x * x]
}

fn squares([yy, yx, xx]: [f64; 3], ratio: f64) -> f64 {
    (yy - 2.0 * ratio * yx + ratio * ratio * xx).max(0.0)
}

impl Ratio {
    /// Adds a foot or child.
    pub fn add(&mut self, child: u32, y: f64, x: f64) {
        if self.n == 0 || self.part.child != child {
            self.close();
            self.part = ChildSums { child, ..ChildSums::default() };
            self.children += 1;
        }
        self.n += 1;
        (self.y, self.x) = (self.y + y, self.x + x);
        (self.part.y, self.part.x) = (self.part.y + y, self.part.x + x);
        self.by_unit.iter_mut().zip(products(y, x)).for_each(|(sum, one)| *sum += one);
    }

    fn close(&mut self) {
        let ChildSums { y, x, .. } = self.part;
        self.by_child.iter_mut().zip(products(y, x)).for_each(|(sum, one)| *sum += one);
        self.part = ChildSums::default();
    }

    /// The ratio over cases in the order of the children.
    #[must_use]
    pub fn of<'a>(cases: impl IntoIterator<Item = &'a Case>) -> Self {
        let mut ratio = Self::default();
        for case in cases {
            ratio.add(case.child, case.value.into(), case.of.into());
        }
        ratio.done()
    }

    /// Closes the last child.
    #[must_use]
    pub fn done(mut self) -> Self {
        self.close();
        self
    }

    /// Σ y / Σ x; `None` if Σ x is 0.
    #[must_use]
    pub fn value(&self) -> Option<f64> {
        (self.x > 0.0).then(|| self.y / self.x)
    }

    /// Its standard error; `None` for fewer than two children.
    #[must_use]
    pub fn std_err(&self) -> Option<f64> {
        let value = self.value()?;
        let c = self.children as f64;
        (self.children > 1).then(|| (c / (c - 1.0) * squares(self.by_child, value)).sqrt() / self.x)
    }

    /// The factor by which clustering within children raises the variance; at least 1.
    #[must_use]
    pub fn design_effect(&self) -> f64 {
        let Some(value) = self.value() else { return 1.0 };
        let alone = squares(self.by_unit, value);
        if alone > 0.0 {
            (squares(self.by_child, value) / alone).max(1.0)
        } else {
            self.n as f64 / (self.children.max(1)) as f64
        }
    }

    /// Confidence interval of a share: Wilson's, at n divided by the design effect.
    #[must_use]
    pub fn share_limits(&self) -> Option<(f64, f64)> {
        let p = self.value()?;
        if self.children < 2 {
            return None;
        }
        let (n, z) = (self.x / self.design_effect(), z());
        let centre = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
        let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
        // At 0 and at 1 the limit equals the share; the formula may differ by rounding.
        let lower = if p == 0.0 { 0.0 } else { (centre - half).max(0.0) };
        let upper = if p == 1.0 { 1.0 } else { (centre + half).min(1.0) };
        Some((lower, upper))
    }

    /// Confidence interval of a mean: Student's t with children − 1 degrees of freedom.
    #[must_use]
    pub fn mean_limits(&self) -> Option<(f64, f64)> {
        let (value, error) = (self.value()?, self.std_err()?);
        let half = t_quantile(0.5 + 0.5 * LEVEL, self.children as f64 - 1.0) * error;
        Some((value - half, value + half))
    }

    /// Confidence interval of a rate, on the log scale; without an event from 0 to the rate at which no event
    /// would be seen one time in forty, −ln 0.025 over the exposure (Hanley and Lippman-Hand 1983).
    #[must_use]
    pub fn rate_limits(&self) -> Option<(f64, f64)> {
        let value = self.value()?;
        if value == 0.0 {
            return Some((0.0, -(0.025_f64.ln()) / self.x));
        }
        let half = z() * self.std_err()? / value;
        Some((value * (-half).exp(), value * half.exp()))
    }
}

/// How two ratios differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatioDifference {
    /// Second minus first.
    pub value: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
    /// Probability of a difference at least as large if there is none (two-sided).
    pub p: f64,
}

/// What one foot or child adds to an earlier and a later ratio.
#[derive(Debug, Clone, Copy, Default)]
pub struct RatioPair {
    /// Child.
    pub child: u32,
    /// Earlier: y and x.
    pub first: (f64, f64),
    /// Later.
    pub second: (f64, f64),
}

/// The difference of two ratios; a child in both counts as one cluster: variance C/(C − 1) Σ (u₂ − u₁)² with
/// u = (y_c − R x_c)/Σ x. `None` if a denominator is 0 or there are fewer than three
/// children; Student's t with the smaller number of children less one.
#[must_use]
pub fn difference(pairs: &[RatioPair]) -> Option<RatioDifference> {
    let total = |of: fn(&RatioPair) -> (f64, f64)| {
        pairs.iter().map(of).fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    };
    let (first, second) = (total(|pair| pair.first), total(|pair| pair.second));
    if first.1 <= 0.0 || second.1 <= 0.0 {
        return None;
    }
    let spread = DifferenceSpread::of(pairs, first, second);
    let [children, earlier, later] = spread.children;
    let df = earlier.min(later).saturating_sub(1) as f64;
    let c = children as f64;
    if children < 3 || df < 1.0 {
        return None;
    }
    let error = (c / (c - 1.0) * spread.squares).sqrt();
    let value = second.0 / second.1 - first.0 / first.1;
    let half = t_quantile(0.5 + 0.5 * LEVEL, df) * error;
    let p = match (error > 0.0, value == 0.0) {
        (true, _) if df > 200.0 => normal_two_sided(value / error),
        (true, _) => t_two_sided(value / error, df),
        (false, true) => 1.0,
        // No spread: all children of each period are alike, so chance cannot be judged.
        (false, false) => return None,
    };
    Some(RatioDifference { value, lower: value - half, upper: value + half, p })
}

/// The spread of a difference between children.
#[derive(Default)]
struct DifferenceSpread {
    /// Σ (u₂ − u₁)² over children.
    squares: f64,
    /// Children in either period, in the earlier, and in the later one.
    children: [usize; 3],
}

impl DifferenceSpread {
    /// From pairs that come child by child, and the sums of y and x of each period.
    fn of(pairs: &[RatioPair], first: (f64, f64), second: (f64, f64)) -> Self {
        let (r1, r2) = (first.0 / first.1, second.0 / second.1);
        let mut spread = Self::default();
        for child in pairs.chunk_by(|one, other| one.child == other.child) {
            let u = child.iter().fold(0.0, |sum, pair| {
                sum + ((pair.second.0 - r2 * pair.second.1) / second.1
                    - (pair.first.0 - r1 * pair.first.1) / first.1)
            });
            let earlier = child.iter().any(|pair| pair.first.1 > 0.0);
            let later = child.iter().any(|pair| pair.second.1 > 0.0);
            spread.squares += u * u;
            let counts = spread.children.iter_mut().zip([earlier || later, earlier, later]);
            counts.for_each(|(sum, counts)| *sum += usize::from(counts));
        }
        spread
    }
}

/// Median and quartiles of values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MedianAndQuartiles {
    /// Median; without limits for fewer than two children.
    pub median: Estimate,
    /// First and third quartile.
    pub quartiles: (f64, f64),
}

/// Median and quartiles, interpolated linearly (R's type 7); the interval of the median by Woodruff 1952:
/// the values at which the share below equals one half minus and plus its clustered error.
#[must_use]
pub fn middle<'a>(cases: impl IntoIterator<Item = &'a Case> + Clone) -> Option<MedianAndQuartiles> {
    let mut values: Vec<f64> = cases.clone().into_iter().map(|case| case.value.into()).collect();
    values.sort_unstable_by(f64::total_cmp);
    if values.is_empty() {
        return None;
    }
    let at = |share: f64| {
        let place = share.clamp(0.0, 1.0) * (values.len() - 1) as f64;
        let (low, high) = (values[place.floor() as usize], values[place.ceil() as usize]);
        low + place.fract() * (high - low)
    };
    let median = at(0.5);
    let limits = median_error(cases, median).map(|error| (at(0.5 - z() * error), at(0.5 + z() * error)));
    Some(MedianAndQuartiles { median: Estimate::new(median, limits), quartiles: (at(0.25), at(0.75)) })
}

/// The clustered error of the share of values below their median; `None` for fewer than two children.
fn median_error<'a>(cases: impl IntoIterator<Item = &'a Case>, median: f64) -> Option<f64> {
    let mut below = Ratio::default();
    for case in cases {
        let share = match f64::from(case.value).partial_cmp(&median) {
            Some(Ordering::Less) => 1.0,
            // A value equal to the median counts as half below it.
            Some(Ordering::Equal) => 0.5,
            Some(Ordering::Greater) | None => 0.0,
        };
        below.add(case.child, share, 1.0);
    }
    let below = below.done();
    let c = below.children as f64;
    // Around one half, not around the share that ties leave below the median.
    (below.children > 1).then(|| (c / (c - 1.0) * squares(below.by_child, 0.5)).sqrt() / below.x)
}
