//! A control chart as it is shown: its kind, its points and why it was chosen.

use record::Day;
use serde::Serialize;

/// Fewest points of a chart.
pub(crate) const FEWEST_POINTS: usize = 6;

/// The type of a control chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ChartKind {
    /// Shares.
    P,
    /// Rates.
    U,
    /// Single measurements.
    Xmr,
    /// Cases between rare events.
    G,
}

impl ChartKind {
    /// The name in print.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::P => "p chart",
            Self::U => "u chart",
            Self::Xmr => "XmR chart",
            Self::G => "g chart",
        }
    }

    /// Why this type was chosen.
    #[must_use]
    pub const fn why(self) -> &'static str {
        match self {
            Self::P => {
                "A p chart, because each point is a share of those whose outcome became known in that period. Its limits use the effective number of independent feet."
            }
            Self::U => {
                "A u chart, because each point is a number of events over an exposure that differs from point to point. Its limits allow for two feet of one child."
            }
            Self::Xmr => {
                "An XmR chart of the means, because a mean of days or casts has no binomial or Poisson distribution; the limits come from the differences between neighbouring points."
            }
            Self::G => {
                "A g chart, because the event is too rare for shares: each point is the number of new cases between one event and the next. A run of low points means that it has become more common."
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
    /// Events, if the measure counts events.
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
    /// What the values are, in words.
    pub value_words: String,
    /// Centre line.
    pub centre: f64,
    /// Points in order.
    pub points: Vec<ControlPoint>,
    /// The design effect of two feet of one child, which widens the limits.
    pub design_effect: f64,
    /// The factor by which the limits are widened, if the points spread more than chance allows.
    pub widened: Option<f64>,
    /// Whether runs or trends show more than chance variation.
    pub runs: bool,
}

impl ControlChart {
    /// Why this type of chart was chosen and, if its limits are widened, why.
    #[must_use]
    pub fn why(&self) -> String {
        let kind = self.kind.why();
        self.widened.map_or_else(
            || kind.to_owned(),
            |times| {
                format!(
                    "{kind} Limits widened {times:.1} times, because neighbouring points differ by more than chance alone explains (Laney 2002)."
                )
            },
        )
    }
}
