//! Times to an event: survival and cumulative incidence, with the numbers still at risk.

use crate::{
    Case, Measure,
    definition::MeasureKind,
    figure::{Estimate, Figure, figure},
};
use serde::Serialize;
use statistics::survival::{CompetingRisks, Interval, KaplanMeier, Spells, cumulative_incidence_clustered};

/// A step of a curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CurveStep {
    /// Days on the measure's clock.
    pub days: f64,
    /// At risk just before this time.
    pub at_risk: f64,
    /// Events at this time.
    pub events: f64,
    /// The share free of the event, or with it.
    pub share: f64,
    /// Lower limit of the 95 % confidence interval, if there is one.
    pub lower: Option<f64>,
    /// Upper limit.
    pub upper: Option<f64>,
}

/// A curve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Curve {
    /// What the curve shows.
    pub name: &'static str,
    /// Whether it falls from 1 (free of the event) or rises from 0.
    pub falls: bool,
    /// The steps with an event, and the last time of observation.
    pub steps: Vec<CurveStep>,
    /// Numbers at risk at each half year from 0: (days, at risk).
    pub at_risk: Vec<(f64, f64)>,
    /// Days by which half have had the event, with its interval, if the curve reaches one half.
    pub median: Option<(f64, Option<f64>, Option<f64>)>,
    /// The shares at the horizons of the measure at which enough are still at risk.
    #[serde(skip)]
    pub horizons: Vec<Figure>,
}

/// Days between the counts of those at risk: half of a year of 365.25 days.
const APART: f64 = 182.625;
/// A share is read only while at least this many are at risk: with fewer, one case moves the curve by more
/// than a fifth of its height.
pub const FEWEST_AT_RISK: usize = 5;

/// The curves of a measure; empty for a measure without times.
#[must_use]
pub(crate) fn curves(measure: Measure, cases: &[Case]) -> Vec<Curve> {
    let mut curves: Vec<Curve> = match measure.definition().kind {
        MeasureKind::FreeOf => free_of(cases).into_iter().collect(),
        MeasureKind::Incidence => incidences(measure, cases),
        _ => Vec::new(),
    };
    let ended: Vec<f64> = measure
        .definition()
        .horizons_days
        .iter()
        .map(|days| {
            curves
                .iter()
                .filter(|curve| !curve.falls)
                .filter_map(|curve| curve.at((*days).into()))
                .map(|step| step.share)
                .sum()
        })
        .collect();
    for curve in &mut curves {
        curve.horizons = curve.at_horizons(measure, cases, &ended);
    }
    curves
}

/// Consecutive cluster codes from 0 for the children of the cases.
fn clusters(cases: &[Case]) -> Vec<u32> {
    let mut next = 0;
    let mut codes = Vec::with_capacity(cases.len());
    for (place, case) in cases.iter().enumerate() {
        if place > 0 && cases[place - 1].child != case.child {
            next += 1;
        }
        codes.push(next);
    }
    codes
}

/// When observation of each case begins; `None` if all begin at 0. A case observed from the beginning is at
/// risk on day 0, so it starts before that day.
fn starts(cases: &[Case]) -> Option<Vec<f64>> {
    let start = |case: &Case| if case.enter == 0 { -1.0 } else { f64::from(case.enter) };
    cases.iter().any(|case| case.enter > 0).then(|| cases.iter().map(start).collect())
}

fn free_of(cases: &[Case]) -> Option<Curve> {
    let stop: Vec<f64> = cases.iter().map(|case| f64::from(case.time)).collect();
    let event: Vec<bool> = cases.iter().map(|case| case.cause == 1).collect();
    let start = starts(cases);
    let mut spells = Spells::new(&stop, &event).ok()?;
    if let Some(start) = &start {
        spells = spells.entering(start).ok()?;
    }
    let curve = KaplanMeier::clustered(&spells, &clusters(cases), &Interval::default()).ok()?;
    let median = curve.median();
    let steps = curve.points.iter().map(|point| CurveStep {
        days: point.time,
        at_risk: point.at_risk,
        events: point.events,
        share: point.survival,
        lower: point.lower,
        upper: point.upper,
    });
    Some(Curve {
        name: "free of the event",
        falls: true,
        steps: with_events(steps),
        at_risk: at_risk(cases),
        median: median.time.map(|time| (time, median.lower, median.upper)),
        horizons: Vec::new(),
    })
}

fn incidences(measure: Measure, cases: &[Case]) -> Vec<Curve> {
    let names = measure.causes();
    let stop: Vec<f64> = cases.iter().map(|case| f64::from(case.time)).collect();
    let cause: Vec<u32> = cases.iter().map(|case| u32::from(case.cause)).collect();
    let start = starts(cases);
    let data = CompetingRisks::new(&stop, &cause, names.len()).and_then(|data| match &start {
        Some(start) => data.entering(start),
        None => Ok(data),
    });
    let Ok(data) = data else { return Vec::new() };
    let found =
        cumulative_incidence_clustered(&data, &clusters(cases), &Interval::default()).unwrap_or_default();
    let curve = |(name, one): (&&'static str, statistics::survival::CumulativeIncidence)| {
        let steps = one.points.iter().map(|point| CurveStep {
            days: point.time,
            at_risk: point.at_risk,
            events: point.events,
            share: point.incidence,
            lower: point.lower,
            upper: point.upper,
        });
        Curve {
            name,
            falls: false,
            steps: with_events(steps),
            at_risk: at_risk(cases),
            median: None,
            horizons: Vec::new(),
        }
    };
    names.iter().zip(found).map(curve).collect()
}

/// The steps with an event, and the last one. The rest is dropped: a hundred thousand feet are censored on
/// thousands of days.
fn with_events(steps: impl Iterator<Item = CurveStep>) -> Vec<CurveStep> {
    let mut retained: Vec<CurveStep> = Vec::new();
    let mut last = None;
    for step in steps {
        if step.events > 0.0 {
            retained.push(step);
        }
        last = Some(step);
    }
    retained.extend(last.filter(|last| last.events == 0.0));
    retained
}

fn at_risk(cases: &[Case]) -> Vec<(f64, f64)> {
    let longest = cases.iter().map(|case| case.time).max().unwrap_or(0);
    let count = (f64::from(longest) / APART) as usize + 1;
    // One pass: at risk at time t are the cases that enter before t and end at or after it; at 0, those that
    // start there.
    let mut sums = vec![0.0; count + 1];
    for case in cases {
        let first = if case.enter == 0 { 0 } else { (f64::from(case.enter) / APART) as usize + 1 };
        let last = (f64::from(case.time) / APART) as usize;
        if first <= last && first < count {
            sums[first] += 1.0;
            sums[(last + 1).min(count)] -= 1.0;
        }
    }
    let mut sum = 0.0;
    let counts = sums.iter().take(count).enumerate().map(|(place, change)| {
        sum += change;
        (place as f64 * APART, sum)
    });
    counts.collect()
}

impl Curve {
    /// The last step at or before a time.
    #[must_use]
    pub fn at(&self, days: f64) -> Option<&CurveStep> {
        let after = self.steps.partition_point(|step| step.days <= days);
        after.checked_sub(1).map(|place| &self.steps[place])
    }

    /// `ended` is the share with the event or a competing event by each horizon.
    fn at_horizons(&self, measure: Measure, cases: &[Case], ended: &[f64]) -> Vec<Figure> {
        let watched = |days: i32| cases.iter().filter(|case| case.enter < days && case.time >= days).count();
        let read = |(&days, ended): (&i32, &f64)| {
            let (share, limits) = match self.at(days.into()) {
                Some(step) => (step.share, step.lower.zip(step.upper)),
                None => (if self.falls { 1.0 } else { 0.0 }, None),
            };
            // If it has ended for nine in ten, few are left under observation and the share is still known.
            let readable =
                watched(days) >= FEWEST_AT_RISK || (*ended >= 0.9 && cases.len() >= FEWEST_AT_RISK);
            readable.then(|| figure(&at_words(measure, days), share, limits))
        };
        measure.definition().horizons_days.iter().zip(ended).filter_map(read).collect()
    }

    pub(crate) fn median_figure(&self) -> Option<Figure> {
        let (value, lower, upper) = self.median?;
        let estimate = Estimate { value, lower, upper };
        Some(Figure { label: "half have had the event by (days)".to_owned(), estimate })
    }
}

/// "at 2 years", "at 2 years of age", "at 91 days".
fn at_words(measure: Measure, days: i32) -> String {
    let years = f64::from(days) / 365.25;
    let of_age = if measure == Measure::RelapseFreeAge { " of age" } else { "" };
    if (years - years.round()).abs() < 0.02 && years > 0.9 {
        let years = years.round();
        let word = if years == 1.0 { "year" } else { "years" };
        return format!("at {years:.0} {word}{of_age}");
    }
    format!("at {days} days")
}
