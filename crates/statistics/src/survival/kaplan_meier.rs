//! The product-limit estimate of Kaplan and Meier.

use super::{
    Interval, Spells,
    timeline::{Tally, Timeline},
};
use crate::error::{Result, StatError, same_length};

/// A curve this close to a probability counts as equal to it, as in R survival.
const ON_IT: f64 = 1.490_116_119_384_765_6e-8;

/// One step of a survival curve.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct SurvivalPoint {
    /// Time, in the unit of the data.
    pub time: f64,
    /// Rows (or their weight) at risk just before.
    pub at_risk: f64,
    /// Rows with the event at this time.
    pub events: f64,
    /// Rows censored at this time, after the events.
    pub censored: f64,
    /// Share still free of the event after this time.
    pub survival: f64,
    /// Standard error of `survival`.
    pub std_err: f64,
    /// Lower limit; `None` if the scale of the interval has none.
    pub lower: Option<f64>,
    /// Upper limit; `None` as for the lower.
    pub upper: Option<f64>,
}

/// A quantile of the time to the event, with its limits; `None` if the curve does not fall that low.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Quantile {
    /// Share with the event by then.
    pub share: f64,
    /// The time.
    pub time: Option<f64>,
    /// Lower limit: the time at which the curve of lower limits falls that low.
    pub lower: Option<f64>,
    /// Upper limit: the time at which the curve of upper limits falls that low.
    pub upper: Option<f64>,
}

/// Mean time free of the event within a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct RestrictedMean {
    /// The limit.
    pub until: f64,
    /// Area under the curve up to it.
    pub mean: f64,
    /// Standard error.
    pub std_err: f64,
}

/// A survival curve.
///
/// S(t) = ∏ (1 − d/n) over the event times up to t (Kaplan and Meier 1958, equation 2b from memory).
/// The variance of log S is Σ d / (n (n − d)) (Greenwood 1926; Klein and Moeschberger 2003, 4.2.2);
/// `std_err` is S times its root. If several rows belong to one subject, [`Self::clustered`] gives the
/// infinitesimal jackknife over subjects instead.
///
/// ```
/// use statistics::survival::{Interval, KaplanMeier, Spells};
/// let spells = Spells::new(&[1.0, 2.0, 2.0, 3.0], &[true, true, false, false])?;
/// let curve = KaplanMeier::of(&spells, &Interval::default());
/// assert_eq!(curve.survival_at(2.0), 0.5);
/// # Ok::<(), statistics::StatError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct KaplanMeier {
    /// Rows.
    pub n: usize,
    /// Rows with the event, weights ignored.
    pub events: usize,
    /// One step for each distinct time at which a row ends, ascending.
    pub points: Vec<SurvivalPoint>,
    /// The interval of the points.
    pub interval: Interval,
}

impl KaplanMeier {
    /// The curve of a group without rows.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier};
    /// let curve = KaplanMeier::without_rows(&Interval::default());
    /// assert_eq!((curve.n, curve.survival_at(1.0)), (0, 1.0));
    /// ```
    #[must_use]
    pub fn without_rows(interval: &Interval) -> Self {
        Self { n: 0, events: 0, points: Vec::new(), interval: *interval }
    }

    /// The curve of all rows.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0, 5.0], &[true; 5])?;
    /// let curve = KaplanMeier::of(&spells, &Interval::default());
    /// assert_eq!((curve.n, curve.events), (5, 5));
    /// assert!((curve.points[1].survival - 0.6).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn of(spells: &Spells, interval: &Interval) -> Self {
        let tally = Tally::of(spells, &Timeline::of(spells.start, spells.stop), None, 1);
        Self {
            n: spells.len(),
            events: spells.events(),
            points: steps(&tally, 0, interval),
            interval: *interval,
        }
    }

    /// One curve for each group `0..groups`; a group without rows has a curve without points.
    ///
    /// # Errors
    /// A group code that is not below `groups`, or a length other than the number of rows.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?;
    /// let curves = KaplanMeier::by_group(&spells, &[0, 0, 1, 1], 2, &Interval::default())?;
    /// assert_eq!((curves[0].survival_at(1.0), curves[1].survival_at(1.0)), (0.5, 1.0));
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn by_group(spells: &Spells, group: &[u32], groups: usize, interval: &Interval) -> Result<Vec<Self>> {
        check_codes("the group", spells.len(), group, groups)?;
        let tally = Tally::of(spells, &Timeline::of(spells.start, spells.stop), Some(group), groups);
        let mut counts = vec![(0, 0); groups];
        for (group, event) in group.iter().zip(spells.event) {
            counts[*group as usize].0 += 1;
            counts[*group as usize].1 += usize::from(*event);
        }
        let curve = |(at, (n, events)): (usize, (usize, usize))| Self {
            n,
            events,
            points: steps(&tally, at, interval),
            interval: *interval,
        };
        Ok(counts.into_iter().enumerate().map(curve).collect())
    }

    /// The share still free of the event after `time`: 1 before the first step, constant after the last.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0, 5.0], &[true; 5])?;
    /// let curve = KaplanMeier::of(&spells, &Interval::default());
    /// assert!((curve.survival_at(2.5) - 0.6).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn survival_at(&self, time: f64) -> f64 {
        let after = self.points.partition_point(|point| point.time <= time);
        after.checked_sub(1).map_or(1.0, |last| self.points[last].survival)
    }

    /// The median: the time by which half of the rows have had the event.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0, 5.0], &[true; 5])?;
    /// let curve = KaplanMeier::of(&spells, &Interval::default());
    /// assert_eq!(curve.median().time, Some(3.0));
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn median(&self) -> Quantile {
        self.quantile(0.5)
    }

    /// The time by which a `share` of the rows have had the event: the first time at which the curve falls
    /// below 1 − share. If the curve is constant at exactly that height, the middle of the constant part if
    /// the curve falls later, else its start. The limits invert the pointwise interval (Brookmeyer and
    /// Crowley 1982), as in R survival.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0, 5.0], &[true; 5])?;
    /// let curve = KaplanMeier::of(&spells, &Interval::default());
    /// assert_eq!(curve.quantile(0.25).time, Some(2.0));
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn quantile(&self, share: f64) -> Quantile {
        let height = 1.0 - share;
        let along = |value: fn(&SurvivalPoint) -> Option<f64>| {
            let known = self.points.iter().filter_map(move |point| Some((point.time, value(point)?)));
            crossing(known, height)
        };
        Quantile {
            share,
            time: along(|point| Some(point.survival)),
            lower: along(|point| point.lower),
            upper: along(|point| point.upper),
        }
    }

    /// Restricted mean: area under the curve from 0 to `until`. Beyond its last step the curve is taken as
    /// constant.
    ///
    /// Variance Σ A(t)² d / (n (n − d)) with A(t) the area from t up to the limit (Klein and
    /// Moeschberger 2003, 4.5.1 and 4.5.2).
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0, 5.0], &[true; 5])?;
    /// let curve = KaplanMeier::of(&spells, &Interval::default());
    /// // 1 + 0.8 + 0.6
    /// assert!((curve.restricted_mean(3.0).mean - 2.4).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn restricted_mean(&self, until: f64) -> RestrictedMean {
        let within = self.points.partition_point(|point| point.time <= until);
        let points = &self.points[..within];
        let (mut area, mut variance) = (0.0, 0.0);
        let mut right = until;
        for point in points.iter().rev() {
            area += (right - point.time) * point.survival;
            right = point.time;
            let left = remaining(point.at_risk, point.events);
            if left > 0.0 {
                variance += area * area * point.events / (point.at_risk * left);
            }
        }
        RestrictedMean { until, mean: area + right.max(0.0), std_err: f64::sqrt(variance) }
    }

    /// The last time at which a row ends; 0 for a curve without rows.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0, 5.0], &[true; 5])?;
    /// let curve = KaplanMeier::of(&spells, &Interval::default());
    /// assert_eq!(curve.last_time(), 5.0);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn last_time(&self) -> f64 {
        self.points.last().map_or(0.0, |point| point.time)
    }
}

fn steps(tally: &Tally, group: usize, interval: &Interval) -> Vec<SurvivalPoint> {
    let (mut survival, mut greenwood) = (1.0, 0.0);
    let step = |(time, at_risk, events, censored): (f64, f64, f64, f64)| {
        let left = remaining(at_risk, events);
        survival *= left / at_risk;
        if left > 0.0 {
            greenwood += events / (at_risk * left);
        }
        point(time, (at_risk, events, censored), survival, survival * f64::sqrt(greenwood), interval)
    };
    tally.column(group).map(step).collect()
}

/// The weight left after the events; exactly 0 if only rounding is left.
pub(super) fn remaining(at_risk: f64, events: f64) -> f64 {
    let left = at_risk - events;
    if left > 1e-12 * at_risk { left } else { 0.0 }
}

pub(super) fn point(
    time: f64,
    (at_risk, events, censored): (f64, f64, f64),
    survival: f64,
    std_err: f64,
    interval: &Interval,
) -> SurvivalPoint {
    let limits = interval.of(survival, std_err);
    let (lower, upper) = (limits.map(|limits| limits.0), limits.map(|limits| limits.1));
    SurvivalPoint { time, at_risk, events, censored, survival, std_err, lower, upper }
}

/// The time at which a falling curve reaches a height.
fn crossing(mut curve: impl Iterator<Item = (f64, f64)>, height: f64) -> Option<f64> {
    let (time, value) = curve.find(|(_, value)| *value < height + ON_IT)?;
    if value < height - ON_IT {
        return Some(time);
    }
    match curve.find(|(_, later)| *later < value) {
        Some((later, _)) => Some(0.5 * (time + later)),
        None => Some(time),
    }
}

pub(crate) fn check_codes(what: &'static str, rows: usize, codes: &[u32], limit: usize) -> Result<()> {
    same_length(what, rows, codes.len())?;
    match codes.iter().position(|code| *code as usize >= limit) {
        None => Ok(()),
        Some(row) => Err(StatError::Value {
            row,
            value: f64::from(codes[row]),
            wanted: "the number of a group, counted from 0",
        }),
    }
}
