//! Hours of wear as a logger found them. Never mixed with reported hours.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, Severity, WEAR_HOURS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// What a logger found over a span of days.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WearLogged {
    /// First day of the span.
    pub from: Day,
    /// Last day of the span.
    pub to: Day,
    /// Mean hours a day over the days that could be judged.
    pub hours_per_day: f64,
    /// Days of the span that could be judged.
    pub days_judged: u16,
    /// The clinic's own label of the logger.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub logger: Option<String>,
}

/// Refuses a span that ends before it begins.
pub(crate) fn judge_span(from: Day, to: Day) -> Option<Finding> {
    (to < from).then(|| Finding {
        severity: Severity::Refuse,
        field: "to",
        text: "The last day lies before the first.".to_owned(),
    })
}

impl Inspect for WearLogged {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(WEAR_HOURS.judge("hours_per_day", self.hours_per_day));
        findings.extend(judge_span(self.from, self.to));
        findings.extend(self.logger.iter().filter_map(|text| judge_text("logger", text, LINE_CHARS)));
    }
}
