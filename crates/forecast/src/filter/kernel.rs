//! The tables of the natural history that are the same for every foot: first levels, steps, answers.

use crate::natural_history::{
    Parameters,
    classes::{PACE, SEVERITY},
    signs::{LEVELS, Levels, Step, seen_given_level, step},
};

/// Joint true levels of the three midfoot signs.
pub(crate) const MIDFOOT_STATES: usize = LEVELS * LEVELS * LEVELS;

/// A number for each joint level of the midfoot: index = 25 lateral border + 5 medial crease + talar head.
pub(crate) type Midfoot = [f64; MIDFOOT_STATES];

/// Share of slipped casts that are recorded. Assumed; no source. A cast without a record of it slipped with the
/// published chance times the rest.
const SLIPS_WRITTEN: f64 = 0.5;

/// Everything that follows from [`Parameters`] alone.
#[derive(Debug, Clone)]
pub(crate) struct Kernel {
    pub(crate) parameters: Parameters,
    /// Levels before the first cast, by severity and sign.
    pub(crate) initial: [[Levels; 6]; SEVERITY.len()],
    /// One cast that did not slip, by pace and sign.
    pub(crate) steps: [[Step; 6]; PACE.len()],
    /// Answers by level.
    pub(crate) given: [[f64; 3]; LEVELS],
    /// Chance of each written midfoot score, in half points, by joint level.
    pub(crate) midfoot_written: Vec<[f64; 7]>,
    /// Chance that a cast slipped if nothing is recorded.
    pub(crate) silent_slip: f64,
}

impl Kernel {
    pub(crate) fn new(parameters: &Parameters) -> Self {
        let given = seen_given_level(parameters.rating_slip);
        let written = (0..MIDFOOT_STATES).map(|state| written(&given, state)).collect();
        Self {
            initial: SEVERITY.map(|severity| parameters.initial(severity)),
            steps: PACE.map(|pace| parameters.falls(pace).map(step)),
            given,
            midfoot_written: written,
            silent_slip: parameters.cast_slip * (1.0 - SLIPS_WRITTEN),
            parameters: parameters.clone(),
        }
    }

    /// The expected value, before one cast to come, of a function of the midfoot after it, at a pace.
    pub(crate) fn before_cast(&self, pace: usize, after: &Midfoot) -> Midfoot {
        let [lateral, medial, talar, ..] = &self.steps[pace];
        let moved = along(25, lateral, &along(5, medial, &along(1, talar, after)));
        self.with_slips(&moved, after)
    }

    /// The distribution of the midfoot after one cast to come, at a pace.
    pub(crate) fn after_cast(&self, pace: usize, before: &Midfoot) -> Midfoot {
        let [lateral, medial, talar, ..] = &self.steps[pace];
        let moved = push(25, lateral, &push(5, medial, &push(1, talar, before)));
        self.with_slips(&moved, before)
    }

    fn with_slips(&self, moved: &Midfoot, still: &Midfoot) -> Midfoot {
        let slip = self.parameters.cast_slip;
        std::array::from_fn(|state| (1.0 - slip) * moved[state] + slip * still[state])
    }
}

/// Levels of the three signs of a joint level.
pub(crate) const fn parts(state: usize) -> [usize; 3] {
    [state / 25, state / 5 % 5, state % 5]
}

fn written(given: &[[f64; 3]; LEVELS], state: usize) -> [f64; 7] {
    let mut sum = [0.0; 7];
    let [a, b, c] = parts(state).map(|level| given[level]);
    for (i, first) in a.iter().enumerate() {
        for (j, second) in b.iter().enumerate() {
            for (k, third) in c.iter().enumerate() {
                sum[i + j + k] += first * second * third;
            }
        }
    }
    sum
}

/// A step of one sign applied to a function of the state after it. A cast takes a sign down two levels
/// at most.
fn along(stride: usize, step: &Step, values: &Midfoot) -> Midfoot {
    std::array::from_fn(|state| {
        let level = state / stride % LEVELS;
        (level.saturating_sub(2)..=level)
            .map(|next| step[level][next] * values[state - (level - next) * stride])
            .sum()
    })
}

/// A step of one sign applied to a distribution.
fn push(stride: usize, step: &Step, chances: &Midfoot) -> Midfoot {
    let mut into = [0.0; MIDFOOT_STATES];
    for (state, chance) in chances.iter().enumerate() {
        let level = state / stride % LEVELS;
        for next in level.saturating_sub(2)..=level {
            into[state - (level - next) * stride] += chance * step[level][next];
        }
    }
    into
}
