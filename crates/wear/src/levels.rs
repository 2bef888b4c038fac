//! The levels that the boot approaches, spell by spell, and the daily swing of the room.

use super::decay::Decay;
use super::physics::Physics;
use super::priors::Priors;
use super::split::Split;
use super::steps::{HOURS, Steps};
use super::weather::{SAMPLE_SD_C, Weather};
use statistics::hidden_markov::TwoStates;
use std::f64::consts::TAU;

/// A level that moves from spell to spell as a random walk.
#[derive(Debug, Clone, Default)]
pub(super) struct Walk {
    /// Mean of each spell.
    pub(super) mean: Vec<f64>,
    /// Posterior variance of each.
    pub(super) variance: Vec<f64>,
}

/// All levels of a series.
#[derive(Debug, Clone, Default)]
pub(super) struct Levels {
    pub(super) worn: Walk,
    /// Off; relative to the room sensor if there is one.
    pub(super) off: Walk,
    /// The change of the off level with the hour of day.
    pub(super) swing: [f64; HOURS],
    pub(super) worn_sd: f64,
    pub(super) off_sd: f64,
    /// The deviation of the room from its level, hour by hour.
    pub(super) weather: Weather,
}

/// Hours over which neighbouring samples share their deviation from a level.
const SHARED_HOURS: f64 = 3.0;
/// Prior SD of either part of the daily swing, °C.
const SWING_SD_C: f64 = 1.5;
/// Weight of the prior on a spread, in independent observations.
const SPREAD_WEIGHT: f64 = 10.0;

/// Sums over the steps of one state, by spell: weight, and weight times level.
struct Sums {
    weight: Vec<f64>,
    level: Vec<f64>,
}

impl Sums {
    fn new(blocks: usize) -> Self {
        Self { weight: vec![0.0; blocks], level: vec![0.0; blocks] }
    }

    fn add(&mut self, block: usize, weight: f64, level: f64) {
        self.weight[block] += weight;
        self.level[block] += weight * level;
    }
}

impl Walk {
    /// Kalman filter and smoother (Rauch, Tung and Striebel 1965) of a random walk.
    fn of(sums: &Sums, prior: (f64, f64), step_sd: f64, sd: f64) -> Self {
        let blocks = sums.weight.len();
        let (mut mean, mut variance) = (vec![0.0; blocks], vec![0.0; blocks]);
        let (mut m, mut v) = (prior.0, prior.1 * prior.1);
        for block in 0..blocks {
            if block > 0 {
                v += step_sd * step_sd;
            }
            if sums.weight[block] > 0.0 {
                // Weights are hours of time at the level.
                let noise = sd * sd * SHARED_HOURS / sums.weight[block];
                let gain = v / (v + noise);
                m += gain * (sums.level[block] / sums.weight[block] - m);
                v *= 1.0 - gain;
            }
            (mean[block], variance[block]) = (m, v);
        }
        for block in (0..blocks.saturating_sub(1)).rev() {
            let ahead = variance[block] + step_sd * step_sd;
            let gain = variance[block] / ahead;
            mean[block] += gain * (mean[block + 1] - mean[block]);
            variance[block] += gain * gain * (variance[block + 1] - ahead);
        }
        Self { mean, variance }
    }
}

impl Levels {
    /// From the first division.
    pub(super) fn start(steps: &Steps, split: &Split, priors: &Priors) -> Self {
        let mut levels = Self { worn_sd: priors.spread_c.0, off_sd: priors.spread_c.1, ..Self::default() };
        let count = steps.celsius.len() - 1;
        let [warm, cool] = priors.minutes.map_both(60.0);
        // The chain of the first division: a step counts if both of its ends lie on one side.
        let share = |step: usize| {
            let high = |at: usize| steps.celsius[at] > split.threshold_c;
            match (high(step), high(step + 1)) {
                (true, true) => [0.0, 1.0],
                (false, false) => [1.0, 0.0],
                _ => [0.0, 0.0],
            }
        };
        let shares: Vec<[f64; 2]> = (0..count).map(share).collect();
        levels.gather(steps, &shares, (warm, cool), priors);
        levels
    }

    /// One maximisation from the chances of the states.
    pub(super) fn learn(&mut self, steps: &Steps, physics: &Physics, chain: &TwoStates, priors: &Priors) {
        let shares: Vec<[f64; 2]> = chain.pairs.iter().map(|pair| [pair[0][0], pair[1][1]]).collect();
        self.gather(steps, &shares, (physics.warming_s, physics.cooling_s), priors);
        self.spreads(steps, &shares, priors);
        let usual = |sample: usize| self.usual_off_level(steps, sample, usize::from(steps.block[sample]));
        self.weather = Weather::of(steps, &shares, usual, self.off_sd, physics.cooling_s);
    }

    fn gather(&mut self, steps: &Steps, shares: &[[f64; 2]], (warm, cool): (f64, f64), priors: &Priors) {
        let (mut worn, mut off) = (Sums::new(steps.blocks), Sums::new(steps.blocks));
        let mut by_hour = [(0.0, 0.0); HOURS];
        let mut decay = Decay::default();
        for (step, share) in shares.iter().enumerate() {
            let seconds = steps.seconds(step);
            if seconds > steps.gap_s || steps.hot(step) {
                continue;
            }
            let Decay { stay, gone, per_gone, .. } = *decay.of(seconds, warm, cool);
            let (before, now) = (steps.celsius[step], steps.celsius[step + 1]);
            let block = usize::from(steps.block[step + 1]);
            let hours = seconds * (1.0 / 3600.0);
            if share[1] > 0.01 {
                let weight = share[1] * hours * gone[0];
                worn.add(block, weight, (now - stay[0] * before) * per_gone[0]);
            }
            if share[0] > 0.01 {
                let (hour, weight) = (usize::from(steps.hour[step + 1]), share[0] * hours * gone[1]);
                let rise = steps.room_at(step + 1);
                let level = (now - stay[1] * before) * per_gone[1] - rise;
                off.add(block, weight, level - self.swing[hour]);
                let mean = self.off.mean.get(block).copied().unwrap_or(f64::NAN);
                by_hour[hour].0 += weight;
                by_hour[hour].1 += weight * (level - mean);
            }
        }
        let sensor = !steps.room.is_empty();
        let (off_prior, off_walk) = if sensor {
            ((0.0, priors.off_from_sensor_c), priors.walk_c.2)
        } else {
            (priors.off_c, priors.walk_c.1)
        };
        self.worn = Walk::of(&worn, priors.worn_c, priors.walk_c.0, self.worn_sd);
        if !sensor && by_hour.iter().all(|hour| hour.1.is_finite()) {
            self.swing = swing(&by_hour, self.off_sd);
        }
        self.off = Walk::of(&off, off_prior, off_walk, self.off_sd);
    }

    /// Spreads about the levels, from samples that are not approaching a level.
    fn spreads(&mut self, steps: &Steps, shares: &[[f64; 2]], priors: &Priors) {
        let mut sums = [(0.0, 0.0); 2];
        let away =
            |sample: usize| [0, 1].map(|state| steps.celsius[sample] - self.level(steps, sample, state));
        let mut before = away(0);
        for (step, share) in shares.iter().enumerate() {
            let now = away(step + 1);
            let weight = (steps.seconds(step) * (1.0 / 3600.0)).min(1.0) * (1.0 / SHARED_HOURS);
            for state in [0, 1] {
                let away = now[state];
                if share[state] > 0.9 && away.abs() < 3.0 && (away - before[state]).abs() < 0.5 {
                    sums[state].0 += weight;
                    sums[state].1 += weight * away * away;
                }
            }
            before = now;
        }
        let spread = |(weight, squares): (f64, f64), prior: f64| {
            ((squares + SPREAD_WEIGHT * prior * prior) / (weight + SPREAD_WEIGHT)).sqrt().clamp(0.15, 2.5)
        };
        self.off_sd = spread(sums[0], priors.spread_c.1);
        self.worn_sd = spread(sums[1], priors.spread_c.0);
    }

    /// The level of a state (0 off, 1 worn) at a sample.
    pub(super) fn level(&self, steps: &Steps, sample: usize, state: usize) -> f64 {
        let block = usize::from(steps.block[sample]);
        if state == 1 { self.worn.mean[block] } else { self.off_level(steps, sample, block) }
    }

    /// Variance of a sample about each level.
    #[inline]
    pub(super) fn spread(&self, steps: &Steps, sample: usize) -> [f64; 2] {
        let block = usize::from(steps.block[sample]);
        let off = match self.weather.variance.get(steps.bin[sample] as usize) {
            Some(variance) => {
                // The less is known of the hour, the more the uncertainty of the level matters.
                let level = self.off.variance[block] * variance / self.weather.unknown;
                SAMPLE_SD_C * SAMPLE_SD_C + variance + level
            }
            None => self.off_sd * self.off_sd + self.off.variance[block],
        };
        [off, self.worn_sd * self.worn_sd + self.worn.variance[block]]
    }

    /// The off level at a sample, with what is known of its hour.
    #[inline]
    pub(super) fn off_level(&self, steps: &Steps, sample: usize, block: usize) -> f64 {
        let weather = self.weather.deviation.get(steps.bin[sample] as usize).copied().unwrap_or(0.0);
        self.usual_off_level(steps, sample, block) + weather
    }

    /// The usual off level at the time of day, without the deviation of that hour.
    #[inline]
    pub(super) fn usual_off_level(&self, steps: &Steps, sample: usize, block: usize) -> f64 {
        self.off.mean[block] + self.swing[usize::from(steps.hour[sample])] + steps.room_at(sample)
    }

    /// Half the difference between the warmest and the coolest hour.
    pub(super) fn swing_amplitude(&self) -> f64 {
        let most = self.swing.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = self.swing.iter().copied().fold(f64::INFINITY, f64::min);
        (most - least) / 2.0
    }
}

/// First harmonic of the hour, by ridge regression.
fn swing(by_hour: &[(f64, f64); HOURS], sd: f64) -> [f64; HOURS] {
    let angle = |hour: usize| TAU * (hour as f64 + 0.5) / HOURS as f64;
    let ridge = sd * sd * SHARED_HOURS / (SWING_SD_C * SWING_SD_C);
    let (mut cc, mut cs, mut ss, mut cy, mut sy) = (ridge, 0.0, ridge, 0.0, 0.0);
    for (hour, (weight, sum)) in by_hour.iter().enumerate() {
        let (sin, cos) = angle(hour).sin_cos();
        cc += weight * cos * cos;
        cs += weight * cos * sin;
        ss += weight * sin * sin;
        cy += sum * cos;
        sy += sum * sin;
    }
    let determinant = cc * ss - cs * cs;
    let (a, b) = ((ss * cy - cs * sy) / determinant, (cc * sy - cs * cy) / determinant);
    std::array::from_fn(|hour| {
        let (sin, cos) = angle(hour).sin_cos();
        a * cos + b * sin
    })
}

/// Multiplies both values of a pair by a factor.
trait MapBoth {
    fn map_both(self, factor: f64) -> [f64; 2];
}

impl MapBoth for (f64, f64) {
    fn map_both(self, factor: f64) -> [f64; 2] {
        [self.0 * factor, self.1 * factor]
    }
}
