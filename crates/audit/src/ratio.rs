//! Shares, means and rates as one thing: a ratio of two sums, whose error allows for children.
//!
//! The variance is the linearised one over clusters, C/(C − 1) Σ (y_c − R x_c)² / (Σ x)², with y_c and x_c
//! the sums of a child (Cochran 1977, 6.3 and 9A; Woodruff 1971, from memory). The two feet of a child
//! are so never counted as independent. Cases must come child by child.

use crate::Case;
use statistics::special::{normal_quantile, normal_two_sided, t_quantile, t_two_sided};

/// The level of every interval.
pub const LEVEL: f64 = 0.95;

fn z() -> f64 {
    normal_quantile(0.5 + 0.5 * LEVEL)
}

/// What a child gave to the two sums.
#[derive(Debug, Clone, Copy, Default)]
struct Part {
    child: u32,
    y: f64,
    x: f64,
}

/// A ratio of sums.
#[derive(Debug, Clone, Default)]
pub struct Ratio {
    /// Feet or children.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Σ y.
    pub y: f64,
    /// Σ x.
    pub x: f64,
    part: Part,
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
    /// Adds what one foot or child gives.
    pub fn add(&mut self, child: u32, y: f64, x: f64) {
        if self.n == 0 || self.part.child != child {
            self.close();
            self.part = Part { child, ..Part::default() };
            self.children += 1;
        }
        self.n += 1;
        (self.y, self.x) = (self.y + y, self.x + x);
        (self.part.y, self.part.x) = (self.part.y + y, self.part.x + x);
        self.by_unit.iter_mut().zip(products(y, x)).for_each(|(sum, one)| *sum += one);
    }

    fn close(&mut self) {
        let Part { y, x, .. } = self.part;
        self.by_child.iter_mut().zip(products(y, x)).for_each(|(sum, one)| *sum += one);
        self.part = Part::default();
    }

    /// Of cases in order.
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

    /// Σ y / Σ x, where there is anything to divide by.
    #[must_use]
    pub fn value(&self) -> Option<f64> {
        (self.x > 0.0).then(|| self.y / self.x)
    }

    /// Its standard error; `None` of fewer than two children.
    #[must_use]
    pub fn std_err(&self) -> Option<f64> {
        let value = self.value()?;
        let c = self.children as f64;
        (self.children > 1).then(|| (c / (c - 1.0) * squares(self.by_child, value)).sqrt() / self.x)
    }

    /// By how much feet of one child going together raises the variance; at least 1.
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

    /// Limits of a share: Wilson's at n over the design effect.
    #[must_use]
    pub fn share_limits(&self) -> Option<(f64, f64)> {
        let p = self.value()?;
        if self.children < 2 {
            return None;
        }
        let (n, z) = (self.x / self.design_effect(), z());
        let centre = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
        let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
        // At 0 and at 1 the limit is the share itself, but for rounding.
        let lower = if p == 0.0 { 0.0 } else { (centre - half).max(0.0) };
        let upper = if p == 1.0 { 1.0 } else { (centre + half).min(1.0) };
        Some((lower, upper))
    }

    /// Limits of a mean: Student's t with children − 1 degrees of freedom.
    #[must_use]
    pub fn mean_limits(&self) -> Option<(f64, f64)> {
        let (value, error) = (self.value()?, self.std_err()?);
        let half = t_quantile(0.5 + 0.5 * LEVEL, self.children as f64 - 1.0) * error;
        Some((value - half, value + half))
    }

    /// Limits of a rate, on the log scale; without an event from 0 to the rate at which none would be
    /// seen one time in forty, −ln 0.025 over the exposure (Hanley and Lippman-Hand 1983).
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
pub struct Difference {
    /// Second less first.
    pub value: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
    /// Probability of one so large if nothing differs.
    pub p: f64,
}

/// What a child gave to an earlier and a later ratio.
#[derive(Debug, Clone, Copy, Default)]
pub struct PairedSums {
    /// Child.
    pub child: u32,
    /// Earlier: y and x.
    pub first: (f64, f64),
    /// Later.
    pub second: (f64, f64),
}

/// The difference of two ratios, a child in both counting as one: variance C/(C − 1) Σ (u₂ − u₁)² with
/// u = (y_c − R x_c)/Σ x. `None` where a ratio has nothing to divide by, or there are fewer than three
/// children; Student's t with the smaller number of children less one.
#[must_use]
pub fn difference(pairs: &[PairedSums]) -> Option<Difference> {
    let total = |of: fn(&PairedSums) -> (f64, f64)| {
        pairs.iter().map(of).fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    };
    let (first, second) = (total(|pair| pair.first), total(|pair| pair.second));
    if first.1 <= 0.0 || second.1 <= 0.0 {
        return None;
    }
    let (r1, r2) = (first.0 / first.1, second.0 / second.1);
    let (mut sum, mut children) = (0.0, [0_usize; 3]);
    let mut of_child = (u32::MAX, 0.0, [false; 2]);
    let mut close = |(_, u, there): (u32, f64, [bool; 2])| {
        sum += u * u;
        children[0] += usize::from(there[0] || there[1]);
        children[1] += usize::from(there[0]);
        children[2] += usize::from(there[1]);
    };
    for pair in pairs {
        if pair.child != of_child.0 {
            close(of_child);
            of_child = (pair.child, 0.0, [false; 2]);
        }
        of_child.1 +=
            (pair.second.0 - r2 * pair.second.1) / second.1 - (pair.first.0 - r1 * pair.first.1) / first.1;
        of_child.2[0] |= pair.first.1 > 0.0;
        of_child.2[1] |= pair.second.1 > 0.0;
    }
    close(of_child);
    let df = children[1].min(children[2]).saturating_sub(1) as f64;
    let c = children[0] as f64;
    if children[0] < 3 || df < 1.0 {
        return None;
    }
    let error = (c / (c - 1.0) * sum).sqrt();
    let value = r2 - r1;
    let half = t_quantile(0.5 + 0.5 * LEVEL, df) * error;
    let p = match (error > 0.0, value == 0.0) {
        (true, _) if df > 200.0 => normal_two_sided(value / error),
        (true, _) => t_two_sided(value / error, df),
        (false, true) => 1.0,
        // No spread at all: every child of each period alike. Nothing to judge chance by.
        (false, false) => return None,
    };
    Some(Difference { value, lower: value - half, upper: value + half, p })
}

/// Median and quartiles of values, with an interval for the median.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Middle {
    /// Median.
    pub median: f64,
    /// Lower limit of the median; `None` of fewer than two children.
    pub lower: Option<f64>,
    /// Upper limit.
    pub upper: Option<f64>,
    /// First and third quartile.
    pub quartiles: (f64, f64),
}

/// Median and quartiles, linear between values (R's type 7); the interval of the median by Woodruff 1952:
/// the values at which the share below reaches one half less and more its clustered error.
#[must_use]
pub fn middle<'a>(cases: impl IntoIterator<Item = &'a Case> + Clone) -> Option<Middle> {
    let mut values: Vec<f64> = cases.clone().into_iter().map(|case| case.value.into()).collect();
    values.sort_unstable_by(f64::total_cmp);
    let at = |share: f64| {
        let place = share.clamp(0.0, 1.0) * (values.len() - 1) as f64;
        let (low, high) = (values[place.floor() as usize], values[place.ceil() as usize]);
        low + place.fract() * (high - low)
    };
    if values.is_empty() {
        return None;
    }
    let median = at(0.5);
    let mut below = Ratio::default();
    for case in cases {
        // A value on the median is half below it.
        let value = f64::from(case.value);
        let share = if value < median {
            1.0
        } else if value == median {
            0.5
        } else {
            0.0
        };
        below.add(case.child, share, 1.0);
    }
    let below = below.done();
    let c = below.children as f64;
    // Around one half, whatever share ties put below.
    let error = (below.children > 1).then(|| (c / (c - 1.0) * squares(below.by_child, 0.5)).sqrt() / below.x);
    let limits = error.map(|error| (at(0.5 - z() * error), at(0.5 + z() * error)));
    Some(Middle {
        median,
        lower: limits.map(|(low, _)| low),
        upper: limits.map(|(_, high)| high),
        quartiles: (at(0.25), at(0.75)),
    })
}
