//! The first division into warm and cool, from the histogram, and whether there is wear at all.
//!
//! Two normal curves on either side of a threshold, at the threshold of smallest error (Kittler and
//! Illingworth 1986, Pattern Recognition 19:41). A division is used only if the temperature crosses it
//! fast: a room that swings between night and day crosses its mean slowly.

use super::steps::{HOT_C, Steps};

/// A division of the samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Split {
    /// Above this a sample at first counts as worn. −∞ or ∞ if there is only one level.
    pub(super) threshold_c: f64,
    /// The number of quick crossings.
    pub(super) changes: usize,
    /// Another temperature is crossed quickly more than twice as often, so this is not the one between on and off.
    pub(super) doubtful: bool,
}

/// Width of a bin, and the coldest one, °C.
const BIN_C: f64 = 0.5;
const COLDEST_C: f64 = -10.0;
const BINS: usize = 120;
/// Smallest distance of two levels that can be distinguished, °C.
const LEAST_APART_C: f64 = 2.0;
/// Coolest possible worn level, °C. Judgement: a sensor in the shell of the boot in a cold room.
const COOLEST_WORN_C: f64 = 25.0;
/// A single level below this cannot be worn, °C; above it this cannot be decided.
const SURELY_OFF_BELOW_C: f64 = 26.5;
/// The smallest quick change, °C, and the time in which it happens, seconds. A room that swings by 3 °C either way moves
/// 0.6 °C in that time; a boot put on or taken off has come most of the way.
const QUICK_C: f64 = 2.2;
const QUICK_S: i64 = 45 * 60;
/// In a room warmer than this, °C, the cooler of two levels may be the worn one: nothing is judged.
pub(super) const WARMEST_OFF_C: f64 = 32.0;

/// Sums of 1, x and x² of the samples on one side of a threshold.
#[derive(Debug, Clone, Copy, Default)]
struct Side([f64; 3]);

impl Side {
    fn mean(self) -> f64 {
        self.0[1] / self.0[0]
    }

    /// −ln of the likelihood of a sample of this side, times the share of the side.
    fn error(self, total: f64) -> f64 {
        let sd = (self.0[2] / self.0[0] - self.mean().powi(2)).max(0.25).sqrt();
        let share = self.0[0] / total;
        share * (sd.ln() - share.ln())
    }

    fn add(&mut self, bin: usize, weight: f64) {
        let celsius = COLDEST_C + (bin as f64 + 0.5) * BIN_C;
        self.0[0] += weight;
        self.0[1] += weight * celsius;
        self.0[2] += weight * celsius * celsius;
    }
}

pub(super) fn split(steps: &Steps) -> Split {
    let bin = |celsius: &f64| ((celsius - COLDEST_C) / BIN_C).clamp(0.0, BINS as f64 - 1.0) as u8;
    let bins: Vec<u8> = steps.celsius.iter().map(bin).collect();
    let mut counts = [0.0_f64; BINS];
    bins.iter().for_each(|bin| counts[usize::from(*bin)] += 1.0);
    // Samples too hot for a foot belong to neither of the two levels.
    counts[usize::from(bin(&HOT_C))..].fill(0.0);
    let least = least_error(&counts, &crossings(steps, &bins), steps.room.is_empty());
    least.unwrap_or_else(|| one_level(steps))
}

/// Only one level: with a room sensor it is worn if it lies well above the room.
fn one_level(steps: &Steps) -> Split {
    let count = steps.celsius.len() as f64;
    let mean = steps.celsius.iter().sum::<f64>() / count;
    let room = (!steps.room.is_empty()).then(|| steps.room.iter().sum::<f64>() / count);
    let worn = match room {
        Some(room) => mean - room > LEAST_APART_C,
        None => mean > SURELY_OFF_BELOW_C,
    };
    Split { threshold_c: if worn { f64::NEG_INFINITY } else { f64::INFINITY }, changes: 0, doubtful: false }
}

/// The threshold of smallest error among those that are crossed quickly more often than slowly; one that is not
/// doubtful is preferred.
fn least_error(bins: &[f64; BINS], crossings: &[[i32; 2]; BINS], no_sensor: bool) -> Option<Split> {
    let most = crossings.iter().map(|[quick, _]| *quick).max().unwrap_or(0);
    let (mut below, mut above) = (Side::default(), Side::default());
    bins.iter().enumerate().for_each(|(bin, count)| above.add(bin, *count));
    let total = above.0[0];
    let mut best: Option<(f64, Split)> = None;
    for bin in 0..BINS - 1 {
        below.add(bin, bins[bin]);
        above.add(bin, -bins[bin]);
        let [quick, slow] = crossings[bin + 1];
        let divides = quick >= 2 && quick >= slow && below.0[0] > 0.5 && above.0[0] > 0.5;
        if !divides
            || above.mean() - below.mean() < LEAST_APART_C
            || above.mean() < COOLEST_WORN_C
            || (no_sensor && below.mean() > WARMEST_OFF_C)
        {
            continue;
        }
        let both = below.error(total) + above.error(total);
        let doubtful = 2 * quick < most;
        if best.is_none_or(|(least, split)| (doubtful, both) < (split.doubtful, least)) {
            let threshold_c = COLDEST_C + (bin as f64 + 1.0) * BIN_C;
            best = Some((both, Split { threshold_c, changes: quick.unsigned_abs() as usize, doubtful }));
        }
    }
    best.map(|(_, split)| split)
}

/// Quick and slow crossings of the lower edge of every bin.
fn crossings(steps: &Steps, bins: &[u8]) -> [[i32; 2]; BINS] {
    let (at_s, celsius) = (&steps.at_s, &steps.celsius);
    // Differences first: a step from one bin to another crosses every edge between.
    let mut found = [[0; 2]; BINS];
    let (mut first, mut last) = (0, 0);
    for step in 0..bins.len().saturating_sub(1) {
        let (from, to) = (usize::from(bins[step]), usize::from(bins[step + 1]));
        if from == to || (at_s[step + 1] - at_s[step]) as f64 > steps.gap_s {
            continue;
        }
        // The stretch around the step; both of its ends only move forward.
        while first < step && at_s[step + 1] - at_s[first] > QUICK_S / 2 {
            first += 1;
        }
        last = last.max(step + 1);
        while last + 1 < at_s.len() && at_s[last + 1] - at_s[first] <= QUICK_S {
            last += 1;
        }
        let kind = usize::from((celsius[last] - celsius[first]).abs() < QUICK_C);
        found[from.min(to) + 1][kind] += 1;
        if from.max(to) + 1 < BINS {
            found[from.max(to) + 1][kind] -= 1;
        }
    }
    for edge in 1..BINS {
        for kind in [0, 1] {
            found[edge][kind] += found[edge - 1][kind];
        }
    }
    found
}
