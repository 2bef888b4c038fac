//! Treatment ended.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

choice! {
    /// Why.
    DischargeReason {
        /// Treatment completed.
        Completed = "completed", "treatment completed";
        /// Looked at and no treatment needed.
        NotNeeded = "not_needed", "no treatment needed";
        /// The family declined treatment.
        Declined = "declined", "family declined treatment";
        /// Anything else.
        Other = "other", "another reason";
    }
}

/// The child was discharged. A later referral or registration opens the record again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Discharge {
    /// Why.
    pub reason: DischargeReason,
    /// In words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Inspect for Discharge {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
