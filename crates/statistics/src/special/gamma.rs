//! The gamma function and the incomplete gamma and beta functions.

use std::f64::consts::PI;

/// From here on Stirling's series is used directly; smaller arguments are shifted up first.
const STIRLING_FROM: f64 = 15.0;

/// Bound on the terms of the expansions below; all arguments of this crate need far fewer.
const MOST_TERMS: usize = 200_000;

/// Natural logarithm of the gamma function, for `x` above zero; not a number otherwise.
///
/// Stirling's series (Abramowitz and Stegun 1964, 6.1.41) after the recurrence 6.1.15.
///
/// ```
/// let ten = statistics::special::ln_gamma(11.0).exp();
/// assert!((ten - 3_628_800.0).abs() < 1e-6);
/// ```
#[must_use]
pub fn ln_gamma(x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 {
        return f64::NAN;
    }
    let (mut at, mut product) = (x, 1.0);
    while at < STIRLING_FROM {
        product *= at;
        at += 1.0;
    }
    (at - 0.5) * at.ln() - at + 0.5 * (2.0 * PI).ln() + stirling(at) - f64::ln(product)
}

/// The series behind the leading terms of Stirling's formula: B(2k) / (2k (2k − 1) x^(2k − 1)).
fn stirling(x: f64) -> f64 {
    const TERMS: [f64; 7] = [
        1.0 / 12.0,
        -1.0 / 360.0,
        1.0 / 1260.0,
        -1.0 / 1680.0,
        1.0 / 1188.0,
        -691.0 / 360_360.0,
        1.0 / 156.0,
    ];
    let square = 1.0 / (x * x);
    TERMS.iter().rev().fold(0.0, |sum, term| sum * square + term) / x
}

/// The derivative of [`ln_gamma`], for `x` above zero; not a number otherwise (Abramowitz and Stegun
/// 1964, 6.3.5 and 6.3.18).
///
/// ```
/// // Minus the constant of Euler.
/// assert!((statistics::special::digamma(1.0) + 0.577_215_664_901_532_9).abs() < 1e-14);
/// ```
#[must_use]
pub fn digamma(x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 {
        return f64::NAN;
    }
    const TERMS: [f64; 7] =
        [1.0 / 12.0, -1.0 / 120.0, 1.0 / 252.0, -1.0 / 240.0, 1.0 / 132.0, -691.0 / 32_760.0, 1.0 / 12.0];
    let (mut at, mut shift) = (x, 0.0);
    while at < STIRLING_FROM {
        shift += 1.0 / at;
        at += 1.0;
    }
    let square = 1.0 / (at * at);
    let series = TERMS.iter().rev().fold(0.0, |sum, term| (sum + term) * square);
    at.ln() - 0.5 / at - series - shift
}

/// The second derivative of [`ln_gamma`], for `x` above zero; not a number otherwise (Abramowitz and
/// Stegun 1964, 6.4.12).
///
/// ```
/// let exact = std::f64::consts::PI.powi(2) / 6.0;
/// assert!((statistics::special::trigamma(1.0) - exact).abs() < 1e-14);
/// ```
#[must_use]
pub fn trigamma(x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 {
        return f64::NAN;
    }
    const TERMS: [f64; 7] =
        [1.0 / 6.0, -1.0 / 30.0, 1.0 / 42.0, -1.0 / 30.0, 5.0 / 66.0, -691.0 / 2_730.0, 7.0 / 6.0];
    let (mut at, mut shift) = (x, 0.0);
    while at < STIRLING_FROM {
        shift += 1.0 / (at * at);
        at += 1.0;
    }
    let square = 1.0 / (at * at);
    let series = TERMS.iter().rev().fold(0.0, |sum, term| (sum + term) * square);
    1.0 / at + 0.5 * square + series / at + shift
}

/// Regularised incomplete gamma functions P(a, x) and Q(a, x) = 1 − P, each accurate in its small tail.
///
/// Series 6.5.29 and continued fraction 6.5.31 of Abramowitz and Stegun 1964, the fraction by
/// Lentz's method.
pub(crate) fn gamma_pq(a: f64, x: f64) -> (f64, f64) {
    if a.is_nan() || x.is_nan() || a <= 0.0 || x < 0.0 {
        return (f64::NAN, f64::NAN);
    }
    if x == 0.0 {
        return (0.0, 1.0);
    }
    if x.is_infinite() {
        return (1.0, 0.0);
    }
    let front = (a * x.ln() - x - ln_gamma(a)).exp();
    if x < a + 1.0 {
        let p = front * series(a, x);
        (p, 1.0 - p)
    } else {
        let q = front * fraction(a, x);
        (1.0 - q, q)
    }
}

fn series(a: f64, x: f64) -> f64 {
    let (mut term, mut sum, mut at) = (1.0 / a, 1.0 / a, a);
    for _ in 0..MOST_TERMS {
        at += 1.0;
        term *= x / at;
        sum += term;
        if term < sum * 1e-17 {
            break;
        }
    }
    sum
}

fn fraction(a: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / TINY;
    let mut d = 1.0 / b;
    let mut value = d;
    for i in 1..MOST_TERMS {
        let i = i as f64;
        let an = -i * (i - a);
        b += 2.0;
        d = nonzero(an * d + b);
        c = nonzero(b + an / c);
        d = 1.0 / d;
        value *= d * c;
        if (d * c - 1.0).abs() < 1e-16 {
            break;
        }
    }
    value
}

fn nonzero(value: f64) -> f64 {
    if value.abs() < 1e-300 { 1e-300 } else { value }
}

/// Regularised incomplete beta function I_x(a, b) and its complement.
///
/// Continued fraction 26.5.8 of Abramowitz and Stegun 1964 in the even form of Lentz's method.
pub(crate) fn beta_pq(a: f64, b: f64, x: f64) -> (f64, f64) {
    if a.is_nan() || b.is_nan() || x.is_nan() || a <= 0.0 || b <= 0.0 {
        return (f64::NAN, f64::NAN);
    }
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    if x >= 1.0 {
        return (1.0, 0.0);
    }
    let front = (ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * x.ln() + b * f64::ln_1p(-x)).exp();
    if x < (a + 1.0) / (a + b + 2.0) {
        let p = front * beta_fraction(a, b, x) / a;
        (p, 1.0 - p)
    } else {
        let q = front * beta_fraction(b, a, 1.0 - x) / b;
        (1.0 - q, q)
    }
}

fn beta_fraction(a: f64, b: f64, x: f64) -> f64 {
    let mut c = 1.0;
    let mut d = 1.0 / nonzero(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    for m in 1..MOST_TERMS {
        let m = m as f64;
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / nonzero(1.0 + even * d);
        c = nonzero(1.0 + even / c);
        value *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / nonzero(1.0 + odd * d);
        c = nonzero(1.0 + odd / c);
        value *= d * c;
        if (d * c - 1.0).abs() < 1e-16 {
            break;
        }
    }
    value
}
