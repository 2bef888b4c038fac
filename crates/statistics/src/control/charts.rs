//! Shewhart charts of shares, rates, single measurements and cases between events.

use crate::error::{Result, StatError, finite, same_length};
use std::f64::consts::PI;

/// One point of a chart.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct ChartPoint {
    /// The plotted value.
    pub value: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
    /// Whether the value is outside its limits.
    pub outside: bool,
}

/// A control chart.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Chart {
    /// Centre line.
    pub centre: f64,
    /// The points, in the order of the data.
    pub points: Vec<ChartPoint>,
}

impl Chart {
    pub(super) fn of(centre: f64, points: impl Iterator<Item = (f64, f64, f64)>) -> Self {
        let point = |(value, lower, upper): (f64, f64, f64)| {
            // A value that differs from a limit only by rounding is on the limit.
            let slack = 1e-12 * (1.0 + upper.abs());
            ChartPoint { value, lower, upper, outside: value < lower - slack || value > upper + slack }
        };
        Self { centre, points: points.map(point).collect() }
    }

    /// The number of points outside their limits.
    ///
    /// ```
    /// use statistics::control::p_chart;
    /// assert_eq!(p_chart(&[4.0, 6.0, 30.0, 5.0], &[50.0; 4])?.outside(), 1);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn outside(&self) -> usize {
        self.points.iter().filter(|point| point.outside).count()
    }
}

/// A chart of shares, `events` of `cases` at each point: p̄ ± 3 √(p̄ (1 − p̄)/n), cut at 0 and 1
/// (Montgomery 2009, 7.8 from memory).
///
/// # Errors
/// No points, slices of different length, no cases at a point, or more events than cases.
///
/// ```
/// use statistics::control::p_chart;
/// let chart = p_chart(&[4.0, 6.0, 30.0, 5.0], &[50.0, 50.0, 50.0, 50.0])?;
/// assert_eq!(chart.outside(), 1);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn p_chart(events: &[f64], cases: &[f64]) -> Result<Chart> {
    counts(events, cases)?;
    if let Some(row) = events.iter().zip(cases).position(|(events, cases)| events > cases) {
        return Err(StatError::Value { row, value: events[row], wanted: "at most the number of cases" });
    }
    let centre = events.iter().sum::<f64>() / cases.iter().sum::<f64>();
    let point = |(events, n): (&f64, &f64)| {
        let half = 3.0 * (centre * (1.0 - centre) / n).sqrt();
        (events / n, (centre - half).max(0.0), (centre + half).min(1.0))
    };
    Ok(Chart::of(centre, events.iter().zip(cases).map(point)))
}

/// A chart of rates, `events` over an `exposure` (days, casts, children) at each point:
/// ū ± 3 √(ū/n), cut at 0 (Montgomery 2009, 7.25 from memory).
///
/// # Errors
/// As [`p_chart`], but a point may have more events than exposure.
///
/// ```
/// use statistics::control::u_chart;
/// let chart = u_chart(&[2.0, 4.0], &[1.0, 1.0])?;
/// assert_eq!(chart.centre, 3.0);
/// assert!((chart.points[0].upper - (3.0 + 3.0 * 3.0_f64.sqrt())).abs() < 1e-12);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn u_chart(events: &[f64], exposure: &[f64]) -> Result<Chart> {
    counts(events, exposure)?;
    let centre = events.iter().sum::<f64>() / exposure.iter().sum::<f64>();
    let point = |(events, n): (&f64, &f64)| {
        let half = 3.0 * (centre / n).sqrt();
        (events / n, (centre - half).max(0.0), centre + half)
    };
    Ok(Chart::of(centre, events.iter().zip(exposure).map(point)))
}

fn counts(events: &[f64], cases: &[f64]) -> Result<()> {
    same_length("the number of cases", events.len(), cases.len())?;
    finite("an event count", events)?;
    finite("a number of cases", cases)?;
    if events.is_empty() {
        return Err(StatError::NoRows);
    }
    if let Some(row) = cases.iter().position(|cases| *cases <= 0.0) {
        return Err(StatError::Value { row, value: cases[row], wanted: "above 0 cases" });
    }
    match events.iter().position(|events| *events < 0.0) {
        Some(row) => Err(StatError::Value { row, value: events[row], wanted: "a count from 0 up" }),
        None => Ok(()),
    }
}

/// A chart of single measurements with its chart of moving ranges.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct XmrChart {
    /// The measurements.
    pub values: Chart,
    /// The moving ranges |x_i − x_(i−1)|, one fewer than measurements.
    pub ranges: Chart,
    /// Mean moving range divided by d₂: the standard deviation behind the limits.
    pub sigma: f64,
}

/// A chart of single measurements: x̄ ± 3 mR̄/d₂, and for the moving ranges an upper limit of
/// (1 + 3 d₃/d₂) mR̄ (Wheeler and Chambers 1992; the familiar 2.66 and 3.267), with d₂ = 2/√π and
/// d₃ = √(2 − 4/π) exactly.
///
/// # Errors
/// Fewer than two measurements, or one that is not a number.
///
/// ```
/// use statistics::control::xmr_chart;
/// let chart = xmr_chart(&[5.0, 7.0, 5.0, 7.0])?;
/// assert!((chart.values.points[0].upper - (6.0 + 2.658_68 * 2.0)).abs() < 1e-4);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn xmr_chart(values: &[f64]) -> Result<XmrChart> {
    finite("a measurement", values)?;
    if values.len() < 2 {
        return Err(StatError::Undefined("a chart of single measurements needs at least two of them"));
    }
    let ranges: Vec<f64> = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).collect();
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let mean_range = ranges.iter().sum::<f64>() / ranges.len() as f64;
    let (d2, d3) = (2.0 / PI.sqrt(), (2.0 - 4.0 / PI).sqrt());
    let sigma = mean_range / d2;
    let top = mean_range * (1.0 + 3.0 * d3 / d2);
    Ok(XmrChart {
        values: Chart::of(mean, values.iter().map(|x| (*x, mean - 3.0 * sigma, mean + 3.0 * sigma))),
        ranges: Chart::of(mean_range, ranges.iter().map(|range| (*range, 0.0, top))),
        sigma,
    })
}

/// A chart of cases (or days) between rare events, geometric: ḡ ± 3 √(ḡ (ḡ + 1)), cut at 0 (Benneyan
/// 2001). A point above its limit means that the event has become rarer. The lower limit is nearly always
/// 0, so no single point can show that the event has become more common; a run of small values can.
///
/// # Errors
/// No points, or a value that is not a whole number from 0 up.
///
/// ```
/// use statistics::control::g_chart;
/// let chart = g_chart(&[3.0, 5.0, 1.0, 3.0])?;
/// assert_eq!(chart.centre, 3.0);
/// assert!((chart.points[0].upper - (3.0 + 3.0 * 12.0_f64.sqrt())).abs() < 1e-12);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn g_chart(between: &[f64]) -> Result<Chart> {
    if between.is_empty() {
        return Err(StatError::NoRows);
    }
    let wrong = |value: &f64| !(*value >= 0.0 && value.fract() == 0.0 && value.is_finite());
    if let Some(row) = between.iter().position(wrong) {
        return Err(StatError::Value { row, value: between[row], wanted: "a whole number from 0 up" });
    }
    let mean = between.iter().sum::<f64>() / between.len() as f64;
    let half = 3.0 * (mean * (mean + 1.0)).sqrt();
    let (lower, upper) = ((mean - half).max(0.0), mean + half);
    Ok(Chart::of(mean, between.iter().map(|value| (*value, lower, upper))))
}
