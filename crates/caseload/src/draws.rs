//! Random numbers drawn by name and not in sequence.
//!
//! Every draw is a function of a key and a purpose. A child therefore has the same random numbers in two
//! settings even if it has more visits in one of them (common random numbers), and the result does not depend
//! on the order of children or on the number of threads. The mixing function is the finaliser of SplitMix64
//! (Steele, Lea and Flood 2014, variant 13 of Stafford's constants, from memory; a test checks that its output
//! is uniform).

const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

/// The purpose of a draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u64)]
pub enum For {
    /// Key of a run; n is its number.
    Run = 1,
    /// Key of a new child; n is day × 2¹⁶ + its number on that day.
    Child,
    /// Key of a current child; n is its index in the list.
    Current,
    /// Children coming on a day; n is the day.
    Arrivals,
    /// Incidence of the run, two draws.
    Incidence,
    /// The world of the run in the pool.
    World,
    /// The path of a child in the pool.
    Path,
    /// Foot length for age, two draws.
    Size,
    /// Whether the child is lost in casting, and at which cast.
    LostCasting,
    /// When the child is lost in bracing.
    LostBracing,
    /// Whether the child comes; n is the attempt.
    NoShow,
    /// Slipping; n is the cast.
    Slip,
    /// When a slipped cast is seen; n is the cast.
    SlipDay,
    /// When it relapses; n is the episode.
    Relapse,
    /// Casts of a relapse; n is the episode.
    RelapseCasts,
    /// Tenotomy of a relapse; n is the episode.
    RelapseTenotomy,
    /// Casts still to come of a current child.
    Remaining,
    /// Tenotomy of a current child.
    CurrentTenotomy,
    /// Staff missing; n is service × 2³² + day.
    Absence,
}

/// Spreads a number over all 64 bits.
#[must_use]
#[inline]
pub const fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// 64 uniform bits for a key and a purpose.
#[must_use]
#[inline]
pub const fn bits(key: u64, purpose: For, n: u64) -> u64 {
    let name = (purpose as u64).wrapping_shl(56) ^ n;
    mix(key.wrapping_add(mix(name.wrapping_mul(GOLDEN))).wrapping_add(GOLDEN))
}

/// A uniform number in [0, 1).
#[must_use]
#[inline]
pub const fn unit(key: u64, purpose: For, n: u64) -> f64 {
    (bits(key, purpose, n) >> 11) as f64 * (1.0 / (1u64 << 53) as f64)
}

/// A uniform whole number below `limit`; 0 if the limit is 0.
#[must_use]
#[inline]
pub const fn below(key: u64, purpose: For, n: u64, limit: u64) -> u64 {
    ((bits(key, purpose, n) as u128 * limit as u128) >> 64) as u64
}

/// A standard normal number from two draws (Box and Muller 1958, from memory).
#[must_use]
pub fn normal(key: u64, purpose: For) -> f64 {
    let radius = (-2.0 * (1.0 - unit(key, purpose, 0)).ln()).sqrt();
    radius * (std::f64::consts::TAU * unit(key, purpose, 1)).cos()
}

/// A standard exponential number.
#[must_use]
#[inline]
pub fn exponential(key: u64, purpose: For, n: u64) -> f64 {
    -(1.0 - unit(key, purpose, n)).ln()
}

/// A Poisson number by inversion, so that a larger mean never gives a smaller number.
#[must_use]
pub fn poisson(mean: f64, even: f64) -> u32 {
    if mean <= 0.0 {
        return 0;
    }
    let mut chance = (-mean).exp();
    let (mut below, mut n) = (chance, 0u32);
    // Ten times the mean plus 60 exceeds every quantile of a uniform number.
    let most = (mean * 10.0) as u32 + 60;
    while even >= below && n < most {
        n += 1;
        chance *= mean / f64::from(n);
        below += chance;
    }
    n
}
