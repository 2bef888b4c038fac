//! The deviation of the room from its level, hour by hour.
//!
//! A level applies for days, but the room changes faster. While the boot is surely off, its temperature shows
//! how warm the room is then and for some hours before and after: the deviation decays as an Ornstein–Uhlenbeck
//! process (Uhlenbeck and Ornstein 1930, Physical Review 36:823). A boot in a room that warms all morning is
//! therefore not mistaken for a worn one at noon, and hours long after the room was last observed are judged only
//! if its level would have to be far off.

use super::decay::Decay;
use super::steps::Steps;

/// Smallest SD of the deviation without observations, °C: without and with a room sensor. Judgement, as are the other
/// figures here.
const LEAST_SD_C: [f64; 2] = [1.0, 0.4];
/// Time constant of the decay of a deviation, hours.
const LASTS_H: f64 = 36.0;
/// SD of an hour of the boot off about the room of that hour, °C.
const HOUR_SD_C: f64 = 0.4;
/// SD of a sample about the room of its hour, °C.
pub(super) const SAMPLE_SD_C: f64 = 0.4;
/// The largest deviation that one hour can show, °C.
const MOST_C: f64 = 6.0;

/// Deviations of the off level, one for each hour that has samples.
#[derive(Debug, Clone, Default)]
pub(super) struct Weather {
    /// Deviation of each hour, °C. Empty before it is learned.
    pub(super) deviation: Vec<f64>,
    /// Posterior variance of each.
    pub(super) variance: Vec<f64>,
    /// Variance without observations.
    pub(super) unknown: f64,
}

impl Weather {
    /// From the chance of being off over each step, the usual off level at each sample, the spread about it
    /// (SD, °C) and the time constant of cooling.
    pub(super) fn of(
        steps: &Steps,
        shares: &[[f64; 2]],
        usual_off_level: impl Fn(usize) -> f64,
        off_sd: f64,
        cool_s: f64,
    ) -> Self {
        let hours = steps.bins.len();
        let (mut weight, mut sum) = (vec![0.0; hours], vec![0.0; hours]);
        let mut decay = Decay::default();
        for (step, share) in shares.iter().enumerate() {
            let seconds = steps.seconds(step);
            if share[0] < 0.01 || seconds > steps.gap_s || steps.hot(step) {
                continue;
            }
            let Decay { stay: [_, stay], gone: [_, come], .. } = *decay.of(seconds, cool_s, cool_s);
            let sample = step + 1;
            // The deviation of the sample from where the usual level would lead, times the share of the way gone.
            let level = usual_off_level(sample);
            let away = steps.celsius[sample] - stay * steps.celsius[step] - come * level;
            let hour = steps.bin[sample] as usize;
            let hours = share[0] * seconds * (1.0 / 3600.0);
            weight[hour] += hours * come;
            sum[hour] += hours * away.clamp(-MOST_C * come, MOST_C * come);
        }
        let least = LEAST_SD_C[usize::from(!steps.room.is_empty())];
        Self::smoothed(&steps.bins, &weight, &sum, off_sd.max(least).powi(2))
    }

    /// Kalman filter and smoother (Rauch, Tung and Striebel 1965) over the hours.
    fn smoothed(at_h: &[i64], weight: &[f64], sum: &[f64], unknown: f64) -> Self {
        let hours = at_h.len();
        let (mut deviation, mut variance) = (vec![0.0; hours], vec![0.0; hours]);
        let one = (-1.0 / LASTS_H).exp();
        let left = |hour: usize| match at_h[hour + 1] - at_h[hour] {
            1 => one,
            more => (-more as f64 / LASTS_H).exp(),
        };
        let (mut m, mut v) = (0.0, unknown);
        for hour in 0..hours {
            if hour > 0 {
                let left = left(hour - 1);
                m *= left;
                v = left * left * v + (1.0 - left * left) * unknown;
            }
            if weight[hour] > 0.0 {
                let gain = v / (v + HOUR_SD_C * HOUR_SD_C / weight[hour]);
                m += gain * (sum[hour] / weight[hour] - m);
                v *= 1.0 - gain;
            }
            (deviation[hour], variance[hour]) = (m, v);
        }
        for hour in (0..hours.saturating_sub(1)).rev() {
            let left = left(hour);
            let ahead = left * left * variance[hour] + (1.0 - left * left) * unknown;
            let gain = left * variance[hour] / ahead;
            deviation[hour] += gain * (deviation[hour + 1] - left * deviation[hour]);
            variance[hour] += gain * gain * (variance[hour + 1] - ahead);
        }
        Self { deviation, variance, unknown }
    }
}
