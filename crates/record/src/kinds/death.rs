//! The child died.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// The child died on the entry's day.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Death {
    /// Cause, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<String>,
}

impl Inspect for Death {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.cause.iter().filter_map(|text| judge_text("cause", text, NOTE_CHARS)));
    }
}
