//! Referral: the child was sent to the clinic.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// The referral; its day is the day it was received.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Referral {
    /// Who referred the child.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// What they wrote.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

impl Inspect for Referral {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.from.iter().filter_map(|text| judge_text("from", text, LINE_CHARS)));
        findings.extend(self.reason.iter().filter_map(|text| judge_text("reason", text, crate::bounds::NOTE_CHARS)));
    }
}
