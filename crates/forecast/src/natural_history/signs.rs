//! How a sign moves from cast to cast, and how it is seen.
//!
//! Each of the six signs is, in truth, at one of [`LEVELS`] quarter-point levels, from 0 to 1. A cast
//! takes it down by none, one or two levels, a binomial of two tries ([`step`]). A clinician writes 0,
//! 0.5 or 1: a true quarter is written as either neighbour ([`seen_given_level`]). The quarters do two
//! jobs: progress is steadier than a coin thrown between half points, and two raters disagree most
//! where the foot really lies between two answers.

use record::HalfPoint;

/// Number of true levels of a sign: 0, ¼, ½, ¾, 1.
pub const LEVELS: usize = 5;

/// A distribution over the true levels, mildest first.
pub type Levels = [f64; LEVELS];

/// Chances of the next level (column) given this one (row), over one cast.
pub type Step = [Levels; LEVELS];

/// One cast, where each of two tries takes the sign down a level with the chance `fall`.
#[must_use]
pub fn step(fall: f64) -> Step {
    let (none, one, two) = ((1.0 - fall).powi(2), 2.0 * fall * (1.0 - fall), fall * fall);
    let mut step = [[0.0; LEVELS]; LEVELS];
    for (level, row) in step.iter_mut().enumerate() {
        row[level] += none;
        row[level.saturating_sub(1)] += one;
        row[level.saturating_sub(2)] += two;
    }
    step
}

/// What a distribution over the levels becomes over one cast.
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
/// the neighbouring answer for a foot that lies squarely on one.
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
