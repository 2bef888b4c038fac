//! The random effects: how children differ from the published mean, as shares of it.
//!
//! Together they give the published spread. Lying (0–24 months) it is 6.9 % of the mean, weighted over the
//! seven bands of Snyder 1977; standing (2–7 years) 5.9 %, over its ten bands. Here:
//! lying √(5.46² + 3² + 1² + (2.2 mm)²) = 6.7 % at 106 mm; standing √(5.46² + 1.5² + 1² + (2 mm)²) = 5.9 %
//! at 165 mm. How much of it each part takes is judgement (no source).
//!
//! The growth rate of a child is anywhere between both published ends ([`super::published::RATES`]); this is a
//! separate effect, counted from the first measurement. All else that moves a child from its centile is small
//! in comparison: a tenth of the variance, judgement.

use super::Posture;

/// The effect of the child, SD.
pub const CHILD_SD: f64 = 0.054_6;
/// The part of its variance that never changes.
pub const LASTING_SHARE: f64 = 0.9;
/// The scale over which the rest decays, on the scale of [`clock`].
pub const FORGETS_OVER: f64 = 1.0;
/// The effect of a foot without clubfoot, SD.
pub const FOOT_SD: f64 = 0.010;
/// The mean share by which a clubfoot is smaller: 5.9 of 118.4 mm in the brace (Meher 2021, means as
/// printed), 12.7 of some 185 mm at 5–10 years (1.5 shoe sizes).
pub const CLUBFOOT_SMALLER: f64 = 0.055;
/// The effect of a clubfoot, SD: 9–15 mm of some 185 mm between treatments and ages (Kesemenli, cited by
/// Manousaki 2021), rounded up.
pub const CLUBFOOT_SD: f64 = 0.035;
/// The further spread between infants, SD: the rest of the published spread measured lying.
pub const LYING_SD: f64 = 0.030;
/// The spread between children of how much a foot lengthens under load, SD; judgement.
pub const STANDING_SD: f64 = 0.015;
/// The spread of a child's growth between the published ends, SD on a scale on which they are −1 and 1. A uniform
/// distribution between them has 1/√3.
pub const RATE_SD: f64 = 0.577;
/// Error of a foot's length measured lying, mm SD: somewhat more than standing, because an infant moves; how much
/// more is judgement (no source).
pub const ERROR_LYING_MM: f64 = 2.2;
/// Error of a foot's length measured standing, mm SD: 1.9 in 19 children of 2.5 to 7 years (worked out from
/// the limits of agreement of Manousaki 2022, BMC Musculoskelet Disord 23:506), rounded up.
pub const ERROR_STANDING_MM: f64 = 2.0;
/// The effect of the shoulders, SD; judgement, because no spread was found.
pub const SHOULDER_SD: f64 = 0.030;
/// Error of a shoulder width, mm SD; judgement (common practice, no source).
pub const ERROR_SHOULDER_MM: f64 = 5.0;

/// The scale of age on which the child's effect changes evenly: fast in infancy, slowly later, like growth itself.
#[must_use]
pub fn clock(months: f64) -> f64 {
    (months.max(-4.0) + 6.223).ln()
}

/// Covariance of the child's effect at two ages: a lasting part and a Matérn part of order 3/2.
#[must_use]
pub fn of_child(one: f64, other: f64) -> f64 {
    let distance = 3.0_f64.sqrt() * (one - other).abs() / FORGETS_OVER;
    let fading = (1.0 + distance) * (-distance).exp();
    CHILD_SD * CHILD_SD * (LASTING_SHARE + (1.0 - LASTING_SHARE) * fading)
}

/// Error of a foot's length, mm SD.
#[must_use]
pub const fn error_mm(posture: Posture) -> f64 {
    match posture {
        Posture::Lying => ERROR_LYING_MM,
        Posture::Standing => ERROR_STANDING_MM,
    }
}

/// The part of the body to which a point belongs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Part {
    /// A foot.
    Foot {
        /// 0 right, 1 left.
        which: usize,
        /// Whether it is a clubfoot.
        affected: bool,
        /// How it was measured.
        posture: Posture,
    },
    /// The shoulders.
    Shoulders,
}

/// A point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Age on [`clock`].
    pub clock: f64,
    /// The part of the body.
    pub part: Part,
    /// The change from one step towards the fastest published growth since the first measurement, as a share of the
    /// mean; 0 for shoulders.
    pub grown: f64,
}

/// Covariance of two points, without error.
#[must_use]
pub fn covariance(one: &Point, other: &Point) -> f64 {
    let rate = RATE_SD * RATE_SD * one.grown * other.grown;
    of_child(one.clock, other.clock) + own(one.part, other.part) + rate
}

fn own(one: Part, other: Part) -> f64 {
    match (one, other) {
        (Part::Shoulders, Part::Shoulders) => SHOULDER_SD * SHOULDER_SD,
        (Part::Foot { which: a, affected, posture: p }, Part::Foot { which: b, posture: q, .. }) => {
            let foot = if affected { CLUBFOOT_SD } else { FOOT_SD };
            let same = if a == b { foot * foot } else { 0.0 };
            same + match (p, q) {
                (Posture::Standing, Posture::Standing) => STANDING_SD * STANDING_SD,
                (Posture::Lying, Posture::Lying) => LYING_SD * LYING_SD,
                _ => 0.0,
            }
        }
        _ => 0.0,
    }
}
