//! Shewhart charts of shares and rates whose points differ by more than binomial or Poisson chance.

use super::{Chart, p_chart, u_chart};
use crate::error::{Result, StatError};
use std::f64::consts::PI;

/// A chart whose limits are scaled by the differences between neighbouring points.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LaneyChart {
    /// The chart, with limits that are wider than the plain ones if `sigma_z` is above 1, else narrower.
    pub chart: Chart,
    /// Width of the limits relative to those of the plain chart, before any cut at 0 or 1. No unit.
    pub sigma_z: f64,
}

/// A p′ chart: p̄ ± 3 σ_z √(p̄ (1 − p̄)/n), cut at 0 and 1, with z = (p − p̄)/√(p̄ (1 − p̄)/n) and σ_z the
/// mean moving range of z over d₂ (Laney 2002, Quality Engineering 14:531–537), d₂ = 2/√π, printed as 1.128.
///
/// # Errors
/// As [`p_chart`]; fewer than two points; no events, or events in all cases.
///
/// ```
/// use statistics::control::p_prime_chart;
/// let wide = p_prime_chart(&[40.0, 60.0, 50.0, 45.0, 55.0], &[100.0; 5])?;
/// assert!((wide.sigma_z - 1.994).abs() < 1e-3);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn p_prime_chart(events: &[f64], cases: &[f64]) -> Result<LaneyChart> {
    let centre = p_chart(events, cases)?.centre;
    laney((events, cases), centre, centre * (1.0 - centre), 1.0)
}

/// A u′ chart: ū ± 3 σ_z √(ū/n), cut at 0, with z = (u − ū)/√(ū/n) and σ_z as for [`p_prime_chart`]
/// (Laney 2002, Quality Engineering 14:531–537).
///
/// # Errors
/// As [`u_chart`]; fewer than two points; no events.
///
/// ```
/// use statistics::control::u_prime_chart;
/// let chart = u_prime_chart(&[4.0, 9.0, 4.0, 9.0], &[1.0; 4])?;
/// // Every moving range of z is 5/√6.5, and d₂ = 2/√π.
/// let expected = 5.0 / 6.5_f64.sqrt() * std::f64::consts::PI.sqrt() / 2.0;
/// assert!((chart.sigma_z - expected).abs() < 1e-12);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn u_prime_chart(events: &[f64], exposure: &[f64]) -> Result<LaneyChart> {
    let centre = u_chart(events, exposure)?.centre;
    laney((events, exposure), centre, centre, f64::INFINITY)
}

fn laney(of: (&[f64], &[f64]), centre: f64, variance: f64, most: f64) -> Result<LaneyChart> {
    if of.0.len() < 2 {
        return Err(StatError::Undefined("a moving range needs at least two points"));
    }
    if variance <= 0.0 {
        return Err(StatError::Undefined(
            "where every point is the same share there is no spread to measure",
        ));
    }
    let rows = || of.0.iter().zip(of.1).map(|(events, n)| (events / n, (variance / n).sqrt()));
    let z: Vec<f64> = rows().map(|(value, sd)| (value - centre) / sd).collect();
    let moved: f64 = z.windows(2).map(|pair| (pair[1] - pair[0]).abs()).sum();
    let sigma_z = moved / (z.len() - 1) as f64 / (2.0 / PI.sqrt());
    let limits = rows().map(|(value, sd)| {
        let half = 3.0 * sigma_z * sd;
        (value, (centre - half).max(0.0), (centre + half).min(most))
    });
    Ok(LaneyChart { chart: Chart::of(centre, limits), sigma_z })
}
