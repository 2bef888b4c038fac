//! Funnel plots: comparison of units of different size.

use crate::{
    error::{Result, StatError},
    special::{binomial_tails, normal_quantile},
};

/// Limits of a funnel plot at one size.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct FunnelLimits {
    /// Lower limit of the share.
    pub lower: f64,
    /// Upper limit of the share.
    pub upper: f64,
}

/// One unit of a funnel plot.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct FunnelUnit {
    /// Cases.
    pub n: u64,
    /// Share with the event.
    pub share: f64,
    /// Standardised distance from the target.
    pub z: f64,
    /// Exact limits that contain 95 % of units of this size by chance.
    pub inner: FunnelLimits,
    /// The same for 99.8 %.
    pub outer: FunnelLimits,
    /// Limits of 99.8 % that allow for the spread between units; equal to `outer` without spread.
    pub outer_spread: FunnelLimits,
}

/// A funnel plot.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FunnelPlot {
    /// The share all units are compared with.
    pub target: f64,
    /// Mean of the squared winsorised z. Above 1 the units differ by more than chance.
    pub overdispersion: f64,
    /// Standard deviation of the units' true shares in an additive model; 0 if chance explains all.
    pub between_sd: f64,
    /// In the order of the data.
    pub units: Vec<FunnelUnit>,
}

/// Exact binomial limits around a target share for a unit of `n` cases, with `tail` beyond each,
/// interpolated between whole numbers of events (Spiegelhalter 2005, appendix A.1.1).
///
/// # Errors
/// No cases, or a target or tail that is not between 0 and 1.
///
/// ```
/// use statistics::control::exact_binomial_limits;
/// let limits = exact_binomial_limits(100, 0.2, 0.025)?;
/// assert!(limits.lower > 0.1 && limits.upper < 0.3);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn exact_binomial_limits(n: u64, target: f64, tail: f64) -> Result<FunnelLimits> {
    for (what, value) in [("the target", target), ("the tail", tail)] {
        if !(value > 0.0 && value < 1.0) {
            return Err(StatError::Setting { what, range: "between 0 and 1", value });
        }
    }
    if n == 0 {
        return Err(StatError::Setting { what: "the number of cases", range: "above 0", value: 0.0 });
    }
    let upper = 1.0 - lower_limit(n, 1.0 - target, tail);
    Ok(FunnelLimits { lower: lower_limit(n, target, tail), upper })
}

/// The interpolated share at which the cumulative probability reaches the tail. The upper limit is
/// computed as the lower limit of the events that did not happen, which keeps small tails accurate.
fn lower_limit(n: u64, target: f64, tail: f64) -> f64 {
    let (mut below, mut reached) = (0, n);
    // The smallest r with P(X ≤ r) at or above the tail.
    while below < reached {
        let middle = below + (reached - below) / 2;
        if binomial_tails(middle, n, target).0 >= tail {
            reached = middle;
        } else {
            below = middle + 1;
        }
    }
    let at = binomial_tails(reached, n, target).0;
    let before = reached.checked_sub(1).map_or(0.0, |r| binomial_tails(r, n, target).0);
    let share = (at - tail) / (at - before);
    ((reached as f64 - share) / n as f64).max(0.0)
}

/// A funnel plot of `events` of `cases` in several units, around a `target` share or, without one, the
/// overall share.
///
/// Overdispersion φ is the mean squared z after winsorising the lowest and the highest
/// tenth; the spread between units τ is by moments from it, τ² = (I φ − (I − 1)) / (Σ w − Σ w²/Σ w),
/// not below 0 (Spiegelhalter 2005, section 3 and appendix A.2). The limits that allow for it are
/// normal: target ± 3.09 √(target (1 − target)/n + τ²), cut at 0 and 1.
///
/// # Errors
/// Slices of different length, fewer than two units, a unit without cases or with more events than
/// cases, or a share of 0 or 1 overall.
///
/// ```
/// use statistics::control::funnel;
/// let plot = funnel(&[10, 12, 40], &[100, 100, 100], None)?;
/// assert!((plot.target - 62.0 / 300.0).abs() < 1e-12);
/// assert!(plot.units[2].share > plot.units[2].outer.upper);
/// assert!(plot.units[1].share > plot.units[1].outer.lower);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn funnel(events: &[u64], cases: &[u64], target: Option<f64>) -> Result<FunnelPlot> {
    crate::error::same_length("the number of cases", events.len(), cases.len())?;
    if events.len() < 2 {
        return Err(StatError::Undefined("a funnel needs at least two units"));
    }
    for (row, (events, cases)) in events.iter().zip(cases).enumerate() {
        if *cases == 0 || events > cases {
            let wanted = "at most the number of cases, of which there must be some";
            return Err(StatError::Value { row, value: *events as f64, wanted });
        }
    }
    let target = target.unwrap_or(events.iter().sum::<u64>() as f64 / cases.iter().sum::<u64>() as f64);
    let variance = |n: u64| target * (1.0 - target) / n as f64;
    exact_binomial_limits(1, target, 0.025)?;
    let share = |(events, cases): (&u64, &u64)| (*cases, *events as f64 / *cases as f64);
    let shares: Vec<(u64, f64)> = events.iter().zip(cases).map(share).collect();
    let z: Vec<f64> = shares.iter().map(|(n, share)| (share - target) / variance(*n).sqrt()).collect();
    let overdispersion = winsorised(&z).iter().map(|z| z * z).sum::<f64>() / z.len() as f64;
    let between = spread(&shares.iter().map(|(n, _)| 1.0 / variance(*n)).collect::<Vec<_>>(), overdispersion);
    let unit = |((n, share), z): (&(u64, f64), &f64)| -> Result<FunnelUnit> {
        let inner = exact_binomial_limits(*n, target, 0.025)?;
        let outer = exact_binomial_limits(*n, target, 0.001)?;
        let half = -normal_quantile(0.001) * (variance(*n) + between).sqrt();
        let wide = FunnelLimits { lower: (target - half).max(0.0), upper: (target + half).min(1.0) };
        let outer_spread = if between > 0.0 { wide } else { outer };
        Ok(FunnelUnit { n: *n, share: *share, z: *z, inner, outer, outer_spread })
    };
    let units = shares.iter().zip(&z).map(unit).collect::<Result<_>>()?;
    Ok(FunnelPlot { target, overdispersion, between_sd: between.sqrt(), units })
}

/// Values beyond the tenth and the ninetieth centile replaced by those centiles (linear between order
/// statistics, definition 7 of Hyndman and Fan 1996).
fn winsorised(z: &[f64]) -> Vec<f64> {
    let mut sorted = z.to_vec();
    sorted.sort_by(f64::total_cmp);
    let centile = |share: f64| {
        let at = share * (sorted.len() - 1) as f64;
        let below = sorted[at.floor() as usize];
        below + at.fract() * (sorted[at.ceil() as usize] - below)
    };
    let (low, high) = (centile(0.1), centile(0.9));
    z.iter().map(|z| z.clamp(low, high)).collect()
}

fn spread(weights: &[f64], overdispersion: f64) -> f64 {
    let units = weights.len() as f64;
    let sum: f64 = weights.iter().sum();
    let squares: f64 = weights.iter().map(|w| w * w).sum();
    ((units * overdispersion - (units - 1.0)) / (sum - squares / sum)).max(0.0)
}
