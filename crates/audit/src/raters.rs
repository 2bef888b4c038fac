//! Agreement of raters: two people score the same feet, each without seeing the other's score.
//!
//! Signs are compared by linearly weighted kappa (three ordered categories), totals by quadratically weighted
//! kappa, the intraclass correlation ICC(2,1) and limits of agreement (Bland and Altman). Two feet of one
//! child are scored by the same two people at the same time and are not independent: intervals come from
//! resampling children, not feet (percentile bootstrap, Efron and Tibshirani 1993; 1,000 resamples from a
//! generator with a fixed seed, so that the same pairs give the same interval).

use crate::{
    ScoredTwice,
    figure::Estimate,
    ratio::{Ratio, RatioPair, difference},
    resample::{RatingPair, ResampledAgreement, draws, percentiles},
    words,
};
pub use crate::{history::RaterScore, resample::FEWEST_CHILDREN};
use rayon::prelude::*;
use record::{Day, Sign, sentence};
use serde::{Serialize, Serializer};
use statistics::agreement::{Icc, Weights, bland_altman, kappa};
use std::collections::BTreeMap;

/// A foot scored twice, with a number for its child; its raters are numbers.
pub type NumberedPair = (u32, ScoredTwice<u16>);

/// An item on which raters are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RatedItem {
    /// One of the six signs.
    Sign(Sign),
    /// Midfoot contracture score.
    Midfoot,
    /// Hindfoot contracture score.
    Hindfoot,
    /// Pirani total.
    Total,
    /// Dimeglio total.
    Dimeglio,
}

impl RatedItem {
    /// Every item.
    pub const ALL: [Self; 10] = [
        Self::Sign(Sign::LateralBorder),
        Self::Sign(Sign::MedialCrease),
        Self::Sign(Sign::TalarHead),
        Self::Sign(Sign::PosteriorCrease),
        Self::Sign(Sign::RigidEquinus),
        Self::Sign(Sign::EmptyHeel),
        Self::Midfoot,
        Self::Hindfoot,
        Self::Total,
        Self::Dimeglio,
    ];

    /// Its key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Sign(Sign::LateralBorder) => "lateral-border",
            Self::Sign(Sign::MedialCrease) => "medial-crease",
            Self::Sign(Sign::TalarHead) => "talar-head",
            Self::Sign(Sign::PosteriorCrease) => "posterior-crease",
            Self::Sign(Sign::RigidEquinus) => "rigid-equinus",
            Self::Sign(Sign::EmptyHeel) => "empty-heel",
            Self::Midfoot => "midfoot",
            Self::Hindfoot => "hindfoot",
            Self::Total => "total",
            Self::Dimeglio => "dimeglio",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Sign(Sign::LateralBorder) => "curve of the lateral border",
            Self::Sign(Sign::MedialCrease) => "medial crease",
            Self::Sign(Sign::TalarHead) => "lateral head of the talus",
            Self::Sign(Sign::PosteriorCrease) => "posterior crease",
            Self::Sign(Sign::RigidEquinus) => "rigid equinus",
            Self::Sign(Sign::EmptyHeel) => "empty heel",
            Self::Midfoot => "midfoot contracture score",
            Self::Hindfoot => "hindfoot contracture score",
            Self::Total => "Pirani total",
            Self::Dimeglio => "Dimeglio total",
        }
    }

    /// The number of ordered categories.
    const fn categories(self) -> usize {
        match self {
            Self::Midfoot | Self::Hindfoot => 7,
            Self::Total => 13,
            Self::Dimeglio => 21,
            _ => 3,
        }
    }

    /// Points per step of the item.
    const fn step(self) -> f64 {
        if matches!(self, Self::Dimeglio) { 1.0 } else { 0.5 }
    }

    /// Whether it is a sum of signs, for which means and differences are meaningful.
    #[must_use]
    pub const fn is_total(self) -> bool {
        self.categories() > 3
    }

    pub(crate) fn of(self, scored: &RaterScore) -> Option<u8> {
        let sum = |signs: &[Option<u8>]| signs.iter().copied().sum::<Option<u8>>();
        match self {
            Self::Total => scored.total.or_else(|| sum(&scored.signs)),
            Self::Dimeglio => scored.dimeglio,
            Self::Midfoot => sum(&scored.signs[..3]),
            Self::Hindfoot => sum(&scored.signs[3..]),
            Self::Sign(sign) => scored.signs[sign as usize],
        }
    }

    /// Published agreement between two raters; unweighted kappa unless stated otherwise.
    #[must_use]
    pub const fn published(self) -> &'static str {
        match self {
            Self::Sign(Sign::LateralBorder) => {
                "kappa 0.54 (91 feet, Shaheen), above 0.60 (56 feet), 0.44 (35 feet, over one year old)"
            }
            Self::Sign(Sign::MedialCrease) => {
                "kappa 0.57 (91 feet, Shaheen), 0.28 (35 feet, over one year old)"
            }
            Self::Sign(Sign::TalarHead) => "kappa 0.56 (91 feet, Shaheen), 0.55 (35 feet, over one year old)",
            Self::Sign(Sign::PosteriorCrease) => {
                "kappa 0.61 (91 feet, Shaheen), 0.34 (35 feet, over one year old)"
            }
            Self::Sign(Sign::RigidEquinus) => {
                "kappa 0.51 (91 feet, Shaheen), above 0.60 (56 feet), 0.48 (35 feet, over one year old)"
            }
            Self::Sign(Sign::EmptyHeel) => "kappa 0.72 (91 feet, Shaheen), 0.40 (35 feet, over one year old)",
            Self::Midfoot => "kappa 0.50 (91 feet, Shaheen)",
            Self::Hindfoot => "kappa 0.54 (91 feet, Shaheen), 0.48 (92 feet, Jillani 2014)",
            Self::Total => {
                "kappa 0.50 (91 feet, Shaheen), 0.31 with r 0.91 (56 feet, 10.1302/1863-2548.13.190010), 0.354 (92 feet, Jillani 2014), 0.30 (35 feet, over one year old); r 0.89, mean gap 0.65 (411 feet, Cosma 2015)"
            }
            Self::Dimeglio => {
                "kappa 0.23 with r 0.87 (56 feet, 10.1302/1863-2548.13.190010); r 0.85, mean gap 1.11 (411 feet, Cosma 2015)"
            }
        }
    }
}

impl Serialize for RatedItem {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}

/// Agreement on one item.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ItemAgreement {
    /// Which.
    pub item: RatedItem,
    /// Feet for which both raters scored it.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Share of feet for which both gave the same score.
    pub same: Option<f64>,
    /// Kappa: weighted linearly for a sign, quadratically for a score.
    pub kappa: Option<Estimate>,
    /// Unweighted kappa, the form most often published.
    pub plain_kappa: Option<Estimate>,
    /// ICC(2,1), for sums only.
    pub icc: Option<Estimate>,
    /// Limits of agreement, between which 95 % of differences lie, in points; for sums only.
    pub limits: Option<(Estimate, Estimate)>,
    /// Feet still to be scored twice until kappa is known to within [`USEFUL`] on either side; 0 if it is
    /// already, `None` if there is no interval to calculate from.
    pub still_needed: Option<usize>,
    /// Mean of the two scores and their difference (first minus second) for every foot, in points; for sums
    /// only.
    pub differences: Vec<DifferencePoint>,
    /// Why there is no kappa.
    pub why_none: Option<String>,
}

/// Feet with the same pair of values.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DifferencePoint {
    /// Mean of the two, in points.
    pub mean: f64,
    /// First minus second, in points.
    pub difference: f64,
    /// Number of feet.
    pub feet: usize,
    /// Number of children.
    pub children: usize,
}

/// How one rater compares with the others.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RaterLine {
    /// Index of the rater.
    pub rater: u16,
    /// Feet also scored by another rater.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Mean of the rater's total minus the other's, in points.
    pub bias: Estimate,
    /// Change of the bias in the year up to the as-of day compared with the time before, with its p value.
    pub drift: Option<(Estimate, f64)>,
    /// Feet needed in each of the two periods to detect a change of half a point with a power of 80 %.
    pub needed: usize,
    /// The drift in a sentence.
    pub sentence: String,
}

/// Agreement of the raters of a clinic.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RaterAgreement {
    /// The as-of day.
    pub as_of: Day,
    /// The version of the program.
    pub version: &'static str,
    /// Feet scored twice.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// RatedItem by item.
    pub items: Vec<ItemAgreement>,
    /// Rater by rater.
    pub raters: Vec<RaterLine>,
}

/// An interval of kappa no wider than this on either side is called useful: it separates two of the
/// customary bands, which are 0.2 wide (0.00–0.20 poor to 0.61–0.80 substantial, as quoted in
/// 10.4103/0019-5413.197551, at second hand). Widths shrink with the square
/// root of the number of feet.
pub const USEFUL: f64 = 0.2;
/// The smallest change of a rater worth detecting, in points of the Pirani total.
const WORTH_FINDING: f64 = 0.5;

impl RaterAgreement {
    /// Agreement over pairs, each with a number for its child.
    #[must_use]
    pub fn of(pairs: &[NumberedPair], as_of: Day) -> Self {
        let mut pairs: Vec<NumberedPair> =
            pairs.iter().copied().filter(|(_, pair)| pair.on <= as_of).collect();
        pairs.sort_by_key(|(child, pair)| (*child, pair.on));
        let mut raters: Vec<u16> = pairs.iter().flat_map(|(_, pair)| pair.raters).collect();
        raters.sort_unstable();
        raters.dedup();
        Self {
            as_of,
            version: crate::VERSION,
            n: pairs.len(),
            children: families(&pairs).len(),
            items: RatedItem::ALL.par_iter().map(|item| of_item(*item, &pairs)).collect(),
            raters: raters.into_iter().filter_map(|rater| of_rater(rater, &pairs, as_of)).collect(),
        }
    }
}

/// The pairs of each child.
fn families(pairs: &[NumberedPair]) -> Vec<&[NumberedPair]> {
    pairs.chunk_by(|a, b| a.0 == b.0).collect()
}

fn values(item: RatedItem, pairs: &[NumberedPair]) -> Vec<RatingPair> {
    pairs
        .iter()
        .filter_map(|(_, pair)| Some((item.of(&pair.scores[0])?, item.of(&pair.scores[1])?)))
        .collect()
}

/// The pairs in which both scores have an item, with limits from resampling.
struct RatedPairs {
    item: RatedItem,
    scored: Vec<NumberedPair>,
    all: Vec<RatingPair>,
    children: usize,
    drawn: Vec<ResampledAgreement>,
}

impl RatedPairs {
    fn of(item: RatedItem, pairs: &[NumberedPair]) -> Self {
        let both = |(_, pair): &&NumberedPair| pair.scores.iter().all(|one| item.of(one).is_some());
        let scored: Vec<NumberedPair> = pairs.iter().filter(both).copied().collect();
        let groups: Vec<Vec<RatingPair>> =
            families(&scored).into_iter().map(|family| values(item, family)).collect();
        Self { item, scored, all: groups.concat(), children: groups.len(), drawn: draws(&groups) }
    }

    /// A value with the limits of its resamples.
    fn estimate(&self, value: Option<f64>, of: fn(&ResampledAgreement) -> Option<f64>) -> Option<Estimate> {
        let limits = percentiles(&self.drawn, of);
        value.map(|value| Estimate::new(value, limits))
    }

    fn weighted(&self, weights: Weights) -> Option<f64> {
        kappa_of(self.item, &self.all, weights).ok()
    }

    fn kappa(&self) -> Option<Estimate> {
        if self.item.is_total() {
            self.estimate(self.weighted(Weights::Quadratic), |drawn| drawn.quadratic)
        } else {
            self.estimate(self.weighted(Weights::Linear), |drawn| drawn.linear)
        }
    }

    /// The lower and the upper limit of agreement of a total.
    fn limits(&self) -> Option<(Estimate, Estimate)> {
        let item = self.item;
        let ends = limits_of(item, &self.all).filter(|_| item.is_total());
        // The resamples are in steps of the item, not in points.
        let points = |estimate: Estimate| Estimate {
            lower: estimate.lower.map(|low| item.step() * low),
            upper: estimate.upper.map(|high| item.step() * high),
            ..estimate
        };
        let low = self.estimate(ends.map(|ends| ends.0), |drawn| drawn.limits.map(|ends| ends.0));
        let high = self.estimate(ends.map(|ends| ends.1), |drawn| drawn.limits.map(|ends| ends.1));
        low.map(points).zip(high.map(points))
    }

    fn same(&self) -> Option<f64> {
        let same = self.all.iter().filter(|(one, other)| one == other).count();
        (!self.all.is_empty()).then(|| same as f64 / self.all.len() as f64)
    }
}

fn of_item(item: RatedItem, pairs: &[NumberedPair]) -> ItemAgreement {
    let rated = RatedPairs::of(item, pairs);
    let kappa = rated.kappa();
    let icc = icc_of(item, &rated.all).filter(|_| item.is_total());
    ItemAgreement {
        item,
        n: rated.all.len(),
        children: rated.children,
        same: rated.same(),
        still_needed: kappa.as_ref().and_then(|kappa| feet_until(kappa, rated.all.len(), USEFUL)),
        differences: if item.is_total() { differences(item, &rated.scored) } else { Vec::new() },
        kappa,
        plain_kappa: rated.estimate(rated.weighted(Weights::Identity), |drawn| drawn.plain),
        icc: rated.estimate(icc, |drawn| drawn.icc),
        limits: rated.limits(),
        why_none: kappa_of(item, &rated.all, Weights::Linear).err().map(|error| sentence(&error.to_string())),
    }
}

/// Feet still to be scored twice until the interval of kappa lies within a distance of it on either side, if future
/// feet are like the `n` so far: widths shrink with the square root of the number of feet. `None` without an interval
/// to calculate from.
#[must_use]
pub fn feet_until(kappa: &Estimate, n: usize, within: f64) -> Option<usize> {
    let half = (kappa.upper? - kappa.lower?) / 2.0;
    // If all pairs agree, the resamples have no spread and nothing can be extrapolated.
    (half > 0.0 && within > 0.0)
        .then(|| ((n as f64 * (half / within).powi(2)).ceil() as usize).saturating_sub(n))
}

fn differences(item: RatedItem, pairs: &[NumberedPair]) -> Vec<DifferencePoint> {
    let mut found: BTreeMap<RatingPair, (usize, Vec<u32>)> = BTreeMap::new();
    for (child, pair) in pairs {
        if let (Some(first), Some(second)) = (item.of(&pair.scores[0]), item.of(&pair.scores[1])) {
            let (feet, children) = found.entry((first, second)).or_default();
            *feet += 1;
            children.push(*child);
        }
    }
    let point = |((first, second), (feet, mut children)): (RatingPair, (usize, Vec<u32>))| {
        children.sort_unstable();
        children.dedup();
        let (first, second) = (points(item, first), points(item, second));
        let (mean, difference) = ((first + second) / 2.0, first - second);
        DifferencePoint { mean, difference, feet, children: children.len() }
    };
    found.into_iter().map(point).collect()
}

fn kappa_of(item: RatedItem, values: &[RatingPair], weights: Weights) -> Result<f64, statistics::StatError> {
    let one: Vec<u32> = values.iter().map(|(a, _)| u32::from(*a)).collect();
    let two: Vec<u32> = values.iter().map(|(_, b)| u32::from(*b)).collect();
    kappa(&one, &two, item.categories(), weights, 0.95).map(|found| found.kappa.value)
}

pub(crate) fn points(item: RatedItem, value: u8) -> f64 {
    item.step() * f64::from(value)
}

fn icc_of(item: RatedItem, values: &[RatingPair]) -> Option<f64> {
    let flat: Vec<f64> = values.iter().flat_map(|(a, b)| [points(item, *a), points(item, *b)]).collect();
    Icc::of(&flat, 2, 0.95).ok().map(|icc| icc.forms[1].value)
}

fn limits_of(item: RatedItem, values: &[RatingPair]) -> Option<(f64, f64)> {
    let one: Vec<f64> = values.iter().map(|(a, _)| points(item, *a)).collect();
    let two: Vec<f64> = values.iter().map(|(_, b)| points(item, *b)).collect();
    bland_altman(&one, &two, 0.95, 0.95).ok().map(|found| (found.lower.value, found.upper.value))
}

/// A rater's value minus the other's in points, with the child and the day.
pub(crate) type ItemDifference = (u32, Day, f64);

/// The differences of a rater from others on an item; pairs come child by child.
pub(crate) fn from_others(item: RatedItem, rater: u16, pairs: &[NumberedPair]) -> Vec<ItemDifference> {
    let difference = |(child, pair): &NumberedPair| {
        let own = pair.raters.iter().position(|one| *one == rater)?;
        let value = |place: usize| item.of(&pair.scores[place]).map(|value| points(item, value));
        (pair.raters[0] != pair.raters[1]).then_some(())?;
        Some((*child, pair.on, value(own)? - value(1 - own)?))
    };
    pairs.iter().filter_map(difference).collect()
}

fn of_rater(rater: u16, pairs: &[NumberedPair], as_of: Day) -> Option<RaterLine> {
    let differences = from_others(RatedItem::Total, rater, pairs);
    let mut ratio = Ratio::default();
    differences.iter().for_each(|(child, _, value)| ratio.add(*child, *value, 1.0));
    let ratio = ratio.done();
    let mean = ratio.value()?;
    let limits = ratio.mean_limits();
    let needed = needed_in_each_period(&differences, &ratio, mean);
    let is_late = |on: Day| as_of - on < 365;
    let late = differences.iter().filter(|one| is_late(one.1)).count();
    let drift = drift(&differences, is_late);
    let bias = Estimate::new(mean, limits);
    let sentence = drift_words(drift.as_ref(), (differences.len() - late, late), needed);
    Some(RaterLine { rater, n: ratio.n, children: ratio.children, bias, drift, needed, sentence })
}

/// Feet needed in each period. Two means of n each: n = 2 (1.96 + 0.8416)² sd²/δ², times the design effect of
/// two feet of a child; 0 if the differences have no spread.
fn needed_in_each_period(differences: &[ItemDifference], ratio: &Ratio, mean: f64) -> usize {
    let spread = differences.iter().map(|(_, _, value)| (value - mean).powi(2)).sum::<f64>();
    let sd = (spread / (ratio.n.saturating_sub(1)).max(1) as f64).sqrt();
    let needed = (2.0 * 2.801_6_f64.powi(2) * (sd / WORTH_FINDING).powi(2) * ratio.design_effect()).ceil();
    if sd > 0.0 { needed as usize } else { 0 }
}

/// The change between the earlier and the late differences, with its p.
fn drift(differences: &[ItemDifference], is_late: impl Fn(Day) -> bool) -> Option<(Estimate, f64)> {
    let half = |&(child, on, value): &ItemDifference| {
        let (first, second) =
            if is_late(on) { ((0.0, 0.0), (value, 1.0)) } else { ((value, 1.0), (0.0, 0.0)) };
        RatioPair { child, first, second }
    };
    let halves: Vec<RatioPair> = differences.iter().map(half).collect();
    let found = difference(&halves)?;
    let change = Estimate::new(found.value, Some((found.lower, found.upper)));
    Some((change, found.p))
}

fn drift_words(drift: Option<&(Estimate, f64)>, (before, late): (usize, usize), needed: usize) -> String {
    let Some((by, p)) = drift else {
        return format!(
            "Too few scores to show whether this rater has drifted: {late} feet in the last twelve months, {before} before; about {needed} feet in each period would detect a change of half a point with a power of 80 %."
        );
    };
    let number = words::number;
    let direction = if by.value > 0.0 { "higher" } else { "lower" };
    let drifted = format!(
        "In the last twelve months this rater scored {} points {direction} relative to the others than before (95 % confidence interval {} to {}; {})",
        number(by.value.abs()),
        number(by.lower.unwrap_or(by.value)),
        number(by.upper.unwrap_or(by.value)),
        words::probability(*p)
    );
    let verdict = if *p < 0.01 {
        "more than chance explains".to_owned()
    } else if before.min(late) < needed {
        format!(
            "no more than chance explains, but detecting half a point would need {needed} feet in each period, and there are {before} and {late}"
        )
    } else {
        "no more than chance explains".to_owned()
    };
    format!("{drifted}: {verdict}.")
}
