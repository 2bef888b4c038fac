//! Invented boots near other sources of heat, with known truth.
//!
//! A plain generator that shares nothing with the model that reads its loggers, nor with
//! `wear::simulated`: heat flows in watts between a sensor, a lining, a shell, the foot and the
//! surroundings of the boot ([`boot`]); a child has habits ([`child`]); a source of heat is near the
//! boot at its own hours ([`sources`]).
//!
//! # Fixed before tuning
//! - [`Source::TUNED`] are the sources that the classifier may be tuned on; [`Source::UNSEEN`] (hot car, tent
//!   in the sun, airing cupboard, pet, boot warmer) are never used for tuning. [`Source::Sibling`] is reported
//!   separately. The electric blanket was unseen at first; when it became one for tuning, airing cupboard, pet and
//!   boot warmer were added before anything was changed for it.
//! - Tuning reads the loggers of [`TUNING_SEED`], the tables those of [`REPORTING_SEED`].
//! - [`FILES`] loggers of [`DAYS`] days for each source, each sampled every 5, 10, 15, 30 and 60 minutes.
//!
//! No series from infants' boots is public. Every figure is assumed unless a line names a source.

// The tests and the example that prints the table each use a part.
#![allow(dead_code)]

pub mod boot;
pub mod child;
pub mod sources;
pub mod tally;

use rand::{RngExt, SeedableRng, rngs::StdRng};
use rand_distr::{Distribution, Normal};
use record::Day;
use wear::{DaySpan, Temperatures};

/// Loggers of each source.
pub const FILES: u64 = 8;
/// Days of each logger; 8 × 28 = 224 days of each source and sampling.
pub const DAYS: usize = 28;
/// Minutes from sample to sample.
pub const SAMPLINGS_MIN: [f64; 5] = [5.0, 10.0, 15.0, 30.0, 60.0];
/// First seed of the loggers for tuning.
pub const TUNING_SEED: u64 = 1_000;
/// First seed of the loggers of the tables.
pub const REPORTING_SEED: u64 = 900_000;

pub const DAY_MIN: usize = 1440;

/// A source of heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Source {
    /// Nothing but the foot: several rooms and habits.
    Ordinary,
    /// Nothing at all: the boot is never worn.
    NeverWorn,
    /// The boot lies under the blanket next to the child.
    Blanket,
    /// The boot stands on a window sill in the sun.
    Sun,
    /// The boot lies on or next to a radiator.
    Radiator,
    /// The boot is washed in warm water, and now and then dried by a machine.
    Wash,
    /// The boot lies in bed next to a hot-water bottle.
    HotWaterBottle,
    /// A fan heater blows at the boot.
    FanHeater,
    /// The boot is carried in a bag or sling close to a body.
    Carried,
    /// The boot lies under an electric blanket.
    ElectricBlanket,
    /// The boot stays in a parked car.
    Car,
    /// The boot lies in a tent in the sun.
    Tent,
    /// A sibling wears the boot at times. Temperature alone cannot tell.
    Sibling,
    /// The boot is stored in a cupboard with a hot-water cylinder.
    AiringCupboard,
    /// A cat or dog lies on the boot.
    Pet,
    /// An electric warmer dries the boot from inside.
    BootWarmer,
}

impl Source {
    /// Sources that the classifier may be tuned on.
    pub const TUNED: [Self; 10] = [
        Self::Ordinary,
        Self::NeverWorn,
        Self::Blanket,
        Self::Sun,
        Self::Radiator,
        Self::Wash,
        Self::HotWaterBottle,
        Self::FanHeater,
        Self::Carried,
        Self::ElectricBlanket,
    ];
    /// Sources that were never looked at for tuning.
    pub const UNSEEN: [Self; 5] = [Self::Car, Self::Tent, Self::AiringCupboard, Self::Pet, Self::BootWarmer];

    /// Words of a table.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ordinary => "ordinary days",
            Self::NeverWorn => "never worn, nothing warm",
            Self::Blanket => "under the child's blanket",
            Self::Sun => "window sill in the sun",
            Self::Radiator => "radiator",
            Self::Wash => "warm wash and dryer",
            Self::HotWaterBottle => "hot-water bottle",
            Self::FanHeater => "fan heater",
            Self::Carried => "carried close to the body",
            Self::ElectricBlanket => "electric blanket",
            Self::Car => "parked car",
            Self::Tent => "tent in the sun",
            Self::Sibling => "worn by a sibling",
            Self::AiringCupboard => "airing cupboard",
            Self::Pet => "pet on the boot",
            Self::BootWarmer => "electric warmer in the boot",
        }
    }
}

/// A boot over some weeks, minute by minute.
#[derive(Debug, Clone)]
pub struct Boot {
    pub source: Source,
    /// What the sensor would show, °C.
    pub celsius: Vec<f64>,
    /// A second boot on the same bar.
    pub other: Vec<f64>,
    /// Whether the child wore it.
    pub worn: Vec<bool>,
    seed: u64,
}

/// A logger's samples with the truth.
#[derive(Debug, Clone)]
pub struct Sampled {
    pub at_s: Vec<i64>,
    pub celsius: Vec<f64>,
    pub other: Vec<f64>,
    pub days: Vec<DaySpan>,
    pub worn_hours: Vec<f64>,
}

impl Boot {
    /// The boot that a source and a seed give.
    pub fn of(source: Source, seed: u64) -> Self {
        let mut rng = StdRng::seed_from_u64(seed ^ ((source as u64 + 1) << 32));
        let minutes = DAYS * DAY_MIN;
        let home = child::Home::draw(source, seed, &mut rng);
        let life = child::Life::of(&home, minutes, &mut rng);
        let mut around = child::around(&home, &life, minutes, &mut rng);
        sources::lay(source, &home, &life, &mut around, &mut rng);
        let also = match source {
            Source::Sibling => sources::sibling(home.habit, minutes, &mut rng),
            _ => Vec::new(),
        };
        let foot = child::foot(&home, &life, &also, &mut rng);
        let [celsius, other] = boot::warm(&around, &foot, &mut rng);
        Self { source, celsius, other, worn: life.worn, seed }
    }

    /// The samples of a logger with this many minutes between them.
    pub fn sampled(&self, minutes: f64) -> Sampled {
        let mut rng = StdRng::seed_from_u64(self.seed.wrapping_mul(31) ^ minutes as u64);
        let offset = rng.random_range(-0.4..0.4);
        let (mut at_s, mut celsius, mut other) = (Vec::new(), Vec::new(), Vec::new());
        let mut at = rng.random_range(0.0..minutes);
        // One in four sensors shows half degrees, the others sixteenths.
        let per_degree = if self.seed.is_multiple_of(4) { 2.0 } else { 16.0 };
        while (at as usize) < self.celsius.len() {
            let minute = at as usize;
            let mut read = |celsius: f64| {
                let read: f64 = celsius + offset + normal(&mut rng, 0.06);
                (read * per_degree).round() / per_degree
            };
            at_s.push((at * 60.0) as i64);
            celsius.push(read(self.celsius[minute]));
            other.push(read(self.other[minute]));
            at += minutes;
        }
        let span = |day: usize| DaySpan {
            day: Day::from_number(20_000 + day as i32),
            from_s: (day * 86_400) as i64,
            until_s: ((day + 1) * 86_400) as i64,
        };
        let hours = |day: &[bool]| day.iter().filter(|worn| **worn).count() as f64 / 60.0;
        let worn_hours = self.worn.chunks(DAY_MIN).map(hours).collect();
        Sampled { at_s, celsius, other, days: (0..DAYS).map(span).collect(), worn_hours }
    }
}

impl Sampled {
    pub fn boot(&self) -> Temperatures<'_> {
        Temperatures { at_s: &self.at_s, celsius: &self.celsius }
    }

    pub fn other_boot(&self) -> Temperatures<'_> {
        Temperatures { at_s: &self.at_s, celsius: &self.other }
    }
}

/// A draw from a normal curve about zero.
pub fn normal(rng: &mut StdRng, sd: f64) -> f64 {
    Normal::new(0.0, sd).map_or(0.0, |curve| curve.sample(rng))
}

/// One minute of a value that returns to zero with this time constant, minutes, and has this SD in the long run.
pub fn wander(rng: &mut StdRng, value: f64, sd: f64, minutes: f64) -> f64 {
    value - value / minutes + normal(rng, sd * (2.0 / minutes).sqrt())
}
