//! The Nelson–Aalen estimate of the cumulative hazard.

use super::{
    Spells,
    timeline::{Tally, Timeline},
};

/// Handling of several events at the same time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum HazardTies {
    /// One step of d/n: R survival's `ctype = 1`.
    #[default]
    Together,
    /// One event after another, 1/n + 1/(n − 1) + …, as if the times differed (Fleming and Harrington
    /// 1984): R survival's `ctype = 2`. Some programs call this Nelson–Aalen.
    OneByOne,
}

/// One step of a cumulative hazard.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct HazardPoint {
    /// Time.
    pub time: f64,
    /// Rows (or their weight) at risk just before.
    pub at_risk: f64,
    /// Rows with the event at this time.
    pub events: f64,
    /// Cumulative hazard after this time.
    pub hazard: f64,
    /// Its standard error.
    pub std_err: f64,
}

/// Cumulative hazard Σ d/n with variance Σ d/n² (Nelson 1972; Aalen 1978; Klein and Moeschberger
/// 2003, 4.2.3 and 4.2.4).
///
/// ```
/// use statistics::survival::{HazardTies, Spells, nelson_aalen};
/// let spells = Spells::new(&[1.0, 2.0], &[true, true])?;
/// let hazard = nelson_aalen(&spells, HazardTies::Together);
/// assert_eq!(hazard[1].hazard, 1.5);
/// # Ok::<(), statistics::StatError>(())
/// ```
#[must_use]
pub fn nelson_aalen(spells: &Spells, ties: HazardTies) -> Vec<HazardPoint> {
    let tally = Tally::of(spells, &Timeline::of(spells.start, spells.stop), None, 1);
    let (mut hazard, mut variance) = (0.0, 0.0);
    let step = |(time, at_risk, events, _): (f64, f64, f64, f64)| {
        let (rise, spread) = match ties {
            HazardTies::Together => (events / at_risk, events / (at_risk * at_risk)),
            HazardTies::OneByOne => one_by_one(at_risk, events),
        };
        hazard += rise;
        variance += spread;
        HazardPoint { time, at_risk, events, hazard, std_err: f64::sqrt(variance) }
    };
    tally.column(0).map(step).collect()
}

/// Σ 1/(n − k) and Σ 1/(n − k)² for k below the number of events. With fractional
/// weights the last term counts by its fraction.
fn one_by_one(at_risk: f64, events: f64) -> (f64, f64) {
    let (mut rise, mut spread, mut k) = (0.0, 0.0, 0.0);
    while k < events {
        let part = (events - k).min(1.0);
        let left = at_risk - k;
        rise += part / left;
        spread += part / (left * left);
        k += 1.0;
    }
    (rise, spread)
}
