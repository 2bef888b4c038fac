//! Windows that mean what they say in this clinic: recalibration by what its own past forecasts did.
//!
//! # Method
//!
//! A forecast of a day is a distribution *F*. When the day *y* is known, the forecast leaves a mark: the
//! interval from *F*(*y* − 1) to *F*(*y*), over which the unit weight of the mark is spread evenly (the
//! non-randomised probability integral transform of Czado, Gneiting & Held 2009, cited from memory). If
//! forecasts mean what they say, marks spread evenly from 0 to 1. Where they do not, the sum of marks of past
//! forecasts, *G*, tells how, and the recalibrated distribution is *G*(*F*(·)): its share below any day is
//! the share of past outcomes that fell as low in their own forecasts. This is a conformal predictive
//! distribution with *F*(*y*) as the score (Vovk, Shen, Manokhin & Xie 2017; cited from memory), smoothed
//! so that it exists from the first foot on.
//!
//! - *By stage.* There is a *G* for each thing forecast and each stage: how many sittings have been, feet
//!   unlike the published ones, feet that wait, feet in the cast after a tenotomy. Feet that are still in
//!   casts after many sittings are the slow ones, so that these get a *G* of their own.
//! - *Little past.* *G* of a stage is drawn to that of all stages, and this to a first guess whose tails are
//!   heavier than even (`GUESS`): a program in a clinic that it does not know must expect to be wrong
//!   more often than it says. Both pulls are prior counts.
//! - *Forgetting.* Each new mark takes a little of the weight of the older ones of its *G*, so that a clinic
//!   that changes is followed.
//! - *Beyond the end.* A map of shares cannot put weight where *F* has none. Before it, each forecast is
//!   mixed with a little of itself at half the speed (`SLOWER`).
//!
//! # Level
//!
//! Days are lumpy, stages are few, marks of one foot hang together. What is left of misses is taken up by the
//! level at which a window is cut, online: after a window that held the day the level falls by
//! `RATE` × (1 − nominal), after one that did not it rises by `RATE` × nominal (adaptive conformal inference,
//! Gibbs & Candès 2021, cited from memory). Summed up, the level can only have moved as far as the count of
//! misses differs from what it should be; as long as it stays within its bounds, the share of misses among
//! *n* windows therefore differs from the nominal by at most the width of the bounds / (`RATE` × *n*),
//! whatever the clinic does.
//!
//! # Online
//!
//! Marks come only from forecasts made again from what was known before the outcome, by a clinic that had
//! learned only from what was known before that day ([`crate::past`]), and count only once the outcome is
//! known.

use super::pit::{Map, Marks};
use crate::whole_days::HORIZON;

/// Nominal shares of the windows.
pub(crate) const NOMINAL: [f64; 2] = [0.5, 0.9];
/// By how much one window moves the level.
const RATE: f64 = 0.003;
/// Least and greatest level of each window.
const BOUNDS: [(f64, f64); 2] = [(0.3, 0.75), (0.75, 0.985)];
/// Weight of the first guess in marks; assumed.
const GUESS_MARKS: f64 = 40.0;
/// Weight of all stages in the map of one, in marks; assumed.
const STAGE_MARKS: f64 = 25.0;
/// Marks after which an older one has lost two thirds of its weight: of all stages, of one; assumed.
const MEMORY: [f64; 2] = [600.0, 300.0];
/// Weight of a forecast at half the speed; assumed.
const SLOWER: f64 = 0.02;

/// What is forecast as a distribution.
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
    /// Whether the outcome is known once it is known whether the cord was cut; the others wait for the brace.
    pub(crate) const fn by_decision(self) -> bool {
        matches!(self, Self::Ready | Self::Tenotomy | Self::Correcting)
    }
}

/// Stage of a foot, as far as its forecasts may err in another way.
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
    /// Of a foot in casts, after so many sittings.
    pub(crate) const fn in_casts(sittings: usize, unlike: bool) -> Self {
        match sittings {
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

/// What became of one forecast.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Mark {
    pub(crate) target: Target,
    pub(crate) band: Band,
    /// Shares of the forecast below the outcome, and up to it.
    pub(crate) below: f64,
    pub(crate) upto: f64,
    /// Whether the windows of 50 and 90 % held it.
    pub(crate) held: [bool; 2],
}

/// Windows of one kind, and how many of them held.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    pub(crate) windows: usize,
    pub(crate) held: [usize; 2],
}

/// What is known of one thing forecast.
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
    /// Forecasts are right for certain, and stay as they are.
    certain: bool,
}

/// The maps worked out, for forecasting.
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

    /// A foot of which some outcomes are now known.
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
    /// The forecast as marks are taken from it: with a little of itself at half the speed.
    pub(crate) fn widened(&self, chances: &[f64]) -> Vec<f64> {
        if self.maps.is_none() { chances.to_vec() } else { with_slower(chances) }
    }

    /// A widened forecast as the clinic's past has it.
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

/// Mixes in the same at half the speed: an outcome after *n* comes after 2 *n* or 2 *n* + 1.
fn with_slower(chances: &[f64]) -> Vec<f64> {
    let last = chances.len().saturating_sub(1).min(HORIZON / 2);
    let mut mixed = vec![0.0; chances.len().max(2 * last + 2)];
    for (number, chance) in chances.iter().enumerate() {
        mixed[number] += (1.0 - SLOWER) * chance;
        let twice = 2 * number.min(last);
        // What is certain now stays so.
        let spread = if number == 0 { [0, 0] } else { [twice, twice + 1] };
        for late in spread {
            mixed[late] += 0.5 * SLOWER * chance;
        }
    }
    mixed
}

/// Shares of a distribution below an outcome and up to it; the end of it is where all later ones lie.
pub(crate) fn shares(chances: &[f64], outcome: usize) -> (f64, f64) {
    let sum: f64 = chances.iter().sum();
    let below: f64 = chances.iter().take(outcome).sum();
    let here = chances.get(outcome).copied().unwrap_or(0.0);
    if sum > 0.0 { (below / sum, (below + here) / sum) } else { (0.0, 1.0) }
}
