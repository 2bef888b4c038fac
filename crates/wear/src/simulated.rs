//! Invented loggers with known truth, to test the model.
//!
//! They are not drawn from the model that reads them: the boot has a lining and a slower shell behind
//! it, the skin is warmer by night, the worn level depends on the room, the room has weather, a daily
//! swing and short gusts, and each logger has its own time constants and a sensor that drifts and rounds.
//! Temperatures are simulated minute by minute and sampled afterwards. Figures are judgement, as are the
//! priors of the model; no series from infants' boots is public.

use super::{DaySpan, Temperatures};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use rand_distr::{Distribution, Normal};
use record::Day;
use std::f64::consts::TAU;

/// What a family does with the brace.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Habit {
    /// On for 23 hours, off for bath and stretching.
    FullTime,
    /// Nights and a nap.
    Nights,
    /// Nights, some of them missed or ended early.
    Broken,
    /// Never.
    Never,
}

/// The settings of a logger and its surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setup {
    /// Days.
    pub days: usize,
    /// Minutes between samples.
    pub sampling_min: f64,
    /// Mean temperature of the room, °C.
    pub room_c: f64,
    /// Half the daily swing, °C.
    pub swing_c: f64,
    /// What the family does.
    pub habit: Habit,
    /// Drift of the sensor over the whole time, °C.
    pub drift_c: f64,
    /// Share of the time lost in gaps of some hours.
    pub gaps: f64,
    /// Whether samples come at uneven times.
    pub uneven: bool,
}

/// A logger with the truth.
#[derive(Debug, Clone, PartialEq)]
pub struct Logger {
    /// Seconds from the first midnight.
    pub at_s: Vec<i64>,
    /// Temperatures of the boot, °C.
    pub celsius: Vec<f64>,
    /// Temperatures of a room sensor at the same times, °C.
    pub room: Vec<f64>,
    /// The days.
    pub days: Vec<DaySpan>,
    /// Hours truly worn on each day.
    pub worn_hours: Vec<f64>,
    /// Whether it was worn, minute by minute.
    pub worn: Vec<bool>,
}

const DAY_MIN: usize = 1440;

impl Setup {
    /// An ordinary logger: a month in a room of 21 °C, a sample every 10 minutes.
    #[must_use]
    pub const fn ordinary() -> Self {
        Self {
            days: 28,
            sampling_min: 10.0,
            room_c: 21.0,
            swing_c: 1.5,
            habit: Habit::Nights,
            drift_c: 0.5,
            gaps: 0.01,
            uneven: false,
        }
    }

    /// The logger of a seed.
    #[must_use]
    pub fn logger(&self, seed: u64) -> Logger {
        let mut rng = StdRng::seed_from_u64(seed);
        let minutes = self.days * DAY_MIN;
        let worn = self.wear(&mut rng, minutes);
        let room = self.room(&mut rng, minutes);
        let boot = self.boot(&mut rng, &worn, &room);
        let hours = |day: &[bool]| day.iter().filter(|worn| **worn).count() as f64 / 60.0;
        let mut logger = Logger {
            at_s: Vec::new(),
            celsius: Vec::new(),
            room: Vec::new(),
            days: (0..self.days).map(span).collect(),
            worn_hours: worn.chunks(DAY_MIN).map(hours).collect(),
            worn,
        };
        self.sample(&mut rng, &boot, &room, &mut logger);
        logger
    }

    /// Whether the boot is worn, minute by minute.
    fn wear(&self, rng: &mut StdRng, minutes: usize) -> Vec<bool> {
        let mut worn = vec![self.habit == Habit::FullTime; minutes];
        let mut set = |from: f64, until: f64, on: bool| {
            let (from, until) = (from.max(0.0) as usize, (until.max(0.0) as usize).min(minutes));
            worn.get_mut(from..until.max(from).min(minutes))
                .into_iter()
                .flatten()
                .for_each(|minute| *minute = on);
        };
        for day in 0..self.days + 1 {
            let start = (day * DAY_MIN) as f64;
            match self.habit {
                Habit::Never => {}
                Habit::FullTime => {
                    let bath = start + rng.random_range(1000.0..1160.0);
                    set(bath, bath + rng.random_range(20.0..70.0), false);
                    if rng.random_bool(0.4) {
                        let change = start + rng.random_range(400.0..900.0);
                        set(change, change + rng.random_range(8.0..35.0), false);
                    }
                }
                Habit::Nights | Habit::Broken => {
                    let broken = self.habit == Habit::Broken;
                    if !(broken && rng.random_bool(0.2)) {
                        let bed = start - rng.random_range(240.0..330.0);
                        let up = start + rng.random_range(370.0..460.0);
                        set(bed, up, true);
                        if broken && rng.random_bool(0.4) {
                            set(start + rng.random_range(30.0..300.0), up, false);
                        }
                        if rng.random_bool(0.15) {
                            let change = start + rng.random_range(0.0..300.0);
                            set(change, change + rng.random_range(10.0..25.0), false);
                        }
                    }
                    if rng.random_bool(if broken { 0.3 } else { 0.8 }) {
                        let nap = start + rng.random_range(740.0..840.0);
                        set(nap, nap + rng.random_range(60.0..140.0), true);
                    }
                }
            }
        }
        worn
    }

    fn room(&self, rng: &mut StdRng, minutes: usize) -> Vec<f64> {
        let unit = Normal::new(0.0, 1.0).ok();
        let mut draw = |sd: f64| unit.map_or(0.0, |unit| sd * unit.sample(rng));
        let (mut weather, mut gust) = (draw(1.0), 0.0);
        let peak = 15.0 + draw(0.7);
        let at = |minute: usize| {
            weather += draw(1.4 * (2.0_f64 / 4320.0).sqrt()) - weather / 4320.0;
            gust += draw(0.3 * (2.0_f64 / 40.0).sqrt()) - gust / 40.0;
            let hour = minute as f64 / 60.0;
            self.room_c + weather + gust + self.swing_c * (TAU * (hour - peak) / 24.0 + TAU / 4.0).sin()
        };
        (0..minutes).map(at).collect()
    }

    fn boot(&self, rng: &mut StdRng, worn: &[bool], room: &[f64]) -> Vec<f64> {
        let unit = Normal::new(0.0, 1.0).ok();
        let skin = 34.0 + rng.random_range(-0.8..0.8);
        let close = rng.random_range(0.82..0.95);
        let [warming, cooling] = [rng.random_range(6.0..13.0), rng.random_range(14.0..28.0)];
        let shell_share = rng.random_range(0.05..0.2);
        let mut lining = room.first().copied().unwrap_or(self.room_c);
        let (mut shell, mut sleep) = (lining, 0.0);
        let mut boot = Vec::with_capacity(worn.len());
        for (minute, (worn, room)) in worn.iter().zip(room).enumerate() {
            sleep += unit.map_or(0.0, |unit| unit.sample(rng)) * 0.5 * (2.0_f64 / 90.0).sqrt() - sleep / 90.0;
            let hour = minute as f64 / 60.0 % 24.0;
            let night = if !(7.0..20.0).contains(&hour) { 0.5 } else { 0.0 };
            let skin = skin + sleep + night;
            let (toward, constant) =
                if *worn { (room + close * (skin - room), warming) } else { (*room, cooling) };
            let toward = toward + shell_share * (shell - toward);
            lining += (toward - lining) / constant;
            shell += (lining - shell) / 45.0;
            boot.push(lining);
        }
        boot
    }

    fn sample(&self, rng: &mut StdRng, boot: &[f64], room: &[f64], logger: &mut Logger) {
        let unit = Normal::new(0.0, 1.0).ok();
        let offset = rng.random_range(-0.5..0.5);
        let mut silent_until = 0.0;
        let mut at = rng.random_range(0.0..self.sampling_min);
        while (at as usize) < boot.len() {
            let minute = at as usize;
            if at >= silent_until {
                let noise = unit.map_or(0.0, |unit| 0.08 * unit.sample(rng));
                let drift = self.drift_c * at / boot.len() as f64;
                let read = boot[minute] + offset + drift + noise;
                logger.at_s.push((at * 60.0) as i64);
                // A sensor of a sixteenth of a degree.
                logger.celsius.push((read * 16.0).round() / 16.0);
                logger.room.push(room[minute] + unit.map_or(0.0, |unit| 0.1 * unit.sample(rng)));
            }
            // Gaps of five hours on average.
            if rng.random_bool((self.gaps * self.sampling_min / 300.0).min(1.0)) {
                silent_until = at + rng.random_range(120.0..480.0);
            }
            let factor = if self.uneven { rng.random_range(0.4..1.6) } else { 1.0 };
            at += (self.sampling_min * factor).max(1.0);
        }
    }
}

/// A day of the simulation, counted from an arbitrary first one.
fn span(day: usize) -> DaySpan {
    DaySpan {
        day: Day::from_number(20_000 + day as i32),
        from_s: (day * 86_400) as i64,
        until_s: ((day + 1) * 86_400) as i64,
    }
}

impl Logger {
    /// The temperatures of the boot.
    #[must_use]
    pub fn boot(&self) -> Temperatures<'_> {
        Temperatures { at_s: &self.at_s, celsius: &self.celsius }
    }

    /// The temperatures of the room.
    #[must_use]
    pub fn in_room(&self) -> Temperatures<'_> {
        Temperatures { at_s: &self.at_s, celsius: &self.room }
    }
}
