//! How fast a boot warmed at the beginning of a warm spell.
//!
//! A foot touches the lining and warms it in minutes. A source outside the boot has to warm all of it through the air,
//! which takes about as long as the boot takes to cool, or longer. The time constant of warming is therefore compared
//! with that of cooling of the same boot, on a grid of ratios.

use super::steps::Steps;

/// Ratios of the time constant of warming to that of cooling.
pub(super) const RATIOS: [f64; 8] = [0.12, 0.2, 0.33, 0.5, 0.8, 1.25, 2.0, 3.5];
/// Log-likelihood of each ratio, up to a constant.
#[derive(Debug, Clone, Copy)]
pub(super) struct Onset(pub(super) [f64; RATIOS.len()]);

/// The largest number of samples used, and the time over which they lie, seconds.
const SAMPLES: usize = 6;
const OVER_S: i64 = 75 * 60;
/// The time after the first warm sample in which the level is read, seconds, and the SD with which it is known, °C.
const LEVEL_S: std::ops::RangeInclusive<i64> = 50 * 60..=130 * 60;
const LEVEL_SD_C: f64 = 0.6;
/// Time constant of cooling of a child's boot, seconds; as in [`super::Priors`].
const USUAL_COOLING_S: f64 = 20.0 * 60.0;
/// From this share of its height on, a rise has begun.
const BEGUN: f64 = 0.12;
/// Moments of the change within its step.
const MOMENTS: usize = 4;
/// The smallest rise that is used, °C.
const LEAST_RISE_C: f64 = 2.0;
/// SD of a sample about the curve: by itself, °C, and as a share of the rise.
const SAMPLE_SD_C: f64 = 0.25;
const CURVE_SD: f64 = 0.09;
/// The shell follows the lining late: this share of the rise has this time constant, seconds, whatever warms the boot.
/// Assumed.
const LATE: f64 = 0.15;
const LATE_S: f64 = 40.0 * 60.0;

impl Onset {
    /// From the sample before the spell to its first samples.
    pub(super) fn of(steps: &Steps, first: usize, last: usize, cooling_s: f64) -> Option<Self> {
        let (at_s, celsius) = (&steps.at_s, &steps.celsius);
        let low = celsius[first - 1];
        let level = level(at_s, celsius, first, last);
        // A sample that has hardly risen may lie before the change, because the chain places it only to a step.
        let begun = celsius[first] - low >= BEGUN * (level - low);
        let first = if begun || first == last { first } else { first + 1 };
        let begin = at_s[first];
        if level - low < LEAST_RISE_C || last < first + 1 {
            return None;
        }
        // The samples after the first warm one, thinned.
        let until =
            last.min(first + at_s[first..=last].iter().take_while(|at| **at - begin <= OVER_S).count() - 1);
        let stride = (until - first).div_ceil(SAMPLES - 1).max(1);
        let samples = (first..=until).step_by(stride).take(SAMPLES);
        let seen: Vec<(f64, f64)> =
            samples.map(|sample| ((at_s[sample] - begin) as f64, celsius[sample])).collect();
        let step_s = (begin - at_s[first - 1]) as f64;
        let noise = SAMPLE_SD_C.powi(2) + (CURVE_SD * (level - low)).powi(2);
        // The cooling of one file is known only roughly: half of it comes from boots in general.
        let cooling_s = (cooling_s * USUAL_COOLING_S).sqrt();
        let of = |ratio: f64| likelihood(&seen, low, level, step_s, ratio * cooling_s, noise);
        Some(Self(RATIOS.map(of)))
    }
}

/// The level to which the boot warms.
fn level(at_s: &[i64], celsius: &[f64], first: usize, last: usize) -> f64 {
    let (mut count, mut sum, mut warmest) = (0.0, 0.0, f64::NEG_INFINITY);
    for sample in first..=last {
        let since = at_s[sample] - at_s[first];
        if since > *LEVEL_S.end() {
            break;
        }
        warmest = warmest.max(celsius[sample]);
        if LEVEL_S.contains(&since) {
            count += 1.0;
            sum += celsius[sample];
        }
    }
    if count > 0.0 { sum / count } else { warmest + 0.2 }
}

/// Log-likelihood of a time constant, averaged over the moments of the change and over the level.
fn likelihood(seen: &[(f64, f64)], low: f64, level: f64, step_s: f64, constant_s: f64, noise: f64) -> f64 {
    let (mut left, mut late) = ([0.0; SAMPLES], [0.0; SAMPLES]);
    for ((left, late), (at, _)) in left.iter_mut().zip(&mut late).zip(seen) {
        *left = (1.0 - LATE) * (-at / constant_s).exp();
        *late = 1.0 - LATE * (-at / LATE_S).exp();
    }
    let mut total = 0.0;
    let mut best = f64::NEG_INFINITY;
    for moment in 0..MOMENTS {
        // Seconds from the change to the first warm sample.
        let since = (moment as f64 + 0.5) / MOMENTS as f64 * step_s;
        let fade = (-since / constant_s).exp();
        // y = low + (level − low) · g, with the level near its estimate.
        let (mut gg, mut gy, mut yy) = (noise / LEVEL_SD_C.powi(2), 0.0, 0.0);
        for ((_, celsius), (left, late)) in seen.iter().zip(left.iter().zip(late)) {
            let g = late - fade * left;
            let y = celsius - low - (level - low) * g;
            gg += g * g;
            gy += g * y;
            yy += y * y;
        }
        let log = -0.5 * (yy - gy * gy / gg) / noise;
        if log > best {
            total = total * (best - log).exp() + 1.0;
            best = log;
        } else {
            total += (log - best).exp();
        }
    }
    best + (total / MOMENTS as f64).ln()
}
