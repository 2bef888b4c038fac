//! The possible outcomes of a foot in casts: the visit at which it is ready, and whether it has a tenotomy.

use super::tables::Tables;
use crate::filter::{Cells, Chains, cells, hindfoot};
use crate::learning::{AtVisit, TenotomyTable, VISITS, weigh};
use crate::natural_history::{
    classes::{CLASSES, PACE},
    signs::{Levels, after},
};

/// Weight below which a class is left out.
const NEGLIGIBLE: f64 = 1e-6;

/// CastVisit and tenotomy: index = 2 × (visit − 1) + cut.
pub(crate) const OUTCOMES: usize = 2 * VISITS;

/// What precedes the next visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Next {
    /// A cast is worn until it.
    AfterCast,
    /// No cast is worn until it.
    NoCast,
    /// It is the first.
    First,
}

/// Chances of every outcome by class, and of the hindfoot signs written at each decision.
#[derive(Debug, Clone)]
pub(crate) struct Outcomes {
    /// The classes with relevant weight.
    pub(crate) classes: Vec<usize>,
    /// Chances of the outcomes, by class, in the same order.
    pub(crate) by_class: Vec<[f64; OUTCOMES]>,
    /// Weights of the hindfoot signs written at the decision, by visit; they sum to the chance of the decision at
    /// that visit.
    pub(crate) written: Vec<Cells>,
}

impl Outcomes {
    pub(crate) fn of(
        tables: &Tables,
        chains: &Chains,
        next: Next,
        weights: &[f64; CLASSES],
        tenotomy: &TenotomyTable,
    ) -> Self {
        let classes: Vec<usize> = (0..CLASSES).filter(|class| weights[*class] > NEGLIGIBLE).collect();
        let mut written = vec![[[0.0; 3]; 7]; VISITS];
        let by_class = classes
            .iter()
            .map(|&class| {
                let ready = ready(tables, chains, next, class);
                let split = Split { tables, chains, next, tenotomy };
                split.by_cut(class, &ready, weights[class], &mut written)
            })
            .collect();
        Self { classes, by_class, written }
    }

    /// The outcomes of the foot over all classes.
    pub(crate) fn mixed(&self, weights: &[f64; CLASSES]) -> [f64; OUTCOMES] {
        let mut mixed = [0.0; OUTCOMES];
        for (class, outcomes) in self.classes.iter().zip(&self.by_class) {
            for (into, chance) in mixed.iter_mut().zip(outcomes) {
                *into += weights[*class] * chance;
            }
        }
        scale(&mut mixed);
        mixed
    }
}

/// Chance of the decision at each visit to come, over all classes.
pub(crate) fn readiness(tables: &Tables, chains: &Chains, next: Next, weights: &[f64; CLASSES]) -> AtVisit {
    let mut all = [0.0; VISITS];
    for (class, weight) in weights.iter().enumerate().filter(|(_, weight)| **weight > NEGLIGIBLE) {
        let ready = ready(tables, chains, next, class);
        all.iter_mut().zip(ready).for_each(|(into, chance)| *into += weight * chance);
    }
    scale(&mut all);
    all
}

/// Scales to a sum of 1.
pub(crate) fn scale(chances: &mut [f64]) {
    let sum: f64 = chances.iter().sum();
    if sum > 0.0 {
        chances.iter_mut().for_each(|chance| *chance /= sum);
    }
}

/// Chance of the decision at each visit, whether cut or not.
pub(crate) fn by_visit(outcomes: &[f64; OUTCOMES]) -> AtVisit {
    std::array::from_fn(|cast_visit| outcomes[2 * cast_visit] + outcomes[2 * cast_visit + 1])
}

/// Rounds of the search for the factor on the odds of a tenotomy.
const ROUNDS: usize = 12;

/// The outcomes with this overall chance of a tenotomy and unchanged visits: the odds of a tenotomy are multiplied
/// by the same factor at every visit.
pub(crate) fn tilted(outcomes: &[f64; OUTCOMES], chance: f64) -> [f64; OUTCOMES] {
    let cut: f64 = outcomes.iter().skip(1).step_by(2).sum();
    if !(1e-9..=1.0 - 1e-9).contains(&cut) || (cut - chance).abs() < 1e-9 {
        return *outcomes;
    }
    let mut odds = chance * (1.0 - cut) / (cut * (1.0 - chance));
    for _ in 0..ROUNDS {
        let (mut sum, mut slope) = (0.0, 0.0);
        for pair in outcomes.chunks_exact(2).filter(|pair| pair[1] > 0.0) {
            let (stays, whole) = (pair[0], pair[0] + pair[1]);
            let share = odds * pair[1] / odds.mul_add(pair[1], stays);
            sum += whole * share;
            slope += whole * share * (1.0 - share) / odds;
        }
        let off = chance - sum;
        if off.abs() < 1e-9 || slope <= 0.0 {
            break;
        }
        odds = (odds + off / slope).max(odds / 8.0);
    }
    std::array::from_fn(|number| {
        let (stays, cut) = (outcomes[number / 2 * 2], outcomes[number / 2 * 2 + 1]);
        let share = odds * cut / odds.mul_add(cut, stays).max(1e-300);
        (stays + cut) * if number % 2 == 1 { share } else { 1.0 - share }
    })
}

/// Chance of the decision at each visit to come, of a class.
fn ready(tables: &Tables, chains: &Chains, next: Next, class: usize) -> AtVisit {
    let mut state = chains.midfoot(class);
    let table = &tables.ready_at[class % PACE.len()];
    let mut ready = [0.0; VISITS];
    let mut skip = 0;
    if next != Next::AfterCast {
        let decide = if next == Next::First { &tables.decide_first } else { &tables.decide };
        for (chance, decide) in state.iter_mut().zip(decide) {
            ready[0] += *chance * decide;
            *chance *= 1.0 - decide;
        }
        skip = 1;
    }
    for (chance, row) in state.iter().zip(table).filter(|(chance, _)| **chance > 1e-9) {
        for (into, later) in ready[skip..].iter_mut().zip(row) {
            *into += chance * later;
        }
        if skip == 1 {
            ready[VISITS - 1] += chance * row[VISITS - 1];
        }
    }
    ready
}

/// Splits readiness by tenotomy.
struct Split<'a> {
    tables: &'a Tables,
    chains: &'a Chains,
    next: Next,
    tenotomy: &'a TenotomyTable,
}

impl Split<'_> {
    /// The outcomes of a class; the weighted chances of the hindfoot signs written at each decision are added to
    /// `written`.
    fn by_cut(&self, class: usize, ready: &AtVisit, weight: f64, written: &mut [Cells]) -> [f64; OUTCOMES] {
        let mut outcomes = [0.0; OUTCOMES];
        let mut hind = hindfoot(self.chains, class);
        let mut left: f64 = ready.iter().sum();
        for (cast_visit, chance) in ready.iter().enumerate() {
            if cast_visit > 0 || self.next == Next::AfterCast {
                step(self.tables, class, &mut hind);
            }
            if left < 1e-9 {
                break;
            }
            left -= chance;
            let cells = cells(&hind, &self.tables.kernel.given, [None; 3]);
            let cut = weigh(&cells, &self.tenotomy.mean);
            outcomes[2 * cast_visit] = chance * (1.0 - cut);
            outcomes[2 * cast_visit + 1] = chance * cut;
            for (into, cell) in written[cast_visit].iter_mut().flatten().zip(cells.iter().flatten()) {
                *into += weight * chance * cell;
            }
        }
        outcomes
    }
}

/// One cast to come on the hindfoot.
pub(crate) fn step(tables: &Tables, class: usize, hind: &mut [Levels; 3]) {
    let steps = &tables.kernel.steps[class % PACE.len()];
    let slip = tables.kernel.parameters.cast_slip;
    for (levels, step) in hind.iter_mut().zip(&steps[3..]) {
        let moved = after(levels, step);
        for (level, next) in levels.iter_mut().zip(moved) {
            *level = (1.0 - slip) * next + slip * *level;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Visits with chances of 0.5, 0.3 and 0.2, cut in 0.2, 0.5 and 0.9 of them: 0.43 in all.
    #[test]
    fn a_tilt_gives_the_chance_and_leaves_the_visits() {
        let mut outcomes = [0.0; OUTCOMES];
        for (cast_visit, (chance, cut)) in [(0.5, 0.2), (0.3, 0.5), (0.2, 0.9)].into_iter().enumerate() {
            outcomes[2 * cast_visit] = chance * (1.0 - cut);
            outcomes[2 * cast_visit + 1] = chance * cut;
        }
        for wanted in [0.005, 0.1, 0.43, 0.8, 0.995] {
            let tilted = tilted(&outcomes, wanted);
            let cut: f64 = tilted.iter().skip(1).step_by(2).sum();
            assert!((cut - wanted).abs() < 1e-7, "{cut} for {wanted}");
            for (before, after) in by_visit(&outcomes).iter().zip(by_visit(&tilted)) {
                assert!((before - after).abs() < 1e-12);
            }
        }
    }
}
