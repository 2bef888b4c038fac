//! A control chart as it is shown: its kind, its points and why it was chosen.

use record::Day;
use serde::Serialize;

/// Fewest points of which a chart is made.
pub(crate) const FEWEST_POINTS: usize = 6;

/// Which chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ChartKind {
    /// Shares.
    P,
    /// Rates.
    U,
    /// Single measurements.
    Xmr,
    /// How many between rare events.
    G,
}

impl ChartKind {
    /// The name as it is printed.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::P => "p chart",
            Self::U => "u chart",
            Self::Xmr => "XmR chart",
            Self::G => "g chart",
        }
    }

    /// Why this one.
    #[must_use]
    pub const fn why(self) -> &'static str {
        match self {
            Self::P => {
                "A p chart, because each point is a share of those who reached their outcome then. Its limits use the effective number of independent feet."
            }
            Self::U => {
                "A u chart, because each point is a number of events over an exposure that differs from point to point. Its limits allow for two feet of one child."
            }
            Self::Xmr => {
                "An XmR chart of the means, because a mean of days or casts follows no binomial or Poisson law; the limits come from how far neighbouring points differ."
            }
            Self::G => {
                "A g chart, because the event is too rare for shares: each point is how many newly came between one event and the next. Low runs mean it has become more common."
            }
        }
    }
}

/// A point of a chart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ControlPoint {
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// Feet, children, casts or years under observation.
    pub of: f64,
    /// Events, where there are events.
    pub events: Option<f64>,
    /// The value.
    pub value: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
    /// Whether it lies outside its limits.
    pub outside: bool,
}

/// A control chart.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ControlChart {
    /// Which.
    pub kind: ChartKind,
    /// What a value is, in words.
    pub value_words: String,
    /// Centre line.
    pub centre: f64,
    /// Points in order.
    pub points: Vec<ControlPoint>,
    /// By how much feet of one child going together widens the limits.
    pub design_effect: f64,
    /// How many times as wide as chance alone gives the limits are drawn, where points are more spread.
    pub widened: Option<f64>,
    /// Whether runs and trends say that more than chance is at work.
    pub runs: bool,
}

impl ControlChart {
    /// Why this chart, and why its limits are wider than chance alone gives, where they are.
    #[must_use]
    pub fn why(&self) -> String {
        let kind = self.kind.why();
        self.widened.map_or_else(
            || kind.to_owned(),
            |times| {
                format!(
                    "{kind} Limits widened {times:.1} times, because neighbouring points differ more than chance alone would make them (Laney 2002)."
                )
            },
        )
    }
}
