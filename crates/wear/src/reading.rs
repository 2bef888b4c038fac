//! Wear of the brace from the temperature in the boot.
//!
//! # Model
//! A chain of two states, worn and not worn, seen through the temperature and through how fast it
//! changes. Worn, the boot is drawn toward a level near the skin's with one time constant; off, toward
//! the room's with another. Between two samples Δ apart the chain stays or changes as a Poisson process
//! with a rate each way would have it, and the temperature at the end is what the exponentials make of
//! the temperature at the start and of the moment of the change. So every step has a weight from each
//! state to each, and the forward and backward passes of [`statistics::hidden_markov::TwoStates`] give
//! the chance of each pair. It is an autoregressive hidden Markov model (Rabiner 1989, section IV.C)
//! over uneven steps.
//!
//! - **Levels** differ from spell to spell of four days (sensor drift, seasons) as a random walk; the
//!   room also swings with the hour. A short-lived deviation from a level is carried on, so that many
//!   samples of one warm afternoon do not count as many pieces of news.
//! - **The room from hour to hour** is learnt from the hours in which the boot is surely off, so that a room
//!   that grows warm by day is not taken for wear, and an hour far from any such one needs levels further
//!   apart to be judged.
//! - **The moment of a change** is taken from how far the temperature has come along the exponential;
//!   a short take-off (or putting-on) that lies wholly between two samples is weighed too.
//! - **Fitted to each series**: levels, swing, spreads, both time constants and both rates, from a first
//!   division of the histogram, then one round of expectation and maximisation with priors ([`Priors`]).
//! - **Undecidable** is what it says: where the two levels lie too close together for their spread and
//!   for how well they are known, the hours are not given to either state.
//!
//! # Warm is not worn
//! The chain finds when the boot was warm. Whether a foot made it warm is judged spell by spell (`spells`, `onset`,
//! `foot`): how fast the boot warmed beside how fast it cools, its level beside the child's own while worn, its
//! trend, spread and roughness, heat beyond that of a body, and how spells of a like level at a like hour began. A
//! spell that is not a foot with a chance of at least 90 % is undecided, and its day states the reason ([`crate::Doubt`]).
//! With a logger in each boot of a bar ([`WearReading::of_pair`]) a spell in which one boot stays cold is undecided.
//! Another child's foot looks the same: temperature cannot tell whose foot it is.
//!
//! Why the rate of change: a rule on it follows observed wear to minutes, while fixed thresholds of 25
//! and 29 °C miss by hours (10.2340/16501977-2494: camera 8.10 h a day, rate 8.16, 25 °C 8.86, 29 °C
//! 4.91; adults). No series from infants' boots is public; the model is tried on [`crate::simulated`] loggers.
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

/// What a logger's temperatures come to.
#[derive(Debug, Clone, PartialEq)]
pub struct WearReading {
    /// Every day asked for, in order.
    pub days: Vec<WornDay>,
    /// The fitted model; `None` where there were too few samples for one.
    pub model: Option<WearModel>,
    /// What a reader should know.
    pub notes: Vec<WearNote>,
}

/// Below so many samples nothing is fitted.
const LEAST_SAMPLES: usize = 24;

/// Samples further apart than this show less well how a boot warms, seconds.
const COARSE_S: f64 = 20.0 * 60.0;

/// Room for so many steps is kept for the next series.
const KEPT_STEPS: usize = 120_000;

thread_local! {
    /// The room of the last series of this thread: three megabytes a year that need not be asked for again.
    /// What stands in it is written over before it is read.
    static KEPT: Cell<Passes> = Cell::default();
}

impl WearReading {
    /// Worn and not worn, day by day. Samples outside −30 to 60 °C or not a number count as missing, and
    /// so do samples that do not come after the one before them.
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

    /// As [`WearReading::of`] and [`WearReading::of_pair`] with other priors.
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
        let mut passes = KEPT.take();
        if split.changes == 0 && (steps.room.is_empty() || split.threshold_c == f64::INFINITY) {
            // One level, so nothing to learn of the other: all one state, judged where that can be.
            passes.all_in(usize::from(split.threshold_c < 0.0), steps.at_s.len() - 1);
        } else {
            physics.smooth::<false>(&steps, &levels, &mut passes);
            levels.learn(&steps, &physics, &passes.chain, priors);
            physics.learn(&steps, &levels, &passes.chain, priors);
            physics.smooth::<true>(&steps, &levels, &mut passes);
        }
        let mut spells = Self::spells(&steps, &physics, &passes);
        if let Some(other) = other_boot {
            pair::doubt_lone(&steps, &levels, other, &mut spells.judged);
        }
        let reading = Self::summed(&steps, &split, &levels, &physics, &passes, &spells, days);
        if steps.at_s.len() <= KEPT_STEPS {
            KEPT.set(passes);
        }
        reading
    }
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
        // Always warm without a room beside it: worn, or lying in a warm room. Nobody can say.
        let one_warm = split.changes == 0 && split.threshold_c < 0.0 && steps.room.is_empty();
        let days = days::sum(steps, levels, passes, &spells.judged, days, one_warm);
        let notes = words::notes(steps, split, &model, spells.foot_seen || one_warm, &days);
        Self { days, model: Some(model), notes }
    }
}

impl WearReading {
    /// The warm spells, each judged. Where something else than a foot is warm now and then, the spells are cut more
    /// finely.
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
