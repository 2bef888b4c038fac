//! Free text.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, Severity, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

/// Free text about the child.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// The text.
    pub text: String,
}

impl Inspect for Note {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        if self.text.trim().is_empty() {
            let text = "The note is empty.".to_owned();
            findings.push(Finding { severity: Severity::Refuse, field: "text", text });
        }
        findings.extend(judge_text("text", &self.text, NOTE_CHARS));
    }
}
