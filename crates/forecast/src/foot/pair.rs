//! Two feet of one child, both in casts: their visits are on the same days, their classes are correlated,
//! and the brace waits for both.

use super::casting::{
    Casting, add_shifted, apart, dates, factors, own_counts, pooled, with_opinions, written,
};
use super::now::ChildNow;
use super::outcomes::{OUTCOMES, Outcomes, by_visit};
use super::tables::Tables;
use crate::learning::{AtVisit, Opinions, VISITS};
use crate::natural_history::classes::CLASSES;
use crate::whole_days::{Days, add, visits_and_waits};

/// Joint chances of the outcomes, and for each foot the effect of the clinic's own counts and the experts' opinions.
pub(crate) struct Pair {
    chances: Vec<[f64; OUTCOMES]>,
    factors: [AtVisit; 2],
    opinions: [Opinions; 2],
}

/// The joint chances of the outcomes of two feet.
pub(crate) fn joint(
    tables: &Tables,
    now: &ChildNow<'_>,
    outcomes: [&Outcomes; 2],
    weights: &[[f64; CLASSES]],
) -> Pair {
    let mut chances = vec![[0.0; OUTCOMES]; OUTCOMES];
    for (class, first) in outcomes[0].classes.iter().zip(&outcomes[0].by_class) {
        let mut given = [0.0; OUTCOMES];
        for (other, second) in outcomes[1].classes.iter().zip(&outcomes[1].by_class) {
            let weight = weights[*class][*other];
            if weight > 1e-9 {
                given.iter_mut().zip(second).for_each(|(into, chance)| *into += weight * chance);
            }
        }
        for (row, chance) in chances.iter_mut().zip(first).filter(|(_, chance)| **chance > 1e-9) {
            row.iter_mut().zip(&given).for_each(|(cell, other)| *cell += chance * other);
        }
    }
    scale_all(&mut chances);
    let factors = pool(&mut chances, [0, 1].map(|foot| own_counts(tables, &now.feet[foot])));
    let alone = alone(&chances);
    let both = [0, 1].map(|foot| with_opinions(tables, now, &now.feet[foot], &alone[foot]));
    let wanted = [both[0].1, both[1].1];
    if wanted != alone {
        fit(&mut chances, &wanted, CUT_ROUNDS);
    }
    Pair { chances, factors, opinions: [both[0].0, both[1].0] }
}

/// Weight of independent feet in the mixture, so that no visit that the clinic has counted is impossible.
const APART: f64 = 1e-4;
/// Rounds of fitting the joint to the forecasts of each foot: of visits, and of the chance of a tenotomy alone.
const ROUNDS: usize = 4;
const CUT_ROUNDS: usize = 2;

fn scale_all(chances: &mut [[f64; OUTCOMES]]) {
    let sum: f64 = chances.iter().flatten().sum();
    if sum > 0.0 {
        chances.iter_mut().flatten().for_each(|cell| *cell /= sum);
    }
}

/// Mixes in the clinic's own counts of each foot; returns the factors by which each visit becomes more or less
/// likely.
fn pool(chances: &mut [[f64; OUTCOMES]], own: [Option<(AtVisit, f64)>; 2]) -> [AtVisit; 2] {
    if own.iter().all(Option::is_none) {
        return [[1.0; VISITS]; 2];
    }
    let signs = alone(chances);
    let wanted = [0, 1].map(|foot| pooled(&signs[foot], own[foot]));
    for (row, first) in chances.iter_mut().zip(&wanted[0]) {
        for (cell, second) in row.iter_mut().zip(&wanted[1]) {
            *cell = (1.0 - APART) * *cell + APART * first * second;
        }
    }
    fit(chances, &wanted, ROUNDS);
    let alone = alone(chances);
    [0, 1].map(|foot| factors(&alone[foot], &signs[foot]))
}

/// Fits the joint to the wanted chances of each foot in turn (Deming & Stephan 1940), which preserves as much of the
/// correlation of the feet as possible.
fn fit(chances: &mut [[f64; OUTCOMES]], wanted: &[[f64; OUTCOMES]; 2], rounds: usize) {
    for _ in 0..rounds {
        for (foot, wanted) in wanted.iter().enumerate() {
            let now = alone(chances)[foot];
            let ratio: [f64; OUTCOMES] =
                std::array::from_fn(|n| if now[n] > 0.0 { wanted[n] / now[n] } else { 0.0 });
            for (row, of_row) in chances.iter_mut().zip(&ratio) {
                if foot == 0 {
                    row.iter_mut().for_each(|cell| *cell *= of_row);
                } else {
                    row.iter_mut().zip(&ratio).for_each(|(cell, ratio)| *cell *= ratio);
                }
            }
        }
    }
    scale_all(chances);
}

/// The outcomes of each foot alone.
fn alone(chances: &[[f64; OUTCOMES]]) -> [[f64; OUTCOMES]; 2] {
    let mut both = [[0.0; OUTCOMES]; 2];
    for (number, row) in chances.iter().enumerate() {
        both[0][number] = row.iter().sum();
        both[1].iter_mut().zip(row).for_each(|(into, cell)| *into += cell);
    }
    both
}

impl Pair {
    /// Chances of 0, 1, 2 … more visits with a correcting cast on either foot, and the chance of a tenotomy of either.
    pub(crate) fn places(&self) -> (Days, f64) {
        let (mut visits, mut cut) = (vec![0.0; VISITS], 0.0);
        for (one, row) in self.chances.iter().enumerate() {
            for (other, chance) in row.iter().enumerate() {
                visits[(one / 2).max(other / 2)] += chance;
                cut += if one % 2 + other % 2 > 0 { *chance } else { 0.0 };
            }
        }
        (visits, cut)
    }
}

/// The forecasts of both feet.
pub(crate) fn forecast(
    tables: &Tables,
    now: &ChildNow<'_>,
    outcomes: [&Outcomes; 2],
    pair: &Pair,
) -> Vec<Option<Casting>> {
    let (brace, casts) = together(tables, now, pair);
    let feet = alone(&pair.chances).into_iter().zip(outcomes).zip(pair.factors).zip(pair.opinions).zip(casts);
    feet.map(|((((mixed, outcomes), factor), opinions), casts)| {
        let (ready, tenotomy_days) = dates(tables, now, &mixed);
        Some(Casting {
            written: Some(written(outcomes, &factor)),
            opinions: Some(opinions),
            tenotomy: Some(mixed.iter().skip(1).step_by(2).sum()),
            ready: Some(ready),
            tenotomy_days,
            brace: brace.clone(),
            casts,
            correcting: by_visit(&mixed).to_vec(),
            overdue: now.overdue,
        })
    })
    .collect()
}

/// The day of the brace, and the casts of each foot until then.
fn together(tables: &Tables, now: &ChildNow<'_>, pair: &Pair) -> (Days, [Days; 2]) {
    let mut braces = vec![Days::new(); VISITS];
    let mut casts = [Days::new(), Days::new()];
    let after = &tables.after;
    for (one, row) in pair.chances.iter().enumerate() {
        for (other, chance) in row.iter().enumerate().filter(|(_, chance)| **chance > 1e-9) {
            let swapped = other / 2 < one / 2;
            let (first, last) = if swapped { (other, one) } else { (one, other) };
            let gap = apart(first / 2, last / 2);
            let (cut_first, cut_last) = (first % 2, last % 2);
            add(&mut braces[first / 2], &after.both[cut_first][cut_last][gap], *chance);
            let of_first = &after.casts_first[cut_first][cut_last][gap];
            let of_last = &after.casts_last[cut_first][cut_last][gap];
            let (place_first, place_last) = if swapped { (1, 0) } else { (0, 1) };
            add_shifted(&mut casts[place_first], of_first, first / 2, *chance);
            add_shifted(&mut casts[place_last], of_last, last / 2, *chance);
        }
    }
    (visits_and_waits(&braces, &now.first, &tables.interval_brief), casts)
}
