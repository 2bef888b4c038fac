//! Published against simulated: every figure the evidence prints that the model can answer.
//!
//! For each figure the paper's clinic is simulated, many cohorts of the paper's own size are drawn from
//! its children, and the figure is worked out in each as the paper did. The spread of those cohorts is
//! the sampling error; the published value is inside where it lies in their central 95 %. A figure of
//! one centre of which nothing else is known is worked out in clinics drawn from the spread of habits,
//! a fresh one for each cohort. Some sources contradict each other: what does not fit is listed as not
//! fitting, with the reason.

mod arrival_figures;
mod bracing_figures;
mod casting_figures;
mod clinics;
mod figures;
mod rows;
mod score_figures;
mod table;
mod tenotomy_figures;

use super::chance::Chance;
use super::{HabitSpread, ModelError, Parameters};
use clinics::Clinic;
use rayon::prelude::*;
use rows::{FootRow, Row};
use serde::Serialize;
use std::collections::BTreeMap;

pub use table::markdown;

/// Cohorts drawn for each figure.
pub const COHORTS: usize = 1_000;

/// Children simulated for each of the papers' clinics, where nobody asks for another number.
pub const CHILDREN: u32 = 3_000;

/// What a paper printed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Published {
    /// One value.
    Value(f64),
    /// A range, from several papers or a confidence interval: the simulated mean should lie within.
    Range(f64, f64),
}

/// A published figure and what the model says of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// The heading it stands under.
    pub group: &'static str,
    /// What it is.
    pub figure: &'static str,
    /// Its unit, or nothing.
    pub unit: &'static str,
    /// As published.
    pub published: Published,
    /// Feet or children it was worked out from.
    pub n: usize,
    /// Where it was published.
    pub source: &'static str,
    /// What has to be known to judge the comparison.
    pub note: &'static str,
    /// Why the model may miss it: where it does, this is what is said.
    pub why: &'static str,
    /// Whether the parameters were fitted to it, or it is a check.
    pub fitted: bool,
    /// One of the figures that the model must reproduce.
    pub named: bool,
    /// Mean over simulated cohorts of this size.
    pub simulated: f64,
    /// Lower end of the central 95 %.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Standard deviation over the cohorts: the sampling error.
    pub sd: f64,
    /// Whether the published value lies within.
    pub inside: bool,
}

/// How a figure is worked out, and over what.
#[derive(Clone, Copy)]
enum Measure {
    /// Over so many feet of which the first function holds.
    Feet(fn(&FootRow) -> bool, fn(&[&FootRow]) -> f64),
    /// Over children.
    Children(fn(&[&Row]) -> f64),
    /// Over so many feet of one clinic drawn from the spread of habits.
    Centre(fn(&[&FootRow]) -> f64),
    /// Over whole clinics drawn from the spread of habits: of each the first, then over them the second.
    Clinics(fn(&[&FootRow]) -> f64, fn(&[f64]) -> f64),
}

/// One figure to compare.
#[derive(Clone, Copy)]
struct Figure {
    group: &'static str,
    figure: &'static str,
    unit: &'static str,
    published: Published,
    n: usize,
    source: &'static str,
    note: &'static str,
    why: &'static str,
    fitted: bool,
    named: bool,
    clinic: Clinic,
    measure: Measure,
}

impl Figure {
    /// A figure of which nothing is said yet, for the tables to begin from.
    const BLANK: Self = Self {
        group: "",
        figure: "",
        unit: "",
        published: Published::Value(f64::NAN),
        n: 0,
        source: "",
        note: "",
        why: "",
        fitted: false,
        named: false,
        clinic: Clinic::Any,
        measure: Measure::Feet(any, |_| f64::NAN),
    };
}

/// Compares every published figure with simulated cohorts of its size.
///
/// `children` are simulated for each of the papers' clinics; cohorts are drawn from them.
///
/// # Errors
/// When there is nobody to simulate or a parameter is out of range.
pub fn compare(
    parameters: &Parameters,
    spread: &HabitSpread,
    children: usize,
    seed: u64,
) -> Result<Vec<Comparison>, ModelError> {
    compare_some(parameters, spread, children, COHORTS, seed, |_| true)
}

/// As [`compare`], for the figures that the parameters are fitted to, with so many cohorts each: for
/// the fitting program.
///
/// # Errors
/// As [`compare`].
pub fn compare_fitted(
    parameters: &Parameters,
    spread: &HabitSpread,
    (children, cohorts): (usize, usize),
    seed: u64,
    group: impl Fn(&str) -> bool,
) -> Result<Vec<Comparison>, ModelError> {
    let wanted = |figure: &Figure| figure.fitted && group(figure.group);
    compare_some(parameters, spread, children, cohorts, seed, wanted)
}

/// How far off the simulated means are, in standard deviations of the cohorts: squares summed, but
/// growing in proportion beyond three, since some papers contradict each other (Huber's loss).
#[must_use]
pub fn misfit(comparisons: &[Comparison]) -> f64 {
    let one = |row: &Comparison| {
        let off = match row.published {
            Published::Value(value) => (row.simulated - value) / row.sd.max(1e-6),
            Published::Range(low, high) => {
                (row.simulated - row.simulated.clamp(low, high)) / row.sd.max(1e-6)
            }
        };
        let off = off.abs();
        if off.is_nan() {
            100.0
        } else if off <= 3.0 {
            off * off
        } else {
            6.0 * off - 9.0
        }
    };
    comparisons.iter().map(one).sum()
}

/// As [`compare`], for the figures of which `wanted` holds, with fewer cohorts.
fn compare_some(
    parameters: &Parameters,
    spread: &HabitSpread,
    children: usize,
    cohorts: usize,
    seed: u64,
    wanted: impl Fn(&Figure) -> bool,
) -> Result<Vec<Comparison>, ModelError> {
    let figures: Vec<Figure> = figures().into_iter().filter(|figure| wanted(figure)).collect();
    let needed =
        Clinic::ALL.into_iter().filter(|clinic| figures.iter().any(|figure| figure.clinic == *clinic));
    let mut pools = BTreeMap::new();
    for clinic in needed {
        pools.insert(clinic, clinic.rows(parameters, children, seed)?);
    }
    let over_clinics = |figure: &Figure| matches!(figure.measure, Measure::Clinics(..) | Measure::Centre(_));
    let drawn =
        if figures.iter().any(over_clinics) { clinics::drawn(parameters, spread, seed)? } else { Vec::new() };
    let one = |(number, figure): (usize, &Figure)| {
        let mut chance = Chance::of(seed ^ 0xC0_4047, number as u64);
        let pool = pools.get(&figure.clinic).map_or(&[][..], Vec::as_slice);
        let draw = |_| figure.drawn(pool, &drawn, &mut chance);
        figure.judged((0..cohorts).map(draw).collect())
    };
    Ok(figures.par_iter().enumerate().map(one).collect())
}

fn figures() -> Vec<Figure> {
    [
        arrival_figures::figures(),
        score_figures::figures(),
        casting_figures::figures(),
        tenotomy_figures::figures(),
        bracing_figures::figures(),
    ]
    .concat()
}

impl Figure {
    /// The figure in one cohort drawn from the pool, children whole, with replacement.
    fn drawn(&self, pool: &[Row], clinics: &[Vec<FootRow>], chance: &mut Chance) -> f64 {
        let mut one = || pool.get((chance.unit() * pool.len() as f64) as usize);
        match self.measure {
            Measure::Children(figure) => {
                let children: Vec<&Row> = (0..self.n).filter_map(|_| one()).collect();
                figure(&children)
            }
            Measure::Feet(holds, figure) => {
                let most = 400 * self.n;
                let drawn = (0..most).filter_map(|_| one());
                let feet = drawn.flat_map(|row| &row.feet).filter(|foot| holds(foot));
                let feet: Vec<&FootRow> = feet.take(self.n).collect();
                if feet.len() < self.n { f64::NAN } else { figure(&feet) }
            }
            Measure::Centre(figure) => {
                let Some(clinic) = any_of(clinics, chance) else { return f64::NAN };
                let feet: Vec<&FootRow> = (0..self.n).filter_map(|_| any_of(clinic, chance)).collect();
                figure(&feet)
            }
            Measure::Clinics(of_one, figure) => {
                let drawn = (0..self.n).filter_map(|_| any_of(clinics, chance));
                let values = drawn.map(|feet| of_one(&feet.iter().collect::<Vec<_>>()));
                figure(&values.collect::<Vec<f64>>())
            }
        }
    }

    fn judged(&self, mut values: Vec<f64>) -> Comparison {
        values.retain(|value| value.is_finite());
        values.sort_by(f64::total_cmp);
        let at = |share: f64| {
            let index = (share * (values.len() as f64 - 1.0)).round().max(0.0) as usize;
            values.get(index).copied().unwrap_or(f64::NAN)
        };
        let simulated = figures::mean(values.iter().copied());
        let (low, high) = (at(0.025), at(0.975));
        let inside = match self.published {
            Published::Value(value) => (low..=high).contains(&value),
            Published::Range(from, to) => (from..=to).contains(&simulated),
        };
        let Self { group, figure, unit, published, n, source, note, why, fitted, named, .. } = *self;
        let sd = figures::sd(values.iter().copied());
        Comparison {
            group,
            figure,
            unit,
            published,
            n,
            source,
            note,
            why,
            fitted,
            named,
            simulated,
            low,
            high,
            sd,
            inside,
        }
    }
}

/// One of them by chance.
fn any_of<'a, T>(of: &'a [T], chance: &mut Chance) -> Option<&'a T> {
    of.get((chance.unit() * of.len() as f64) as usize)
}

/// Any foot.
const fn any(_: &FootRow) -> bool {
    true
}
