//! Calibrated windows: recalibration by the results of the clinic's own past forecasts.
//!
//! # Method
//!
//! A forecast of a day is a distribution *F*. When the day *y* is known, the forecast leaves a mark: the
//! interval from *F*(*y* − 1) to *F*(*y*), over which the unit weight of the mark is spread evenly (the
//! non-randomised probability integral transform of Czado, Gneiting & Held 2009, cited from memory). If
//! forecasts are calibrated, marks are uniform from 0 to 1. If not, the sum of the marks of past forecasts is
//! another distribution *G*, and the recalibrated distribution is *G*(*F*(·)): its share below any day is
//! the share of past outcomes that were as early in their own forecasts. This is a conformal predictive
//! distribution with *F*(*y*) as the score (Vovk, Shen, Manokhin & Xie 2017; cited from memory), smoothed
//! so that it exists from the first foot on.
//!
//! - *By stage.* There is a *G* for each target and each stage: the number of visits so far, feet unlike
//!   the published ones, feet that wait, feet in the cast after a tenotomy. Feet still in casts after many
//!   visits are slow feet, so they have a *G* of their own.
//! - *Short past.* *G* of a stage is shrunk to that of all stages, and this to a prior with heavier than
//!   uniform tails (`Map::guess`), because forecasts in an unknown clinic are wrong more often than they
//!   state. Both priors have the form of counts.
//! - *Forgetting.* Each new mark reduces the weight of the older ones of its *G* a little, so that *G* follows
//!   a clinic that changes.
//! - *Beyond the end.* The map cannot give weight to days for which *F* has none. Before it, each forecast is
//!   therefore mixed with a small share of itself at half the speed (`SLOWER`).
//!
//! # Level
//!
//! Days are discrete, marks per stage are few, and marks of one foot are correlated. The nominal level at
//! which a window is cut corrects the remaining error online: after a window that contained the day the level
//! falls by `RATE` × (1 − nominal), after one that did not it rises by `RATE` × nominal (adaptive conformal
//! inference, Gibbs & Candès 2021, cited from memory). In sum the level can only move as far as the number of
//! misses differs from the nominal one. As long as it stays within its bounds, the share of misses among
//! *n* windows therefore differs from the nominal share by at most the width of the bounds / (`RATE` × *n*),
//! for any clinic.
//!
//! # Online
//!
//! Marks come only from forecasts made again from what was known before the outcome, by a clinic that had
//! learned only from what was known before that day (`past`), and count only when the outcome is known.

use super::pit::{Map, Marks};
use crate::whole_days::HORIZON;

/// Nominal shares of the windows.
pub(crate) const NOMINAL: [f64; 2] = [0.5, 0.9];
/// The step of the level after one window.
const RATE: f64 = 0.003;
/// Smallest and largest level of each window.
const BOUNDS: [(f64, f64); 2] = [(0.3, 0.75), (0.75, 0.985)];
/// Weight of the prior in marks; assumed.
const GUESS_MARKS: f64 = 40.0;
/// Weight of all stages in the map of one, in marks; assumed.
const STAGE_MARKS: f64 = 25.0;
/// The number of marks after which an older one has lost two thirds of its weight: of all stages, of one; assumed.
const MEMORY: [f64; 2] = [600.0, 300.0];
/// Weight of the forecast at half the speed; assumed.
const SLOWER: f64 = 0.02;

/// The targets that are forecast as a distribution.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Target {
    Ready,
    Tenotomy,
    Brace,
    Casts,
    Correcting,
}

const TARGETS: usize = 5;

impl Target {
    /// Whether the outcome is known with the decision on tenotomy; the others are known with the brace.
    pub(crate) const fn by_decision(self) -> bool {
        matches!(self, Self::Ready | Self::Tenotomy | Self::Correcting)
    }
}

/// The stages of a foot whose forecasts may have different errors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Band {
    First,
    OneSitting,
    FewSittings,
    ManySittings,
    Slow,
    VerySlow,
    Unlike,
    Ready,
    TenotomyCast,
}

const BANDS: usize = 9;

impl Band {
    /// The stage of a foot in casts, after a number of visits.
    pub(crate) const fn in_casts(cast_visits: usize, unlike: bool) -> Self {
        match cast_visits {
            0 => Self::First,
            _ if unlike => Self::Unlike,
            1 => Self::OneSitting,
            2..=3 => Self::FewSittings,
            4..=6 => Self::ManySittings,
            7..=9 => Self::Slow,
            _ => Self::VerySlow,
        }
    }
}

/// The place of an outcome in its forecast.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Mark {
    pub(crate) target: Target,
    pub(crate) band: Band,
    /// Shares of the forecast below the outcome, and up to and including it.
    pub(crate) below: f64,
    pub(crate) upto: f64,
    /// Whether the windows of 50 and 90 % contained it.
    pub(crate) held: [bool; 2],
}

/// The number of windows of one kind, and of those that contained the outcome.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    pub(crate) windows: usize,
    pub(crate) held: [usize; 2],
}

/// The marks and levels of one target.
#[derive(Debug, Clone)]
struct OfTarget {
    all: Marks,
    bands: [Marks; BANDS],
    levels: [f64; 2],
    tallies: [Tally; BANDS],
}

/// The past of every window of the clinic.
#[derive(Debug, Clone)]
pub(crate) struct Calibration {
    targets: [OfTarget; TARGETS],
    /// Forecasts are certain and are not changed.
    certain: bool,
}

/// The maps for forecasting.
#[derive(Debug)]
pub(crate) struct Recalibration {
    maps: Option<Vec<Map>>,
    levels: [[f64; 2]; TARGETS],
    tallies: [[Tally; BANDS]; TARGETS],
}

impl Calibration {
    pub(crate) fn new() -> Self {
        let target = || OfTarget {
            all: Marks::default(),
            bands: std::array::from_fn(|_| Marks::default()),
            levels: NOMINAL,
            tallies: [Tally::default(); BANDS],
        };
        Self { targets: std::array::from_fn(|_| target()), certain: false }
    }

    pub(crate) fn certain() -> Self {
        Self { certain: true, ..Self::new() }
    }

    /// Learns from a foot with some known outcomes.
    pub(crate) fn learn(&mut self, foot: &[Mark], known: impl Fn(Target) -> bool) {
        for mark in foot.iter().filter(|mark| known(mark.target)) {
            self.targets[mark.target as usize].learn(mark);
        }
    }

    pub(crate) fn recalibration(&self) -> Recalibration {
        let maps = self.targets.iter().flat_map(OfTarget::maps);
        Recalibration {
            maps: (!self.certain).then(|| maps.collect()),
            levels: std::array::from_fn(|target| self.targets[target].levels),
            tallies: std::array::from_fn(|target| self.targets[target].tallies),
        }
    }
}

impl OfTarget {
    fn learn(&mut self, mark: &Mark) {
        let band = mark.band as usize;
        self.all.learn(mark.below, mark.upto, MEMORY[0]);
        self.bands[band].learn(mark.below, mark.upto, MEMORY[1]);
        let tally = &mut self.tallies[band];
        tally.windows += 1;
        for size in 0..2 {
            tally.held[size] += usize::from(mark.held[size]);
            let error = NOMINAL[size] - f64::from(u8::from(mark.held[size]));
            let (least, most) = BOUNDS[size];
            self.levels[size] = RATE.mul_add(error, self.levels[size]).clamp(least, most);
        }
    }

    fn maps(&self) -> impl Iterator<Item = Map> + '_ {
        let all = self.all.over(&Map::guess(), GUESS_MARKS);
        self.bands.iter().map(move |band| band.over(&all, STAGE_MARKS))
    }
}

impl Recalibration {
    /// The forecast before the map: mixed with a small share of itself at half the speed.
    pub(crate) fn widened(&self, chances: &[f64]) -> Vec<f64> {
        if self.maps.is_none() { chances.to_vec() } else { with_slower(chances) }
    }

    /// Recalibrates a widened forecast by the clinic's past.
    pub(crate) fn map(&self, target: Target, band: Band, widened: &mut [f64]) {
        if let Some(map) =
            self.maps.as_ref().and_then(|maps| maps.get(target as usize * BANDS + band as usize))
        {
            map.apply(widened);
        }
    }

    pub(crate) const fn levels(&self, target: Target) -> [f64; 2] {
        self.levels[target as usize]
    }

    pub(crate) const fn tally(&self, target: Target, band: Band) -> Tally {
        self.tallies[target as usize][band as usize]
    }
}

/// Mixes in the same forecast at half the speed: an outcome after *n* days is then after 2 *n* or 2 *n* + 1.
fn with_slower(chances: &[f64]) -> Vec<f64> {
    let last = chances.len().saturating_sub(1).min(HORIZON / 2);
    let mut mixed = vec![0.0; chances.len().max(2 * last + 2)];
    for (number, chance) in chances.iter().enumerate() {
        mixed[number] += (1.0 - SLOWER) * chance;
        let twice = 2 * number.min(last);
        // An outcome on the day itself stays there.
        let spread = if number == 0 { [0, 0] } else { [twice, twice + 1] };
        for late in spread {
            mixed[late] += 0.5 * SLOWER * chance;
        }
    }
    mixed
}

/// Shares of a distribution below an outcome and up to it; later outcomes lie at its end.
pub(crate) fn shares(chances: &[f64], outcome: usize) -> (f64, f64) {
    let sum: f64 = chances.iter().sum();
    let below: f64 = chances.iter().take(outcome).sum();
    let here = chances.get(outcome).copied().unwrap_or(0.0);
    if sum > 0.0 { (below / sum, (below + here) / sum) } else { (0.0, 1.0) }
}
