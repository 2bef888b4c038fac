//! When a change is called more than chance.
//!
//! **The rule.** Two signs are asked, and kept apart. *The years*: the last twelve months differ from the
//! twelve before with p below 0.01. *The chart*: of at least twelve points, one of the last twelve months
//! lies outside its limits. **More than chance** is said only where both say so and in one direction.
//! Where one says so alone, or they point in opposite directions, that is **one sign of two**, and the
//! sentence says which. Below 0.05 without a signal it is **perhaps chance**, because a page with twenty
//! comparisons shows one such by luck alone. Where the years cannot be compared and the chart is silent,
//! there are **too few to say**.
//!
//! Why both: with twenty measures a page makes twenty comparisons and draws some four hundred points, so
//! that one of either kind is seen every few pages though nothing has changed.

use crate::{
    chart::{ChartKind, ControlChart, FEWEST_POINTS},
    ratio::Difference,
    words,
};
use record::Day;
use serde::Serialize;

/// Below which the years are said to differ.
pub(crate) const DIFFERS: f64 = 0.01;
const PERHAPS: f64 = 0.05;

/// What is to be thought of a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The years differ with p below 0.01 and the chart has a point of the last year outside, both in one
    /// direction.
    MoreThanChance,
    /// One of the two says so, or they point in opposite directions.
    OneSign,
    /// p from 0.01 to 0.05, and the chart is silent.
    PerhapsChance,
    /// No more than chance.
    NoMoreThanChance,
    /// Too few to say.
    TooFew,
}

impl Verdict {
    /// In a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MoreThanChance => "more than chance",
            Self::OneSign => "one sign of two",
            Self::PerhapsChance => "perhaps chance",
            Self::NoMoreThanChance => "no more than chance",
            Self::TooFew => "too few to say",
        }
    }
}

/// What a chart says of the last year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Late {
    /// Whether the chart has points enough to be heard.
    pub(crate) judged: bool,
    /// Points of the last year outside that mean more of what is counted.
    pub(crate) more: usize,
    /// Those that mean less.
    pub(crate) less: usize,
}

impl Late {
    /// Limits made from fewer than twelve points move with every new one, so nothing is called from them.
    pub(crate) fn of(chart: Option<&ControlChart>, as_of: Day) -> Self {
        let Some(chart) = chart.filter(|chart| chart.points.len() >= 2 * FEWEST_POINTS) else {
            return Self::default();
        };
        let mut late = Self { judged: true, ..Self::default() };
        for point in chart.points.iter().filter(|point| point.outside && as_of - point.to < 365) {
            // Many between one event and the next is less of the event.
            let above = (point.value > point.upper) != (chart.kind == ChartKind::G);
            *(if above { &mut late.more } else { &mut late.less }) += 1;
        }
        late
    }

    pub(crate) const fn any(self) -> bool {
        self.more + self.less > 0
    }

    const fn agrees(self, rises: bool) -> bool {
        if rises { self.more > 0 } else { self.less > 0 }
    }
}

/// By the rule above.
pub(crate) fn verdict(found: Option<&Difference>, late: Late) -> Verdict {
    match found {
        None if late.any() => Verdict::OneSign,
        None => Verdict::TooFew,
        Some(found) if found.p < DIFFERS && late.agrees(found.value > 0.0) => Verdict::MoreThanChance,
        Some(found) if found.p < DIFFERS || late.any() => Verdict::OneSign,
        Some(found) if found.p < PERHAPS => Verdict::PerhapsChance,
        Some(_) => Verdict::NoMoreThanChance,
    }
}

/// Which of the two says what; nothing where neither says anything.
pub(crate) fn which(found: Option<&Difference>, late: Late) -> Option<String> {
    let points = |n: usize| if n == 1 { "one point".to_owned() } else { format!("{n} points") };
    let outside = points(late.more + late.less);
    let stand = if late.more + late.less == 1 { "stands" } else { "stand" };
    let p = |found: &Difference| words::probability(found.p);
    let sentence = match found {
        None if late.any() => format!(
            "One sign of two: {outside} of the last year {stand} outside the limits; the years cannot be compared"
        ),
        None => return None,
        Some(found) if found.p < DIFFERS && late.agrees(found.value > 0.0) => {
            "Both say so, years and chart, and in one direction: more than chance".to_owned()
        }
        Some(found) if found.p < DIFFERS && late.any() => format!(
            "The two point in opposite directions: {outside} of the last year {stand} outside the limits on the other side than the years differ ({})",
            p(found)
        ),
        Some(found) if found.p < DIFFERS && late.judged => format!(
            "One sign of two: the years differ by more than chance ({}); no point of the last year stands outside the limits",
            p(found)
        ),
        Some(found) if found.p < DIFFERS => format!(
            "One sign of two: the years differ by more than chance ({}); there is no chart of twelve points to bear it out",
            p(found)
        ),
        Some(found) if late.any() => format!(
            "One sign of two: {outside} of the last year {stand} outside the limits; the years do not differ by more than chance ({})",
            p(found)
        ),
        Some(_) => return None,
    };
    Some(format!("{sentence}."))
}
