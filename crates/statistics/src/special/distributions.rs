//! Normal, chi-squared, t, F, beta and binomial distributions.

use super::gamma::{beta_pq, gamma_pq};
use std::f64::consts::PI;

/// Density of the standard normal distribution.
///
/// ```
/// assert!((statistics::special::normal_density(0.0) - 0.398_942_280_401_432_7).abs() < 1e-15);
/// ```
#[must_use]
pub fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// Probability that a standard normal variable is at most `z`, accurate in both tails.
///
/// ```
/// assert!((statistics::special::normal_cdf(-1.959963984540054) - 0.025).abs() < 1e-15);
/// ```
#[must_use]
pub fn normal_cdf(z: f64) -> f64 {
    let (p, q) = gamma_pq(0.5, 0.5 * z * z);
    if z < 0.0 { 0.5 * q } else { 0.5 + 0.5 * p }
}

/// Two-sided p value of a standard normal deviate.
///
/// ```
/// assert!((statistics::special::normal_two_sided(-1.959_963_984_540_054) - 0.05).abs() < 1e-14);
/// ```
#[must_use]
pub fn normal_two_sided(z: f64) -> f64 {
    gamma_pq(0.5, 0.5 * z * z).1
}

/// The quantile of the standard normal distribution at `p`: infinite at 0 and 1, not a number outside.
///
/// Started from Abramowitz and Stegun 1964, 26.2.23, and polished by Halley's method against
/// [`normal_cdf`].
///
/// ```
/// assert!((statistics::special::normal_quantile(0.975) - 1.959_963_984_540_054).abs() < 1e-12);
/// ```
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    if p.is_nan() || !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    if p == 0.0 || p == 1.0 {
        return if p == 0.0 { f64::NEG_INFINITY } else { f64::INFINITY };
    }
    let tail = p.min(1.0 - p);
    let t = (-2.0 * tail.ln()).sqrt();
    let start = t
        - (2.515_517 + t * (0.802_853 + t * 0.010_328))
            / (1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308)));
    let mut z = -start;
    for _ in 0..4 {
        let miss = (normal_cdf(z) - tail) / normal_density(z);
        z -= miss / (1.0 + 0.5 * z * miss);
    }
    if p < 0.5 { z } else { -z }
}

/// The two-sided normal deviate of a confidence level: 1.96 for 0.95.
pub(crate) fn z_of(level: f64) -> f64 {
    -normal_quantile(0.5 * (1.0 - level))
}

/// Upper tail of the chi-squared distribution with `df` degrees of freedom; `df` 0 gives 1.
///
/// ```
/// assert!((statistics::special::chi2_upper(3.841_458_820_694_124, 1.0) - 0.05).abs() < 1e-14);
/// ```
#[must_use]
pub fn chi2_upper(x: f64, df: f64) -> f64 {
    if df == 0.0 {
        return 1.0;
    }
    gamma_pq(0.5 * df, 0.5 * x.max(0.0)).1
}

/// The quantile of the chi-squared distribution with `df` degrees of freedom at `p`, by bisection on the logarithm.
///
/// ```
/// assert!((statistics::special::chi2_quantile(0.95, 1.0) - 3.841_458_820_694_124).abs() < 1e-12);
/// ```
#[must_use]
pub fn chi2_quantile(p: f64, df: f64) -> f64 {
    if p.is_nan() || df.is_nan() {
        return f64::NAN;
    }
    if p <= 0.0 || p >= 1.0 || df <= 0.0 {
        return if p >= 1.0 && df > 0.0 { f64::INFINITY } else { 0.0 };
    }
    let (mut low, mut high) = (-745.0_f64, 25.0_f64);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        let (below, above) = gamma_pq(0.5 * df, 0.5 * middle.exp());
        // The smaller tail is the accurate one.
        let too_low = if p < 0.5 { below < p } else { above > 1.0 - p };
        if too_low {
            low = middle;
        } else {
            high = middle;
        }
    }
    (0.5 * (low + high)).exp()
}

/// Two-sided p value of Student's t with `df` degrees of freedom.
///
/// ```
/// // With one degree of freedom half of the distribution lies beyond −1 and 1.
/// assert!((statistics::special::t_two_sided(1.0, 1.0) - 0.5).abs() < 1e-14);
/// ```
#[must_use]
pub fn t_two_sided(t: f64, df: f64) -> f64 {
    beta_pq(0.5 * df, 0.5, df / (df + t * t)).0
}

/// The quantile of Student's t with `df` degrees of freedom at `p`.
///
/// ```
/// assert!((statistics::special::t_quantile(0.75, 1.0) - 1.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn t_quantile(p: f64, df: f64) -> f64 {
    let tail = p.min(1.0 - p);
    let x = beta_quantile(2.0 * tail, 0.5 * df, 0.5);
    let t = (df * (1.0 - x) / x).sqrt();
    if p < 0.5 { -t } else { t }
}

/// Upper tail of Fisher's F with `df1` and `df2` degrees of freedom.
///
/// ```
/// assert!((statistics::special::f_upper(1.0, 7.0, 7.0) - 0.5).abs() < 1e-14);
/// ```
#[must_use]
pub fn f_upper(f: f64, df1: f64, df2: f64) -> f64 {
    if f.is_nan() || f <= 0.0 {
        return if f.is_nan() { f64::NAN } else { 1.0 };
    }
    beta_pq(0.5 * df2, 0.5 * df1, df2 / (df2 + df1 * f)).0
}

/// The quantile of Fisher's F with `df1` and `df2` degrees of freedom at `p`. Degrees of freedom need not
/// be whole numbers.
///
/// ```
/// assert!((statistics::special::f_quantile(0.5, 7.0, 7.0) - 1.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn f_quantile(p: f64, df1: f64, df2: f64) -> f64 {
    if p < 0.5 {
        let x = beta_quantile(p, 0.5 * df1, 0.5 * df2);
        return df2 * x / (df1 * (1.0 - x));
    }
    let x = beta_quantile(1.0 - p, 0.5 * df2, 0.5 * df1);
    df2 * (1.0 - x) / (df1 * x)
}

/// The argument at which the regularised incomplete beta function is `p`, by bisection on the logit scale:
/// slow, and accurate to the last digits in both tails.
pub(crate) fn beta_quantile(p: f64, a: f64, b: f64) -> f64 {
    if p.is_nan() || a.is_nan() || b.is_nan() {
        return f64::NAN;
    }
    if p <= 0.0 || p >= 1.0 {
        return if p <= 0.0 { 0.0 } else { 1.0 };
    }
    let (mut low, mut high) = (-745.0_f64, 36.0_f64);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        let x = 1.0 / (1.0 + (-middle).exp());
        let (below, above) = beta_pq(a, b, x);
        // The smaller tail is the accurate one.
        let too_low = if p < 0.5 { below < p } else { above > 1.0 - p };
        if too_low {
            low = middle;
        } else {
            high = middle;
        }
    }
    1.0 / (1.0 + (-0.5 * (low + high)).exp())
}

/// Tails of the binomial distribution of `n` trials with probability `p`: the probabilities of at most `k`
/// and of at least `k` events (Abramowitz and Stegun 1964, 26.5.24).
///
/// ```
/// let (at_most, at_least) = statistics::special::binomial_tails(1, 2, 0.5);
/// assert!((at_most - 0.75).abs() < 1e-14 && (at_least - 0.75).abs() < 1e-14);
/// ```
#[must_use]
pub fn binomial_tails(k: u64, n: u64, p: f64) -> (f64, f64) {
    let (k, n) = (k as f64, n as f64);
    let at_most = if k >= n { 1.0 } else { beta_pq(n - k, k + 1.0, 1.0 - p).0 };
    let at_least = if k <= 0.0 { 1.0 } else { beta_pq(k, n - k + 1.0, p).0 };
    (at_most, at_least)
}
