//! A figure with its limits, and how many it rests on.

use crate::{Case, definition::Kind};
use serde::Serialize;

/// The version of the program that computes the figures.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// One figure with its limits at 95 %. Shares run from 0 to 1.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// What it is: "median", "at 2 years".
    pub label: String,
    /// The value.
    pub value: f64,
    /// Lower limit, where there is one.
    pub lower: Option<f64>,
    /// Upper limit, where there is one.
    pub upper: Option<f64>,
}

/// How many, and how many with the event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Counted {
    /// Feet or children.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// Events; `None` where a measure has none.
    pub events: Option<usize>,
    /// Children with an event.
    pub event_children: Option<usize>,
    /// Children with a foot, or themselves, without it.
    pub free_children: Option<usize>,
}

/// How many cases and events.
#[must_use]
pub(crate) fn counted<'a>(kind: Kind, cases: impl IntoIterator<Item = &'a Case>) -> Counted {
    let mut all = Counted::default();
    let (mut events, mut with, mut without) = (0, 0, 0);
    let (mut last, mut last_with, mut last_without) = (u32::MAX, u32::MAX, u32::MAX);
    for case in cases {
        all.n += 1;
        all.children += usize::from(case.child != last);
        last = case.child;
        // Times to an event carry their event as a value of 0 or 1 too.
        if case.value > 0.0 {
            events += case.value as usize;
            with += usize::from(case.child != last_with);
            last_with = case.child;
        } else {
            without += usize::from(case.child != last_without);
            last_without = case.child;
        }
    }
    if kind != Kind::Number {
        (all.events, all.event_children, all.free_children) = (Some(events), Some(with), Some(without));
    }
    all
}

pub(crate) fn figure(label: &str, value: f64, limits: Option<(f64, f64)>) -> Figure {
    Figure {
        label: label.to_owned(),
        value,
        lower: limits.map(|(low, _)| low),
        upper: limits.map(|(_, high)| high),
    }
}
