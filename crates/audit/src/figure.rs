//! A figure with its limits, and how many it rests on.

use crate::{Case, definition::MeasureKind};
use serde::Serialize;

/// The version of the program that computes the figures.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// A value with its 95 % confidence interval, where there are enough children for one.
///
/// [`statistics::agreement::IntervalEstimate`] is another type because an estimator always has limits, and a standard
/// error.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Lower limit of the interval, if there is one.
    pub lower: Option<f64>,
    /// Upper limit of the interval, if there is one.
    pub upper: Option<f64>,
}

impl Estimate {
    /// A value with both limits of its interval, or with none.
    #[must_use]
    pub fn new(value: f64, limits: Option<(f64, f64)>) -> Self {
        Self { value, lower: limits.map(|(low, _)| low), upper: limits.map(|(_, high)| high) }
    }
}

/// One figure of a measure. Shares run from 0 to 1.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// What the value is: "median", "at 2 years".
    pub label: String,
    /// The value with its interval.
    #[serde(flatten)]
    pub estimate: Estimate,
}

/// Numbers of cases, of children and of those with the event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct CaseCounts {
    /// Number of feet or children.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Events; `None` if the measure counts no events.
    pub events: Option<usize>,
    /// Children with an event.
    pub event_children: Option<usize>,
    /// Children without the event, or with a foot without it.
    pub free_children: Option<usize>,
}

/// Counts cases, children and events.
#[must_use]
pub(crate) fn counted<'a>(kind: MeasureKind, cases: impl IntoIterator<Item = &'a Case>) -> CaseCounts {
    let mut all = CaseCounts::default();
    let (mut events, mut with, mut without) = (0, 0, 0);
    let (mut last, mut last_with, mut last_without) = (u32::MAX, u32::MAX, u32::MAX);
    for case in cases {
        all.n += 1;
        all.children += usize::from(case.child != last);
        last = case.child;
        // Times to an event also have the event as a value of 0 or 1.
        if case.value > 0.0 {
            events += case.value as usize;
            with += usize::from(case.child != last_with);
            last_with = case.child;
        } else {
            without += usize::from(case.child != last_without);
            last_without = case.child;
        }
    }
    if kind != MeasureKind::Number {
        (all.events, all.event_children, all.free_children) = (Some(events), Some(with), Some(without));
    }
    all
}

pub(crate) fn figure(label: &str, value: f64, limits: Option<(f64, f64)>) -> Figure {
    Figure { label: label.to_owned(), estimate: Estimate::new(value, limits) }
}
