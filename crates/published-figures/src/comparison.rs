//! Published against simulated.
//!
//! For each figure the paper's clinic is simulated, many cohorts of the paper's own size are drawn from
//! its children, and the figure is worked out in each as the paper did. The spread of those cohorts is
//! the sampling error; the published value is inside where it lies in their central 95 %. A figure of
//! one centre of which nothing else is known is worked out in clinics drawn from the spread of habits,
//! a fresh one for each cohort. Some sources contradict each other: what does not fit is listed as not
//! fitting, with the reason.

use super::clinics::{self, Clinic};
use super::figure::{Figure, FigureRole, FiguresError, Published, figures};
use super::measures::Measure;
use super::rows::{FootRow, Row};
use super::sums::{mean, sd};
use forecast::natural_history::{HabitSpread, Parameters};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Cohorts drawn for each figure.
pub const COHORTS: usize = 1_000;

/// Children simulated for each of the papers' clinics, where nobody asks for another number.
pub const CHILDREN: u32 = 3_000;

/// A published figure and what the model says of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureComparison {
    /// The heading it stands under.
    pub group: String,
    /// What it is.
    pub figure: String,
    /// Its unit, or nothing.
    pub unit: String,
    /// As published.
    pub published: Published,
    /// Feet or children it was worked out from.
    pub n: usize,
    /// Where it was published.
    pub source: String,
    /// What has to be known to judge the comparison.
    pub note: String,
    /// Why the model may miss it: where it does, this is what is said.
    pub why: String,
    /// What it was used for.
    pub role: FigureRole,
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

/// Compares every published figure with simulated cohorts of its size.
///
/// `children` are simulated for each of the papers' clinics; cohorts are drawn from them.
///
/// # Errors
/// When the data file cannot be read, there is nobody to simulate or a parameter is out of range.
pub fn compare(
    parameters: &Parameters,
    spread: &HabitSpread,
    children: usize,
    seed: u64,
) -> Result<Vec<FigureComparison>, FiguresError> {
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
) -> Result<Vec<FigureComparison>, FiguresError> {
    let wanted = |figure: &Figure| figure.role == FigureRole::Fitted && group(&figure.group);
    compare_some(parameters, spread, children, cohorts, seed, wanted)
}

/// How far off the simulated means are, in standard deviations of the cohorts: squares summed, but
/// growing in proportion beyond three, since some papers contradict each other (Huber's loss).
#[must_use]
pub fn misfit(comparisons: &[FigureComparison]) -> f64 {
    let one = |row: &FigureComparison| {
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
) -> Result<Vec<FigureComparison>, FiguresError> {
    let figures: Vec<Figure> = figures()?.into_iter().filter(|figure| wanted(figure)).collect();
    let needed =
        Clinic::ALL.into_iter().filter(|clinic| figures.iter().any(|figure| figure.clinic == *clinic));
    let mut pools = BTreeMap::new();
    for clinic in needed {
        pools.insert(clinic, clinic.rows(parameters, children, seed)?);
    }
    let over_clinics = |figure: &Figure| matches!(figure.measure, Measure::Centres(..) | Measure::Centre(_));
    let drawn =
        if figures.iter().any(over_clinics) { clinics::drawn(parameters, spread, seed)? } else { Vec::new() };
    let one = |(number, figure): (usize, &Figure)| {
        let mut chance = Draws::of(seed ^ 0xC0_4047, number as u64);
        let pool = pools.get(&figure.clinic).map_or(&[][..], Vec::as_slice);
        let draw = |_| figure.drawn(pool, &drawn, &mut chance);
        figure.judged((0..cohorts).map(draw).collect())
    };
    Ok(figures.par_iter().enumerate().map(one).collect())
}

/// Draws of one figure's cohorts.
struct Draws(StdRng);

impl Draws {
    fn of(seed: u64, number: u64) -> Self {
        // Weyl step, so that neighbouring figures share no draws.
        Self(StdRng::seed_from_u64(seed ^ number.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15)))
    }

    fn unit(&mut self) -> f64 {
        self.0.random()
    }

    /// One of them by chance.
    fn any_of<'a, T>(&mut self, of: &'a [T]) -> Option<&'a T> {
        of.get((self.unit() * of.len() as f64) as usize)
    }
}

impl Figure {
    /// The figure in one cohort drawn from the pool, children whole, with replacement.
    fn drawn(&self, pool: &[Row], clinics: &[Vec<FootRow>], draws: &mut Draws) -> f64 {
        match self.measure {
            Measure::Children(measure) => {
                let children: Vec<&Row> = (0..self.n).filter_map(|_| draws.any_of(pool)).collect();
                measure.of(&children)
            }
            Measure::Feet(among, measure) => {
                let most = 400 * self.n;
                let drawn = (0..most).filter_map(|_| draws.any_of(pool));
                let feet = drawn.flat_map(|row| &row.feet);
                let feet = feet.filter(|foot| among.is_none_or(|condition| condition.holds(foot)));
                let feet: Vec<&FootRow> = feet.take(self.n).collect();
                if feet.len() < self.n { f64::NAN } else { measure.of(&feet) }
            }
            Measure::Centre(measure) => {
                let Some(clinic) = draws.any_of(clinics) else { return f64::NAN };
                let feet: Vec<&FootRow> = (0..self.n).filter_map(|_| draws.any_of(clinic)).collect();
                measure.of(&feet)
            }
            Measure::Centres(of_one, over) => {
                let drawn = (0..self.n).filter_map(|_| draws.any_of(clinics));
                let values = drawn.map(|feet| of_one.of(&feet.iter().collect::<Vec<_>>()));
                over.of(&values.collect::<Vec<f64>>())
            }
        }
    }

    fn judged(&self, mut values: Vec<f64>) -> FigureComparison {
        values.retain(|value| value.is_finite());
        values.sort_by(f64::total_cmp);
        let at = |share: f64| {
            let index = (share * (values.len() as f64 - 1.0)).round().max(0.0) as usize;
            values.get(index).copied().unwrap_or(f64::NAN)
        };
        let simulated = mean(values.iter().copied());
        let (low, high) = (at(0.025), at(0.975));
        let inside = match self.published {
            Published::Value(value) => (low..=high).contains(&value),
            Published::Range(from, to) => (from..=to).contains(&simulated),
        };
        let figure = self.clone();
        FigureComparison {
            group: figure.group,
            figure: figure.figure,
            unit: figure.unit,
            published: figure.published,
            n: figure.n,
            source: figure.source,
            note: figure.note,
            why: figure.why,
            role: figure.role,
            named: figure.named,
            simulated,
            low,
            high,
            sd: sd(values.iter().copied()),
            inside,
        }
    }
}
