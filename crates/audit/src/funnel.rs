//! Funnel plots: sites or clinicians compared, with control limits for chance alone.
//!
//! Shares have exact binomial limits at the effective number of independent feet (Spiegelhalter 2005).
//! Numbers have normal limits around the overall mean. Times to an event and rates are shown as observed
//! over expected events at the overall hazard, given how long each was observed (indirect
//! standardisation), with normal limits on the square root (variance 1/4E, Bartlett 1936, from memory)
//! times the design effect. The severity of feet is not adjusted for.

use crate::{Case, GroupBy, Measure, cases::timed, classes::classes, definition::MeasureKind, ratio::Ratio};
use serde::Serialize;
use statistics::control::exact_binomial_limits;

/// By chance one unit in twenty lies outside the inner limits.
const INNER: f64 = 1.959_963_984_540_054;
/// By chance one unit in five hundred lies outside the outer limits.
const OUTER: f64 = 3.090_232_306_167_813;

/// A site or clinician in a funnel plot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FunnelPoint {
    /// Number of the site or clinician.
    pub code: i32,
    /// Number of feet or children.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Its size on the horizontal axis: effective number, or expected events.
    pub size: f64,
    /// Share, mean, or observed over expected events.
    pub value: f64,
    /// Limits that contain 95 % of units by chance.
    pub inner: (f64, f64),
    /// Limits that contain 99.8 % of units by chance.
    pub outer: (f64, f64),
}

/// What the values of a funnel plot are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FunnelKind {
    /// Shares.
    Share,
    /// Means.
    Mean,
    /// Observed over expected events.
    OverExpected,
}

/// A funnel plot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FunnelChart {
    /// The units: sites or clinicians.
    pub by: GroupBy,
    /// What the values are.
    pub kind: FunnelKind,
    /// The overall value of the clinic with which every unit is compared; never an external target.
    pub overall: f64,
    /// The design effect used for the limits.
    pub design_effect: f64,
    /// Units by size.
    pub points: Vec<FunnelPoint>,
    /// The limits along the horizontal axis, for drawing.
    pub limits: Vec<FunnelLimit>,
}

/// The limits of a funnel plot at one size.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FunnelLimit {
    /// The size.
    pub size: f64,
    /// Limits that contain 95 % of units by chance.
    pub inner: (f64, f64),
    /// Limits that contain 99.8 % of units by chance.
    pub outer: (f64, f64),
}

/// The inner and the outer limits.
type Limits = ((f64, f64), (f64, f64));

/// Limits at sizes from small to a little above the largest unit.
fn along(points: &[FunnelPoint], whole: bool, limits: impl Fn(f64) -> Option<Limits>) -> Vec<FunnelLimit> {
    const STEPS: u32 = 48;
    let most = points.iter().map(|point| point.size).fold(0.0, f64::max) * 1.08;
    let sizes = (1..=STEPS).map(|step| most * (f64::from(step) / f64::from(STEPS)).powi(2));
    let mut sizes: Vec<f64> = sizes.map(|size| if whole { size.round().max(1.0) } else { size }).collect();
    sizes.dedup();
    let limit = |size: f64| limits(size).map(|(inner, outer)| FunnelLimit { size, inner, outer });
    sizes.into_iter().filter_map(limit).collect()
}

impl FunnelPoint {
    /// A unit of a size; `None` if it has no value or no limits.
    fn of(code: i32, ratio: &Ratio, size: f64, limits: impl Fn(f64) -> Option<Limits>) -> Option<Self> {
        let (inner, outer) = limits(size)?;
        Some(Self { code, n: ratio.n, children: ratio.children, size, value: ratio.value()?, inner, outer })
    }

    /// Whether it lies outside the outer limits.
    #[must_use]
    pub fn outside(&self) -> bool {
        self.value < self.outer.0 || self.value > self.outer.1
    }
}

/// The cumulative hazard of the event by day (Nelson–Aalen).
struct Hazard(Vec<f64>);

impl Hazard {
    fn of(cases: &[Case]) -> Self {
        let longest = cases.iter().map(|case| case.time).max().unwrap_or(0).max(0) as usize;
        let (mut at_risk, mut events) = (vec![0.0; longest + 2], vec![0.0; longest + 2]);
        for case in cases {
            // At risk from the day after entry; with entry at 0 from day 0.
            let first = if case.enter == 0 { 0 } else { case.enter + 1 };
            if first <= case.time {
                at_risk[first as usize] += 1.0;
                at_risk[case.time as usize + 1] -= 1.0;
                events[case.time as usize] += f64::from(u8::from(case.cause == 1));
            }
        }
        let (mut sum, mut hazard) = (0.0, 0.0);
        let day = |(change, events): (f64, f64)| {
            sum += change;
            if events > 0.0 && sum > 0.0 {
                hazard += events / sum;
            }
            hazard
        };
        Self(at_risk.into_iter().zip(events).map(day).collect())
    }

    fn expected(&self, case: &Case) -> f64 {
        let at = |day: i32| self.0.get(day.max(0) as usize).copied().unwrap_or(0.0);
        let before = if case.enter == 0 { 0.0 } else { at(case.enter) };
        (at(case.time) - before).max(0.0)
    }
}

/// The funnel plot of a measure by site or clinician; `None` with fewer than two of them.
#[must_use]
pub(crate) fn funnel(measure: Measure, cases: &[Case], by: GroupBy) -> Option<FunnelChart> {
    let kind = measure.definition().kind;
    let classes = classes(cases, by);
    if classes.len() < 2 {
        return None;
    }
    let mut funnel = match kind {
        MeasureKind::Share => of_shares(cases, &classes, by)?,
        MeasureKind::Number => of_means(cases, &classes, by)?,
        _ => over_expected(cases, &classes, by, timed(kind))?,
    };
    funnel.points.sort_by(|a, b| a.size.total_cmp(&b.size).then(a.code.cmp(&b.code)));
    Some(funnel)
}

fn of_shares(cases: &[Case], classes: &[(i32, Vec<Case>)], by: GroupBy) -> Option<FunnelChart> {
    let all = Ratio::of(cases);
    let (overall, effect) = (all.value()?, all.design_effect());
    if overall <= 0.0 || overall >= 1.0 {
        return None;
    }
    let limits = |size: f64| {
        let at =
            |tail| exact_binomial_limits(size as u64, overall, tail).ok().map(|one| (one.lower, one.upper));
        Some((at(0.025)?, at(0.001)?))
    };
    let point = |(code, cases): &(i32, Vec<Case>)| {
        let ratio = Ratio::of(cases);
        FunnelPoint::of(*code, &ratio, (ratio.x / effect).round().max(1.0), limits)
    };
    let points: Vec<FunnelPoint> = classes.iter().filter_map(point).collect();
    let limits = along(&points, true, limits);
    Some(FunnelChart { by, kind: FunnelKind::Share, overall, design_effect: effect, points, limits })
}

fn of_means(cases: &[Case], classes: &[(i32, Vec<Case>)], by: GroupBy) -> Option<FunnelChart> {
    let all = Ratio::of(cases);
    let (overall, effect) = (all.value()?, all.design_effect());
    let sd = within_units(cases.len(), classes, overall)?;
    let limits = |size: f64| {
        let at = |z: f64| (overall - z * sd / size.sqrt(), overall + z * sd / size.sqrt());
        Some((at(INNER), at(OUTER)))
    };
    let point = |(code, cases): &(i32, Vec<Case>)| {
        let ratio = Ratio::of(cases);
        FunnelPoint::of(*code, &ratio, ratio.n as f64 / effect, limits)
    };
    let points: Vec<FunnelPoint> = classes.iter().filter_map(point).collect();
    let limits = along(&points, false, limits);
    Some(FunnelChart { by, kind: FunnelKind::Mean, overall, design_effect: effect, points, limits })
}

/// The standard deviation within units, so that an outlying unit does not widen its own limits.
fn within_units(n: usize, classes: &[(i32, Vec<Case>)], overall: f64) -> Option<f64> {
    let squares = |(_, cases): &(i32, Vec<Case>)| {
        let mean = Ratio::of(cases).value().unwrap_or(overall);
        cases.iter().map(|case| (f64::from(case.value) - mean).powi(2)).sum::<f64>()
    };
    let within: f64 = classes.iter().map(squares).sum();
    let spare = n.checked_sub(classes.len()).filter(|spare| *spare > 0)?;
    Some((within / spare as f64).sqrt())
}

fn over_expected(
    cases: &[Case],
    classes: &[(i32, Vec<Case>)],
    by: GroupBy,
    timed: bool,
) -> Option<FunnelChart> {
    let expected = ExpectedEvents::of(cases, timed)?;
    let all = expected.ratio(cases);
    all.value().filter(|_| all.y > 0.0)?;
    let effect = all.design_effect();
    let limits = |size: f64| {
        let at = |z: f64| {
            let half = z * effect.sqrt() / (2.0 * size.sqrt());
            ((1.0 - half).max(0.0).powi(2), (1.0 + half).powi(2))
        };
        (size > 0.0).then(|| (at(INNER), at(OUTER)))
    };
    let point = |(code, cases): &(i32, Vec<Case>)| {
        let ratio = expected.ratio(cases);
        FunnelPoint::of(*code, &ratio, ratio.x, limits)
    };
    let points: Vec<FunnelPoint> = classes.iter().filter_map(point).collect();
    let limits = along(&points, false, limits);
    let kind = FunnelKind::OverExpected;
    Some(FunnelChart { by, kind, overall: 1.0, design_effect: effect, points, limits })
}

/// The events expected of a case if every unit were like the whole clinic.
struct ExpectedEvents {
    /// For times to an event.
    hazard: Option<Hazard>,
    /// For rates: events per unit of the denominator.
    overall: f64,
}

impl ExpectedEvents {
    fn of(cases: &[Case], timed: bool) -> Option<Self> {
        Some(Self { hazard: timed.then(|| Hazard::of(cases)), overall: Ratio::of(cases).value()? })
    }

    /// Observed over expected events.
    fn ratio(&self, cases: &[Case]) -> Ratio {
        let mut ratio = Ratio::default();
        for case in cases {
            let expected = match &self.hazard {
                Some(hazard) => hazard.expected(case),
                None => self.overall * f64::from(case.of),
            };
            ratio.add(case.child, case.value.into(), expected);
        }
        ratio.done()
    }
}
