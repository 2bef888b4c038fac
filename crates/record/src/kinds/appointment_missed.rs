//! The child was expected and did not come.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// Expected on the entry's day and not come; `follows` names the appointment where known.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AppointmentMissed {
    /// Why, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

impl Inspect for AppointmentMissed {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.reason.iter().filter_map(|text| judge_text("reason", text, NOTE_CHARS)));
    }
}
