//! The clinic declared the child lost to follow-up.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// The clinic declared the child lost to follow-up on the entry's day.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LostDeclared {
    /// What was tried.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

impl Inspect for LostDeclared {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.reason.iter().filter_map(|text| judge_text("reason", text, NOTE_CHARS)));
    }
}
