//! Care passed to another clinic.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// Care passed to another clinic on the entry's day.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Transfer {
    /// Where to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
}

impl Inspect for Transfer {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.to.iter().filter_map(|text| judge_text("to", text, NOTE_CHARS)));
    }
}
