//! How a sign changes from cast to cast, and how it is scored.
//!
//! The true value of each of the six signs is one of [`LEVELS`] quarter-point levels, from 0 to 1. A cast
//! lowers it by none, one or two levels ([`step`]). A clinician writes 0, 0.5 or 1: a true quarter is written
//! as either neighbour ([`seen_given_level`]). The quarters have two effects: progress is steadier than random
//! steps of half a point, and two raters disagree most if the true value is between two answers.

use record::HalfPoint;

/// Number of true levels of a sign: 0, ¼, ½, ¾, 1.
pub const LEVELS: usize = 5;

/// A distribution over the true levels, mildest first.
pub type Levels = [f64; LEVELS];

/// Chances of the next level (column) given this one (row), over one cast.
pub type Step = [Levels; LEVELS];

/// How even the effect of casts is: 0, two independent tries; 1, as even as whole levels allow. With two tries alone the
/// number of casts would vary more than in any published cohort (SD 1.2 to 1.6 about means of 5 to 6).
pub const EVENNESS: f64 = 0.9;

/// Chances that one cast lowers a sign by none, one and two levels, for the mean `2 × fall`.
///
/// A blend by [`EVENNESS`] of two independent tries with the chance `fall`, and of the most even fall
/// with that mean: of 0.8 levels, one level in four casts out of five and none in the fifth.
#[must_use]
pub fn fall_chances(fall: f64) -> [f64; 3] {
    let tries = [(1.0 - fall).powi(2), 2.0 * fall * (1.0 - fall), fall * fall];
    let mean = 2.0 * fall;
    let even = if mean <= 1.0 { [1.0 - mean, mean, 0.0] } else { [0.0, 2.0 - mean, mean - 1.0] };
    std::array::from_fn(|levels| EVENNESS * even[levels] + (1.0 - EVENNESS) * tries[levels])
}

/// One cast as a step between levels; a sign at the bottom stays there.
#[must_use]
pub fn step(fall: f64) -> Step {
    let [none, one, two] = fall_chances(fall);
    let mut step = [[0.0; LEVELS]; LEVELS];
    for (level, row) in step.iter_mut().enumerate() {
        row[level] += none;
        row[level.saturating_sub(1)] += one;
        row[level.saturating_sub(2)] += two;
    }
    step
}

/// The distribution over the levels after one cast.
#[must_use]
pub fn after(levels: &Levels, step: &Step) -> Levels {
    let mut next = [0.0; LEVELS];
    for (here, row) in levels.iter().zip(step) {
        for (into, chance) in next.iter_mut().zip(row) {
            *into += here * chance;
        }
    }
    next
}

/// Chance of each written answer (0, ½, 1) for each true level, where `slip` is the chance of writing
/// the neighbouring answer for a foot whose true value is one of the answers.
#[must_use]
pub fn seen_given_level(slip: f64) -> [[f64; 3]; LEVELS] {
    [
        [1.0 - slip, slip, 0.0],
        [0.5, 0.5, 0.0],
        [slip / 2.0, 1.0 - slip, slip / 2.0],
        [0.0, 0.5, 0.5],
        [0.0, slip, 1.0 - slip],
    ]
}

/// The column of [`seen_given_level`] for one written answer.
#[must_use]
pub fn likelihood(seen: HalfPoint, given: &[[f64; 3]; LEVELS]) -> Levels {
    given.map(|row| row[seen.halves().0 as usize])
}
