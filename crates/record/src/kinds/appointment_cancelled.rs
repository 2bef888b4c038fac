//! An appointment called off beforehand.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

choice! {
    /// Who called it off.
    CancelledBy {
        /// The family.
        Family = "family", "the family";
        /// The clinic.
        Clinic = "clinic", "the clinic";
    }
}

/// Called off; `follows` names the appointment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AppointmentCancelled {
    /// The day the child would have been expected.
    pub for_day: Day,
    /// Who called it off, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<CancelledBy>,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

impl Inspect for AppointmentCancelled {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.reason.iter().filter_map(|text| judge_text("reason", text, NOTE_CHARS)));
    }
}
