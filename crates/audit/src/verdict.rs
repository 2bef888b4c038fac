//! The rule by which a change is called more than chance.
//!
//! **The rule.** Two signs are used, independently of each other. *The years*: the last twelve months
//! differ from the twelve before with p below 0.01. *The chart*: of at least twelve points, one of the last
//! twelve months lies outside its limits. The verdict is **more than chance** only if both show a change in
//! the same direction. If only one shows it, or they point in opposite directions, the verdict is **one
//! sign of two**, and the sentence names which. With p below 0.05 and no signal it is **perhaps chance**,
//! because a page with twenty comparisons shows one such by chance alone. If the years cannot be compared
//! and the chart shows no signal, there are **too few to judge**.
//!
//! Both are required because a page with twenty measures makes twenty comparisons and draws about four
//! hundred points, so that one of either kind appears every few pages although nothing has changed.

use crate::{
    chart::{ChartKind, ControlChart, FEWEST_POINTS},
    ratio::RatioDifference,
    words,
};
use record::Day;
use serde::Serialize;

/// The p value below which the years are taken to differ.
pub(crate) const DIFFERS: f64 = 0.01;
const PERHAPS: f64 = 0.05;

/// The verdict on a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The years differ with p below 0.01 and a point of the last year is outside the limits, in the same
    /// direction.
    MoreThanChance,
    /// Only one of the two shows a change, or they point in opposite directions.
    OneSign,
    /// p from 0.01 to 0.05, and no signal in the chart.
    PerhapsChance,
    /// No more than chance.
    NoMoreThanChance,
    /// Too few to judge.
    TooFew,
}

impl Verdict {
    /// In a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MoreThanChance => "clear change",
            Self::OneSign => "perhaps a change",
            Self::PerhapsChance => "perhaps chance",
            Self::NoMoreThanChance => "no clear change",
            Self::TooFew => "too few to judge",
        }
    }
}

/// The signals of a chart in the last year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct RecentSignals {
    /// Whether the chart has enough points to be used.
    pub(crate) judged: bool,
    /// Points of the last year outside the limits that mean more of what is counted.
    pub(crate) more: usize,
    /// Points of the last year outside the limits that mean less of it.
    pub(crate) less: usize,
}

impl RecentSignals {
    /// Limits from fewer than twelve points change with every new point, so such a chart gives no signal.
    pub(crate) fn of(chart: Option<&ControlChart>, as_of: Day) -> Self {
        let Some(chart) = chart.filter(|chart| chart.points.len() >= 2 * FEWEST_POINTS) else {
            return Self::default();
        };
        let mut late = Self { judged: true, ..Self::default() };
        for point in chart.points.iter().filter(|point| point.outside && as_of - point.to < 365) {
            // More cases between one event and the next means fewer events.
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

/// The verdict by the rule above.
pub(crate) fn verdict(found: Option<&RatioDifference>, late: RecentSignals) -> Verdict {
    match found {
        None if late.any() => Verdict::OneSign,
        None => Verdict::TooFew,
        Some(found) if found.p < DIFFERS && late.agrees(found.value > 0.0) => Verdict::MoreThanChance,
        Some(found) if found.p < DIFFERS || late.any() => Verdict::OneSign,
        Some(found) if found.p < PERHAPS => Verdict::PerhapsChance,
        Some(_) => Verdict::NoMoreThanChance,
    }
}

/// Which of the two signs shows a change, in a sentence; `None` if neither does.
pub(crate) fn signs_in_words(found: Option<&RatioDifference>, late: RecentSignals) -> Option<String> {
    let points = |n: usize| if n == 1 { "one point".to_owned() } else { format!("{n} points") };
    let outside = points(late.more + late.less);
    let are = if late.more + late.less == 1 { "is" } else { "are" };
    let p = |found: &RatioDifference| words::probability(found.p);
    let sentence = match found {
        None if late.any() => format!(
            "One sign of two: {outside} of the last year {are} outside the limits; the years cannot be compared"
        ),
        None => return None,
        Some(found) if found.p < DIFFERS && late.agrees(found.value > 0.0) => {
            "Both the years and the chart show a change in the same direction: more than chance".to_owned()
        }
        Some(found) if found.p < DIFFERS && late.any() => format!(
            "The two point in opposite directions: {outside} of the last year {are} outside the limits, on the side opposite to the change between the years ({})",
            p(found)
        ),
        Some(found) if found.p < DIFFERS && late.judged => format!(
            "One sign of two: the years differ by more than chance ({}); no point of the last year is outside the limits",
            p(found)
        ),
        Some(found) if found.p < DIFFERS => format!(
            "One sign of two: the years differ by more than chance ({}); there is no chart with twelve points to confirm it",
            p(found)
        ),
        Some(found) if late.any() => format!(
            "One sign of two: {outside} of the last year {are} outside the limits; the years do not differ by more than chance ({})",
            p(found)
        ),
        Some(_) => return None,
    };
    Some(format!("{sentence}."))
}
