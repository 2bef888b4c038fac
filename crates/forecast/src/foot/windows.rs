//! Windows: the shortest run of days (or counts) that holds about 50 or 90 %.
//!
//! Days are lumpy: sittings fall a week apart, so no run may hold just 90 %. The rule: of all runs that
//! hold the nominal share, from half a point less to two points more, the shortest, and of equally short
//! ones the one that holds the nominal share most nearly; where no run comes that near, the one that
//! comes nearest. The share that a window holds is always given beside it.

use super::{Band, CountForecast, CountWindow, DateForecast, DayWindow};

/// How far above the nominal share a window may lie before nearness counts over shortness.
pub const SLACK: f64 = 0.02;
/// How far below. Less, because short windows are preferred and would all lie low.
const SHORT: f64 = 0.005;

/// The window of a distribution: first and last index, and the share it holds.
#[must_use]
pub fn window(chances: &[f64], nominal: f64) -> (usize, usize, f64) {
    let mut best = (0, chances.len().saturating_sub(1), chances.iter().sum::<f64>());
    let mut best_rank = rank(best, nominal);
    for from in 0..chances.len() {
        if chances[from] <= 0.0 {
            continue;
        }
        let mut held = 0.0;
        for (to, chance) in chances.iter().enumerate().skip(from) {
            held += chance;
            if *chance <= 0.0 || held < nominal - 0.25 {
                continue;
            }
            let tried = rank((from, to, held), nominal);
            if tried < best_rank {
                (best, best_rank) = ((from, to, held), tried);
            }
            if held >= nominal + SLACK {
                break;
            }
        }
    }
    best
}

/// Sorts windows: lower is better.
fn rank((from, to, held): (usize, usize, f64), nominal: f64) -> (f64, f64, f64) {
    let off = held - nominal;
    let beyond = if off > 0.0 { off - SLACK } else { -off - SHORT };
    (beyond.max(0.0), (to - from) as f64, off.abs())
}

/// The first index by which half is reached.
#[must_use]
pub fn median(chances: &[f64]) -> usize {
    let half = 0.5 * chances.iter().sum::<f64>();
    let mut held = 0.0;
    for (index, chance) in chances.iter().enumerate() {
        held += chance;
        if held >= half - 1e-12 {
            return index;
        }
    }
    chances.len().saturating_sub(1)
}

fn mean(chances: &[f64]) -> f64 {
    chances.iter().enumerate().map(|(index, chance)| index as f64 * chance).sum()
}

/// Takes the weightless ends off, scales to 1; `None` where nothing is left.
fn tidy(chances: &[f64]) -> Option<(usize, Vec<f64>)> {
    let sum: f64 = chances.iter().sum();
    if !(sum.is_finite() && sum > 0.0) {
        return None;
    }
    let worth = |chance: &f64| *chance > sum * 1e-9;
    let first = chances.iter().position(worth)?;
    let last = chances.iter().rposition(worth)?;
    let kept = &chances[first..=last];
    let sum: f64 = kept.iter().sum();
    Some((first, kept.iter().map(|chance| chance / sum).collect()))
}

impl DateForecast {
    /// From weights of days, the first of them on `day0`; `None` where they weigh nothing.
    #[must_use]
    pub fn of(day0: i32, weights: &[f64]) -> Option<Self> {
        let (skipped, chances) = tidy(weights)?;
        let first_day = day0 + skipped as i32;
        let days = |nominal| {
            let (from, to, chance) = window(&chances, nominal);
            DayWindow { from_day: first_day + from as i32, to_day: first_day + to as i32, chance }
        };
        Some(Self {
            first_day,
            mean_day: f64::from(first_day) + mean(&chances),
            median_day: first_day + median(&chances) as i32,
            window50: days(0.5),
            window90: days(0.9),
            chances,
        })
    }

    /// A day that is known.
    #[must_use]
    pub fn known(day: i32) -> Self {
        let window = DayWindow { from_day: day, to_day: day, chance: 1.0 };
        Self {
            first_day: day,
            chances: vec![1.0],
            mean_day: f64::from(day),
            median_day: day,
            window50: window,
            window90: window,
        }
    }
}

impl CountForecast {
    /// From weights of counts, from 0; `None` where they weigh nothing.
    #[must_use]
    pub fn of(weights: &[f64]) -> Option<Self> {
        let (skipped, kept) = tidy(weights)?;
        let mut chances = vec![0.0; skipped];
        chances.extend(kept);
        let counts = |nominal| {
            let (from, to, chance) = window(&chances, nominal);
            CountWindow { from, to, chance }
        };
        Some(Self { mean: mean(&chances), window50: counts(0.5), window90: counts(0.9), chances })
    }
}

impl Band {
    /// From chances of scores in half points.
    ///
    /// The ends are quantiles, 5 to 95 % and 25 to 75 %, of the score taken as spread evenly over the half
    /// point that it stands for: the shortest run of half points would jump from sitting to sitting.
    #[must_use]
    pub fn of(halves: &[f64]) -> Option<Self> {
        let counts = CountForecast::of(halves)?;
        let most = halves.len().saturating_sub(1) as f64;
        let points = |share: f64| quantile(&counts.chances, share).clamp(0.0, most) / 2.0;
        Some(Self {
            mean: counts.mean / 2.0,
            from50: points(0.25),
            to50: points(0.75),
            from90: points(0.05),
            to90: points(0.95),
        })
    }
}

/// Where a share of the whole lies, each count spread evenly from half below it to half above.
fn quantile(chances: &[f64], share: f64) -> f64 {
    let mut held = 0.0;
    for (count, chance) in chances.iter().enumerate() {
        if *chance > 0.0 && held + chance >= share {
            return count as f64 - 0.5 + (share - held) / chance;
        }
        held += chance;
    }
    chances.len() as f64 - 0.5
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_is_read_off_the_even_spread() {
        // One half in 2 half points, one half in 3: 5 % lies a tenth into the first, at 1.6 half points,
        // 95 % at 3.4; 25 % in the middle of the first, at 2, and 75 % at 3.
        let band = Band::of(&[0.0, 0.0, 0.5, 0.5]).unwrap_or_else(|| unreachable!());
        let found = [band.from90, band.from50, band.mean, band.to50, band.to90];
        for (found, wanted) in found.into_iter().zip([0.8, 1.0, 1.25, 1.5, 1.5]) {
            assert!((found - wanted).abs() < 1e-12, "{found} for {wanted}");
        }
    }
}
