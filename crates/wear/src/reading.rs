//! Wear of the brace from the temperature in the boot.
//!
//! # Model
//! A chain of two states, worn and not worn, observed through the temperature and how fast it changes.
//! While worn, the boot approaches a level near that of the skin with one time constant; while off, the
//! level of the room with another. Between two samples the chain stays or changes by a Poisson process
//! with a rate in each direction. The temperature at the end follows by the exponentials from the
//! temperature at the start and the moment of the change. Each step thus has a weight for each pair of
//! states, and the forward and backward passes of [`statistics::hidden_markov::TwoStates`] give the chance
//! of each pair. It is an autoregressive hidden Markov model (Rabiner 1989, section IV.C) over uneven steps.
//!
//! - **Levels** differ between spells of four days (sensor drift, seasons) as a random walk; the room also
//!   swings with the hour. A short-lived deviation from a level is carried over to the next samples, so that
//!   many samples of one warm afternoon do not count as independent observations.
//! - **The room from hour to hour** is learned from the hours in which the boot is surely off, so that a room
//!   that warms by day is not mistaken for wear, and an hour far from any such one needs levels further
//!   apart to be judged.
//! - **The moment of a change** is estimated from how far the temperature has come along the exponential;
//!   a short take-off (or putting-on) between two samples is considered too.
//! - **Fitted to each series**: levels, swing, spreads, both time constants and both rates, from a first
//!   division of the histogram, then one round of expectation and maximisation with priors
//!   ([`Priors`](crate::Priors)).
//! - **Undecided**: if the two levels are too close together for their spread and uncertainty, the hours
//!   count for neither state.
//!
//! # Warm is not worn
//! The chain finds when the boot was warm. Whether a foot warmed it is judged spell by spell (`spells`, `onset`,
//! `foot`): how fast the boot warmed compared with how fast it cools, its level compared with the child's own while
//! worn, its trend, spread and roughness, heat beyond that of a body, and how spells of a similar level at a similar
//! hour began. A spell whose chance of a foot is below 90 % is undecided, and its day states the reason
//! ([`crate::Doubt`]). With a logger in each boot of a bar ([`WearReading::of_pair`]) a spell in which one boot stays
//! cold is undecided. Another child's foot looks the same: temperature cannot tell whose foot it is.
//!
//! Why the rate of change: a rule on it agrees with observed wear to minutes, while fixed thresholds of 25
//! and 29 °C are wrong by hours (10.2340/16501977-2494: camera 8.10 h a day, rate 8.16, 25 °C 8.86, 29 °C
//! 4.91; adults). No series from infants' boots is public; the model is tested on [`crate::simulated`] loggers.
//!
//! Start reading at [`WearReading::of`].

use super::levels::Levels;
use super::passes::Passes;
use super::physics::Physics;
use super::priors::Priors;
use super::split::{self, Split};
use super::steps::Steps;
use super::{DaySpan, Temperatures, WearModel, WearNote, WornDay, days, foot, pair, spells, words};
use std::cell::Cell;

/// The wear read from a logger's temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct WearReading {
    /// Every requested day, in order.
    pub days: Vec<WornDay>,
    /// The fitted model; `None` if there were too few samples for one.
    pub model: Option<WearModel>,
    /// Notes for the reader.
    pub notes: Vec<WearNote>,
}

/// The smallest number of samples to which a model is fitted.
const LEAST_SAMPLES: usize = 24;

/// Samples further apart than this do not show well how a boot warms, seconds.
const COARSE_S: f64 = 20.0 * 60.0;

/// The largest series, in steps, whose memory is reused for the next one.
const REUSED_STEPS: usize = 120_000;

thread_local! {
    /// The memory of the last series of this thread: three megabytes a year that need not be allocated again.
    /// Its values are overwritten before they are read.
    static REUSED: Cell<Passes> = Cell::default();
}

impl WearReading {
    /// Worn and not worn, day by day. Samples outside −30 to 60 °C, samples that are not a number and samples
    /// that are not later than the one before count as missing.
    #[must_use]
    pub fn of(boot: Temperatures<'_>, room: Option<Temperatures<'_>>, days: &[DaySpan]) -> Self {
        Self::with(boot, room, None, days, &Priors::default())
    }

    /// As [`WearReading::of`], with a second logger in the other boot of the same bar. A spell in which only one of
    /// the two boots is warm is undecided.
    #[must_use]
    pub fn of_pair(
        boot: Temperatures<'_>,
        other_boot: Temperatures<'_>,
        room: Option<Temperatures<'_>>,
        days: &[DaySpan],
    ) -> Self {
        Self::with(boot, room, Some(other_boot), days, &Priors::default())
    }

    /// As [`WearReading::of`] and [`WearReading::of_pair`], with other priors.
    #[must_use]
    pub fn with(
        boot: Temperatures<'_>,
        room: Option<Temperatures<'_>>,
        other_boot: Option<Temperatures<'_>>,
        days: &[DaySpan],
        priors: &Priors,
    ) -> Self {
        let steps = Steps::of(boot, room, days);
        if steps.at_s.len() < LEAST_SAMPLES {
            let days = days.iter().map(|span| WornDay::missing(*span)).collect();
            return Self { days, model: None, notes: vec![WearNote::TooFewSamples(steps.at_s.len())] };
        }
        let split = split::split(&steps);
        let mut levels = Levels::start(&steps, &split, priors);
        let mut physics = Physics::start(priors);
        let mut passes = REUSED.take();
        fit(&steps, &split, &mut levels, &mut physics, &mut passes, priors);
        let mut spells = Self::spells(&steps, &physics, &passes);
        if let Some(other) = other_boot {
            pair::doubt_lone(&steps, &levels, other, &mut spells.judged);
        }
        let reading = Self::summed(&steps, &split, &levels, &physics, &passes, &spells, days);
        if steps.at_s.len() <= REUSED_STEPS {
            REUSED.set(passes);
        }
        reading
    }
}

/// One round of expectation and maximisation, with the chances of the states in `passes`.
fn fit(
    steps: &Steps,
    split: &Split,
    levels: &mut Levels,
    physics: &mut Physics,
    passes: &mut Passes,
    priors: &Priors,
) {
    if split.changes == 0 && (steps.room.is_empty() || split.threshold_c == f64::INFINITY) {
        // There is one level and nothing to learn of the other: every step is in one state, judged if possible.
        return passes.all_in(usize::from(split.threshold_c < 0.0), steps.at_s.len() - 1);
    }
    physics.smooth::<false>(steps, levels, passes);
    levels.learn(steps, physics, &passes.chain, priors);
    physics.learn(steps, levels, &passes.chain, priors);
    physics.smooth::<true>(steps, levels, passes);
}

impl WearReading {
    fn summed(
        steps: &Steps,
        split: &Split,
        levels: &Levels,
        physics: &Physics,
        passes: &Passes,
        spells: &foot::Spells,
        days: &[DaySpan],
    ) -> Self {
        let model = WearModel::of(steps, levels, physics, &passes.chain, split.changes);
        // Always warm without a room sensor: worn, or in a warm room. This cannot be decided.
        let one_warm = split.changes == 0 && split.threshold_c < 0.0 && steps.room.is_empty();
        let days = days::sum(steps, levels, passes, &spells.judged, days, one_warm);
        let notes = words::notes(steps, split, &model, spells.foot_seen || one_warm, &days);
        Self { days, model: Some(model), notes }
    }
}

impl WearReading {
    /// The warm spells, each judged. In a file with other sources of heat the spells are divided more finely.
    fn spells(steps: &Steps, physics: &Physics, passes: &Passes) -> foot::Spells {
        let [alone, mixed] = spells::OTHER_LEVEL_C;
        let found = |apart_c| spells::find(steps, &passes.chain, physics.cooling_s, apart_c);
        let coarse = steps.sampling_s > COARSE_S;
        let spells = foot::judge(&found(alone), coarse, None);
        if spells.others > foot::MIXED {
            foot::judge(&found(mixed), coarse, Some(spells.others))
        } else {
            spells
        }
    }
}
