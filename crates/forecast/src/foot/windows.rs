//! Windows: a short run of days (or counts) that contains about 50 or 90 %.
//!
//! Visits are a week apart, so there may be no run that contains exactly 90 %. The rule: a window is never
//! longer than the shortest run that contains the nominal share or more. Among the others, runs that contain
//! the nominal share, from half a point less to two points more, come first, and of these the shortest; if
//! there is none, the run that comes nearest. The window of 50 % lies within that of 90 %. The share that a
//! window contains is always given with it.

use super::{Band, CountForecast, CountWindow, DateForecast, DayWindow};
use crate::learning::NOMINAL;

/// How far above the nominal share a window may lie before nearness takes precedence over shortness.
pub const SLACK: f64 = 0.02;
/// How far below. It is smaller, because short windows are preferred and would all be too low.
const SHORT: f64 = 0.005;

/// Tolerance for rounding in sums of chances.
const EDGE: f64 = 1e-9;

/// A window: first and last index, and the share it contains.
pub type Window = (usize, usize, f64);

/// The windows of a distribution, of about 50 % and of about 90 %.
#[must_use]
pub fn windows(chances: &[f64]) -> [Window; 2] {
    windows_at(chances, NOMINAL)
}

/// The same for other nominal shares: those at which the windows of this clinic have the right coverage.
#[must_use]
pub fn windows_at(chances: &[f64], [half, most]: [f64; 2]) -> [Window; 2] {
    let most = window(chances, most, 0);
    let (from, to, _) = most;
    let within = chances.get(from..=to).unwrap_or(chances);
    [window(within, half, from), most]
}

/// The window of one nominal share; its indexes count from `first`.
fn window(chances: &[f64], nominal: f64, first: usize) -> Window {
    let last = chances.len().saturating_sub(1);
    let longest = shortest(chances, nominal - SHORT).unwrap_or(last);
    let mut best = (0, last, chances.iter().sum::<f64>());
    let mut best_rank = (f64::INFINITY, 0.0, 0.0);
    let mut left = best.2;
    for from in 0..chances.len() {
        let all_from_here = left;
        left -= chances[from];
        // All days from here on contain too little, and so do those from any later day.
        if nominal - SHORT - EDGE - all_from_here > best_rank.0 {
            break;
        }
        if chances[from] <= 0.0 {
            continue;
        }
        let mut held = 0.0;
        for (to, chance) in chances.iter().enumerate().skip(from).take(longest + 1) {
            held += chance;
            // Longer runs contain too much.
            if held - nominal - SLACK - EDGE > best_rank.0 {
                break;
            }
            let tried = rank((from, to, held), nominal);
            if *chance > 0.0 && tried < best_rank {
                (best, best_rank) = ((from, to, held), tried);
            }
        }
    }
    (first + best.0, first + best.1, best.2)
}

/// Steps from the first to the last index of the shortest run that contains this share.
fn shortest(chances: &[f64], share: f64) -> Option<usize> {
    let (mut from, mut held, mut least) = (0, 0.0, None::<usize>);
    for (to, chance) in chances.iter().enumerate() {
        held += chance;
        while held - chances[from] >= share && from < to {
            held -= chances[from];
            from += 1;
        }
        if held >= share {
            least = Some(least.map_or(to - from, |least| least.min(to - from)));
        }
    }
    least
}

/// Sorts windows: lower is better.
fn rank((from, to, held): Window, nominal: f64) -> (f64, f64, f64) {
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

/// Removes the ends without weight and scales to a sum of 1; `None` if nothing is left.
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
    /// From weights of days, the first of them on `day0`; `None` if their sum is zero.
    #[must_use]
    pub fn of(day0: i32, weights: &[f64]) -> Option<Self> {
        Self::at(day0, weights, NOMINAL)
    }

    /// The same with windows of other nominal shares.
    pub(crate) fn at(day0: i32, weights: &[f64], levels: [f64; 2]) -> Option<Self> {
        let (skipped, chances) = tidy(weights)?;
        let first_day = day0 + skipped as i32;
        let [window50, window90] = windows_at(&chances, levels).map(|(from, to, chance)| DayWindow {
            from_day: first_day + from as i32,
            to_day: first_day + to as i32,
            chance,
        });
        Some(Self {
            first_day,
            mean_day: f64::from(first_day) + mean(&chances),
            median_day: first_day + median(&chances) as i32,
            window50,
            window90,
            chances,
            here: None,
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
            here: None,
        }
    }
}

impl CountForecast {
    /// From weights of counts, from 0; `None` if their sum is zero.
    #[must_use]
    pub fn of(weights: &[f64]) -> Option<Self> {
        Self::at(weights, NOMINAL)
    }

    /// The same with windows of other nominal shares.
    pub(crate) fn at(weights: &[f64], levels: [f64; 2]) -> Option<Self> {
        let (skipped, kept) = tidy(weights)?;
        let mut chances = vec![0.0; skipped];
        chances.extend(kept);
        let [window50, window90] =
            windows_at(&chances, levels).map(|(from, to, chance)| CountWindow { from, to, chance });
        Some(Self { mean: mean(&chances), window50, window90, chances, here: None })
    }

    /// The first count by which it is at least as likely as not.
    #[must_use]
    pub fn median(&self) -> usize {
        median(&self.chances)
    }
}

impl Band {
    /// From chances of scores in half points.
    ///
    /// The ends are quantiles, 5 to 95 % and 25 to 75 %, of the score spread evenly over its half point, because
    /// the shortest run of half points would jump between visits.
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

/// The quantile of a share, with each count spread evenly from half below it to half above.
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

    /// A rare late end must not lengthen the window: days 0 to 3 contain 94 %, no run of four comes nearer to
    /// 90 % than 0.86 or 0.94; the run from day 1 to day 30 does, with 0.92, and is 26 days longer.
    #[test]
    fn a_window_is_never_longer_than_the_shortest_that_contains_the_share() {
        let mut days = vec![0.0; 31];
        for (day, chance) in [(0, 0.08), (1, 0.34), (2, 0.34), (3, 0.18), (30, 0.06)] {
            days[day] = chance;
        }
        let [half, most] = windows(&days);
        assert_eq!((most.0, most.1), (0, 3));
        assert!((most.2 - 0.94).abs() < 1e-12);
        // Days 1 and 2 contain 0.68, days 2 and 3 contain 0.52.
        assert_eq!((half.0, half.1), (2, 3));
    }

    /// The window of 50 % is searched within that of 90 %, so it never lies outside.
    #[test]
    fn the_window_of_50_lies_within_that_of_90_per_cent() {
        let mut state = 7_u64;
        let mut unit = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (state >> 40) as f64 / f64::from(1_u32 << 24)
        };
        for _ in 0..2_000 {
            let raw: Vec<f64> = (0..40).map(|_| if unit() < 0.7 { 0.0 } else { unit().powi(3) }).collect();
            let Some((_, chances)) = tidy(&raw) else { continue };
            let [half, most] = windows(&chances);
            assert!(most.0 <= half.0 && half.1 <= most.1, "{half:?} in {most:?}");
        }
    }

    /// The search never leaves out the best run: ranking all runs gives the same window.
    #[test]
    fn the_search_finds_the_best_of_all_runs() {
        let mut state = 11_u64;
        let mut unit = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (state >> 40) as f64 / f64::from(1_u32 << 24)
        };
        for _ in 0..500 {
            let raw: Vec<f64> = (0..60).map(|_| if unit() < 0.6 { 0.0 } else { unit().powi(4) }).collect();
            let Some((_, chances)) = tidy(&raw) else { continue };
            for nominal in [0.3, 0.5, 0.9, 0.98] {
                let longest = shortest(&chances, nominal - SHORT).unwrap_or(chances.len() - 1);
                let runs = (0..chances.len()).flat_map(|from| {
                    let last = (from + longest).min(chances.len() - 1);
                    (from..=last).map(move |to| (from, to))
                });
                let whole = runs.filter(|(from, to)| chances[*from] > 0.0 && chances[*to] > 0.0);
                let best = whole
                    .map(|(from, to)| rank((from, to, chances[from..=to].iter().sum()), nominal))
                    .reduce(|best, tried| if tried < best { tried } else { best });
                let found = rank(window(&chances, nominal, 0), nominal);
                let best = best.unwrap_or(found);
                assert!(
                    (found.0 - best.0).abs() < 1e-9 && (found.0 > 0.0 || found.1 <= best.1),
                    "{found:?} {best:?}"
                );
            }
        }
    }

    #[test]
    fn a_band_has_the_quantiles_of_the_even_spread() {
        // Half of the weight at 2 half points, half at 3: 5 % lies a tenth into the first, at 1.6 half points,
        // 95 % at 3.4; 25 % in the middle of the first, at 2, and 75 % at 3.
        let band = Band::of(&[0.0, 0.0, 0.5, 0.5]).unwrap_or_else(|| unreachable!());
        let found = [band.from90, band.from50, band.mean, band.to50, band.to90];
        for (found, wanted) in found.into_iter().zip([0.8, 1.0, 1.25, 1.5, 1.5]) {
            assert!((found - wanted).abs() < 1e-12, "{found} for {wanted}");
        }
    }
}
