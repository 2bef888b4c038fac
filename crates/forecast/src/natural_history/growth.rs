//! The length of a foot at an age.

use super::DAYS_PER_YEAR;

/// Mean length of a foot at an age, mm, measured lying or visit.
///
/// To two years the logarithmic fit to Snyder 1977's summary (not standing), from two years the quadratic
/// fit to its 1,028 records (standing) less the 9.6 mm by which the two sets differ at 24 months, so that
/// the curve does not jump. Sexes together. Worked out in the evidence from values read.
#[must_use]
pub fn foot_length_mm(age_days: f64) -> f64 {
    let years = (age_days / DAYS_PER_YEAR).clamp(0.0, 7.0);
    if years < 2.0 {
        34.443 * (years * 12.0 + 6.223).ln() + 10.672
    } else {
        112.207 + 13.471 * years - 0.3605 * years * years - 9.6
    }
}

/// Standard deviation of foot length between children as a share of the mean: 5 of 82 mm at one month,
/// 9 of 125 at 22 (Snyder 1977), 9.8 of some 160 beyond two years.
pub const FOOT_LENGTH_SD_SHARE: f64 = 0.062;

/// An affected foot is some 10 mm shorter at maturity, 9 to 15 mm at five to ten years; under two years no
/// usable value was found, and the same share of length is assumed.
pub const AFFECTED_SHARE: f64 = 0.96;
