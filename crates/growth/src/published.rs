//! Published lengths by age.
//!
//! Feet: Snyder 1977. To 24 months the logarithmic fit to its summary (225 infants, not standing), from 24
//! months the quadratic fit to its 1,028 records (standing); both worked out from values read. Sexes
//! differ by some 2.7 mm at 2–7 years, girls smaller (weighted over its ten age bands), which is a share
//! of 1.6 %; no figure by sex was found under two years and the same share is assumed.
//!
//! At birth the fit gives 73.6 mm, and the term newborns of another series (Nigeria; 77.9 mm, SD 4.2;
//! Kuponiyi & Ogunlesi 2023, 10.4314/gmj.v57i3.11) are 4.3 mm longer: about one SD of a child, far beyond
//! their standard error. The fit's youngest band is some weeks old and the logarithm is steep there; joining
//! newborns of another population to it would bend every month that follows, and no boots are fitted before
//! the first measurement. So it is unchanged: a window at birth, before any foot was measured, may be up to
//! about four weeks late, and the first measurement corrects it.
//!
//! Shoulders: the median height of the WHO standard times the ratio of shoulder width to height computed
//! from Snyder 1977 in a public note; to one year the ratio is from memory. No spread was found.

use super::Posture;
use record::{Sex, ShoulderWidth};

/// Days in a month.
pub const DAYS_PER_MONTH: f64 = 30.4375;
/// By how much the standing set is longer than the lying set at 24 months: 137.7 − 128.1, from the two fits.
pub const STEP_MM: f64 = 9.6;
/// The oldest age of the published values.
pub const UNTIL_MONTHS: f64 = 84.0;
/// Half of the difference between the sexes, as a share of the length.
const SEX_SHARE: f64 = 0.008;

/// The share by which a sex lies above the mean of both.
fn sex_share(sex: Option<Sex>) -> f64 {
    match sex {
        Some(Sex::Male) => SEX_SHARE,
        Some(Sex::Female) => -SEX_SHARE,
        _ => 0.0,
    }
}

/// Mean length of a foot without clubfoot, in mm, at an age in months, measured in a posture.
#[must_use]
pub fn foot_mm(months: f64, sex: Option<Sex>, posture: Posture) -> f64 {
    let months = months.clamp(-4.0, UNTIL_MONTHS);
    let lying = || 34.443 * (months + 6.223).ln() + 10.672;
    let years = months / 12.0;
    let standing = || 112.207 + 13.471 * years - 0.360_5 * years * years;
    let mean = match (posture, Posture::at(months)) {
        (Posture::Lying, Posture::Lying) => lying(),
        (Posture::Lying, Posture::Standing) => standing() - STEP_MM,
        (Posture::Standing, Posture::Lying) => lying() + STEP_MM,
        (Posture::Standing, Posture::Standing) => standing(),
    };
    mean * (1.0 + sex_share(sex))
}

/// Both ends of the published growth of a foot: from an age in months, the slowest and the fastest, mm a
/// month.
///
/// - Slowest: to nine months 2.1, the bound of Gould 1990 (half a size, 4.23 mm, in less than two months);
///   from nine 1.9, the fit above; from 15 months 1.0 (Snyder's means, 14–22 months); from two years 0.97
///   and from three 0.79 (quadratic fits to Snyder's records; clubfeet grow 0.82, Manousaki 2021).
/// - Fastest: to six months 3.7, the fit at three months; to 15 months 3.0 (Snyder's means, 0–9 months),
///   since Gould gives no upper end there; to two years 2.1, to three 1.41, from then on 1.06 (Gould: half
///   a size in two, three and four months).
pub const RATES: [(f64, f64, f64); 6] = [
    (0.0, 2.1, 3.7),
    (6.0, 2.1, 3.0),
    (9.0, 1.9, 3.0),
    (15.0, 1.0, 2.1),
    (24.0, 0.97, 1.41),
    (36.0, 0.79, 1.06),
];

/// How much a foot grows from one age in months to a later one: the middle of both published ends, and the distance
/// of either end from it, mm.
#[must_use]
pub fn grown_mm(from: f64, to: f64) -> (f64, f64) {
    let (mut middle, mut half) = (0.0, 0.0);
    for (n, &(start, slow, fast)) in RATES.iter().enumerate() {
        let end = RATES.get(n + 1).map_or(f64::INFINITY, |next| next.0);
        let start = if n == 0 { f64::NEG_INFINITY } else { start };
        let months = (to.min(end) - from.max(start)).max(0.0);
        middle += months * (slow + fast) / 2.0;
        half += months * (fast - slow) / 2.0;
    }
    (middle, half)
}

/// Age in months, then bone-to-bone shoulder width of boys and of girls, mm.
const BIACROMIAL: [(f64, f64, f64); 13] = [
    (0.0, 120.0, 118.0),
    (3.0, 147.0, 144.0),
    (6.0, 162.0, 158.0),
    (9.0, 173.0, 168.0),
    (12.0, 182.0, 178.0),
    (18.0, 194.0, 190.0),
    (24.0, 202.0, 199.0),
    (30.0, 212.0, 209.0),
    (36.0, 221.0, 219.0),
    (42.0, 229.0, 227.0),
    (48.0, 236.0, 234.0),
    (54.0, 242.0, 241.0),
    (60.0, 249.0, 247.0),
];
/// Age in months, then the ratio of the width over the arms to the bone-to-bone width; under two years nothing was
/// found and the ratio at two years is assumed.
const OVER_ARMS: [(f64, f64); 4] = [(24.0, 1.153_7), (36.0, 1.128_0), (48.0, 1.114_0), (60.0, 1.101_8)];
/// Growth of the shoulders beyond the table, mm a month: as in its last year.
const BEYOND_MM_PER_MONTH: f64 = 1.1;

/// Width of the shoulders, in mm, at an age in months.
#[must_use]
pub fn shoulder_mm(months: f64, sex: Option<Sex>, width: ShoulderWidth) -> f64 {
    let rows = BIACROMIAL.map(|(age, boys, girls)| match sex {
        Some(Sex::Male) => (age, boys),
        Some(Sex::Female) => (age, girls),
        _ => (age, (boys + girls) / 2.0),
    });
    let beyond = (months - 60.0).clamp(0.0, UNTIL_MONTHS - 60.0) * BEYOND_MM_PER_MONTH;
    let bone = between(&rows, months) + beyond;
    match width {
        ShoulderWidth::Biacromial => bone,
        ShoulderWidth::Bideltoid => bone * between(&OVER_ARMS, months),
    }
}

/// Linear interpolation between the rows; constant beyond the ends.
fn between(rows: &[(f64, f64)], at: f64) -> f64 {
    let after = rows.partition_point(|row| row.0 <= at);
    match (after.checked_sub(1).and_then(|before| rows.get(before)), rows.get(after)) {
        (Some(before), Some(after)) => {
            before.1 + (after.1 - before.1) * (at - before.0) / (after.0 - before.0)
        }
        (Some(row), None) | (None, Some(row)) => row.1,
        (None, None) => f64::NAN,
    }
}
