//! Someone tried to reach the family.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, NOTE_CHARS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

choice! {
    /// How.
    ContactWay {
        /// Telephone.
        Phone = "phone", "telephone";
        /// Text message.
        Message = "message", "message";
        /// Letter.
        Letter = "letter", "letter";
        /// Visit to the home.
        HomeVisit = "home_visit", "home visit";
        /// Through somebody else.
        Through = "through", "through somebody else";
    }
}

/// One attempt.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContactAttempt {
    /// How.
    pub way: ContactWay,
    /// Whether the family was reached.
    pub reached: bool,
    /// Whom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub whom: Option<String>,
    /// What came of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Inspect for ContactAttempt {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.whom.iter().filter_map(|text| judge_text("whom", text, LINE_CHARS)));
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
