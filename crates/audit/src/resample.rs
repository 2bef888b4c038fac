//! The percentile bootstrap over children, for every measure of agreement at once.
//!
//! A resample needs no interval of its own, so each measure is computed from sums over the resampled feet
//! alone; a test compares them with the functions of `statistics`, which give the figures themselves.

/// With fewer children than this there is no interval: a bootstrap of so few is unreliable.
pub const FEWEST_CHILDREN: usize = 10;
/// Both values of an item.
pub(crate) type RatingPair = (u8, u8);

/// Number of resamples.
pub(crate) const RESAMPLES: usize = 1_000;
/// The largest number of ordered categories: a Dimeglio total of 0 to 20.
const MOST: usize = 21;

/// Agreement in one resample. A measure that is not defined is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ResampledAgreement {
    pub(crate) linear: Option<f64>,
    pub(crate) quadratic: Option<f64>,
    pub(crate) plain: Option<f64>,
    pub(crate) icc: Option<f64>,
    /// Limits of agreement in steps of the item, not in points.
    pub(crate) limits: Option<(f64, f64)>,
}

/// Exact sums over the feet of a resample.
#[derive(Debug, Clone, Default)]
pub(crate) struct Sums {
    n: i64,
    one: i64,
    two: i64,
    squares: i64,
    products: i64,
    apart: i64,
    same: i64,
    ones: [i64; MOST],
    twos: [i64; MOST],
}

impl Sums {
    pub(crate) fn add(&mut self, (one, two): RatingPair) {
        let (a, b) = (i64::from(one), i64::from(two));
        self.n += 1;
        (self.one, self.two) = (self.one + a, self.two + b);
        self.squares += a * a + b * b;
        self.products += a * b;
        self.apart += (a - b).abs();
        self.same += i64::from(a == b);
        for (counts, value) in [(&mut self.ones, one), (&mut self.twos, two)] {
            if let Some(count) = counts.get_mut(usize::from(value)) {
                *count += 1;
            }
        }
    }

    /// Every measure of agreement.
    pub(crate) fn drawn(&self) -> ResampledAgreement {
        let n = self.n as f64;
        let means = self.one as f64 / n * (self.two as f64 / n);
        let chance = |apart: fn(usize, usize) -> f64| {
            let used = |counts: &[i64; MOST]| counts.iter().rposition(|count| *count > 0).unwrap_or(0);
            let (ones, twos) = (0..=used(&self.ones), used(&self.twos));
            let share = |i: usize, j: usize| self.ones[i] as f64 / n * (self.twos[j] as f64 / n);
            ones.map(|i| (0..=twos).map(|j| share(i, j) * apart(i, j)).sum::<f64>()).sum::<f64>()
        };
        // Kappa is 1 minus observed over expected disagreement.
        let kappa = |seen: f64, chance: f64| (self.n >= 2 && chance > 1e-14).then(|| 1.0 - seen / chance);
        let squares = self.squares as f64 / n;
        ResampledAgreement {
            linear: kappa(self.apart as f64 / n, chance(|i, j| i.abs_diff(j) as f64)),
            quadratic: kappa(squares - 2.0 * self.products as f64 / n, squares - 2.0 * means),
            plain: kappa(1.0 - self.same as f64 / n, chance(|i, j| f64::from(u8::from(i != j)))),
            icc: self.icc(),
            limits: self.limits(),
        }
    }

    /// Σ (a − b)².
    const fn differences(&self) -> f64 {
        (self.squares - 2 * self.products) as f64
    }

    /// ICC(2,1) of two raters (Shrout and Fleiss 1979), from the sums.
    fn icc(&self) -> Option<f64> {
        let n = self.n as f64;
        let (one, two) = (self.one as f64 / n, self.two as f64 / n);
        let mean = (one + two) / 2.0;
        let subjects = (self.squares + 2 * self.products) as f64 / 4.0 - n * mean * mean;
        let between = 2.0 * subjects.max(0.0) / (n - 1.0);
        let within = self.differences() / 2.0;
        let raters = n * ((one - mean).powi(2) + (two - mean).powi(2));
        let rest = ((within - raters) / (n - 1.0)).max(0.0);
        let whole = between + rest + 2.0 * (raters - rest) / n;
        (self.n >= 2 && between + within > 1e-12).then(|| (between - rest) / whole)
    }

    /// Mean difference minus and plus 1.96 standard deviations (Bland and Altman 1986).
    fn limits(&self) -> Option<(f64, f64)> {
        const Z: f64 = 1.959_963_984_540_054;
        let n = self.n as f64;
        let mean = (self.one - self.two) as f64 / n;
        let sd = ((self.differences() - n * mean * mean).max(0.0) / (n - 1.0)).sqrt();
        (self.n >= 3).then_some((mean - Z * sd, mean + Z * sd))
    }
}

/// Agreement in each resample of children; empty for fewer than [`FEWEST_CHILDREN`].
pub(crate) fn draws(children: &[Vec<RatingPair>]) -> Vec<ResampledAgreement> {
    if children.len() < FEWEST_CHILDREN {
        return Vec::new();
    }
    let mut chance = XorShift(0x9e37_79b9_7f4a_7c15);
    let draw = |_| {
        let mut sums = Sums::default();
        for _ in 0..children.len() {
            children[chance.below(children.len())].iter().for_each(|both| sums.add(*both));
        }
        sums.drawn()
    };
    (0..RESAMPLES).map(draw).collect()
}

/// The 2.5th and 97.5th percentiles over the resamples.
pub(crate) fn percentiles(
    drawn: &[ResampledAgreement],
    of: impl Fn(&ResampledAgreement) -> Option<f64>,
) -> Option<(f64, f64)> {
    let mut values: Vec<f64> = drawn.iter().filter_map(of).collect();
    values.sort_unstable_by(f64::total_cmp);
    let at =
        |share: f64| values.get(((share * values.len() as f64) as usize).min(values.len().saturating_sub(1)));
    // A resample in which all ratings are the same has no kappa; if that is common there is no interval.
    let enough = !values.is_empty() && values.len() * 10 >= RESAMPLES * 9;
    enough.then_some(()).and_then(|()| Some((*at(0.025)?, *at(0.975)?)))
}

/// A generator with a fixed seed (xorshift*, Vigna 2016), so that a page shown twice has the same figures.
struct XorShift(u64);

impl XorShift {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let wide = u128::from(self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)) * n as u128;
        (wide >> 64) as usize
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;
    use statistics::agreement::{Icc, Weights, bland_altman, kappa};

    fn close(one: Option<f64>, two: Option<f64>) -> bool {
        match (one, two) {
            (Some(one), Some(two)) => (one - two).abs() < 1e-9,
            (None, None) => true,
            _ => false,
        }
    }

    proptest! {
        /// The sums agree with the functions that are tested against reference programs.
        #[test]
        fn sums_agree_with_the_statistics(values in proptest::collection::vec((0_u8..21, 0_u8..21), 3..60)) {
            let mut sums = Sums::default();
            values.iter().for_each(|both| sums.add(*both));
            let drawn = sums.drawn();
            let one: Vec<u32> = values.iter().map(|both| both.0.into()).collect();
            let two: Vec<u32> = values.iter().map(|both| both.1.into()).collect();
            let of = |weights| kappa(&one, &two, 21, weights, 0.95).ok().map(|found| found.kappa.value);
            prop_assert!(close(drawn.linear, of(Weights::Linear)));
            prop_assert!(close(drawn.quadratic, of(Weights::Quadratic)));
            prop_assert!(close(drawn.plain, of(Weights::Identity)));
            let flat: Vec<f64> = values.iter().flat_map(|both| [both.0.into(), both.1.into()]).collect();
            prop_assert!(close(drawn.icc, Icc::of(&flat, 2, 0.95).ok().map(|icc| icc.forms[1].value)));
            let floats = |values: &[u32]| values.iter().map(|value| f64::from(*value)).collect::<Vec<_>>();
            let limits = bland_altman(&floats(&one), &floats(&two), 0.95, 0.95).unwrap();
            prop_assert!(close(drawn.limits.map(|one| one.0), Some(limits.lower.value)));
            prop_assert!(close(drawn.limits.map(|one| one.1), Some(limits.upper.value)));
        }
    }
}
