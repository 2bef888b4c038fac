//! Hours of wear as the family reports them. Never mixed with logged hours.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, WEAR_HOURS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// What the family says about a span of days.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WearReported {
    /// First day of the span.
    pub from: Day,
    /// Last day of the span.
    pub to: Day,
    /// Mean hours a day over the span.
    #[serde(serialize_with = "super::finite")]
    pub hours_per_day: f64,
    /// Days in the span on which it was not worn at all, where said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days_without: Option<u16>,
    /// Why it was worn less.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

impl Inspect for WearReported {
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
        findings.extend(WEAR_HOURS.judge("hours_per_day", self.hours_per_day));
        let without = self.days_without.map(|days| ("days_without", days));
        super::wear_logged::judge_span((self.from, self.to), on, without, findings);
        findings.extend(self.reason.iter().filter_map(|text| judge_text("reason", text, NOTE_CHARS)));
    }
}
