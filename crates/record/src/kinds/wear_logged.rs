//! Hours of wear as a logger found them. Never mixed with reported hours.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, Severity, WEAR_HOURS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// What a logger found over a span of days.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WearLogged {
    /// First day of the span.
    pub from: Day,
    /// Last day of the span.
    pub to: Day,
    /// Mean hours a day over the days that could be judged.
    #[serde(serialize_with = "super::finite")]
    pub hours_per_day: f64,
    /// Days of the span that could be judged.
    pub days_judged: u16,
    /// The clinic's own label of the logger.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub logger: Option<String>,
}

/// Refuses a span that ends before it begins, or more days than the span has.
pub(crate) fn judge_span(
    (from, to): (Day, Day),
    on: Day,
    days: Option<(&'static str, u16)>,
    findings: &mut Vec<Finding>,
) {
    if to < from {
        let text = "The last day lies before the first.".to_owned();
        findings.push(Finding { severity: Severity::Refuse, field: "to", text });
        return;
    }
    if to > on {
        let text = format!(
            "The last day, {}, lies after the day on which it was told, {}.",
            to.words(),
            on.words()
        );
        findings.push(Finding { severity: Severity::Ask, field: "to", text });
    }
    let span = to - from + 1;
    if let Some((field, days)) = days.filter(|&(_, days)| i32::from(days) > span) {
        let text = format!("{days} days are more than the {span} days from {from} to {to}.");
        findings.push(Finding { severity: Severity::Refuse, field, text });
    }
}

impl Inspect for WearLogged {
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
        findings.extend(WEAR_HOURS.judge("hours_per_day", self.hours_per_day));
        judge_span((self.from, self.to), on, Some(("days_judged", self.days_judged)), findings);
        if self.days_judged == 0 {
            let text = "No day could be judged, so there are no hours to write down.".to_owned();
            findings.push(Finding { severity: Severity::Refuse, field: "days_judged", text });
        }
        findings.extend(self.logger.iter().filter_map(|text| judge_text("logger", text, LINE_CHARS)));
    }
}
