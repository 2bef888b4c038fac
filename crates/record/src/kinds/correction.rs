//! Another entry was wrong; this is what it should have said. The old one stays readable.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, Severity, judge_text};
use crate::{Body, Day, EntryId, Kind};
use serde::{Deserialize, Serialize};

/// A correction. The corrected entry keeps its place; its contents are read from here. Several
/// corrections of one entry: the one written last stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// The entry that was wrong.
    pub entry: EntryId,
    /// What it should have said.
    pub body: Box<Body>,
    /// The clinical day it should have borne, where that was wrong.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<Day>,
    /// Why.
    pub reason: String,
}

/// Refuses an empty or overlong reason.
pub(crate) fn judge_reason(reason: &str, findings: &mut Vec<Finding>) {
    if reason.trim().is_empty() {
        let text = "A reason is needed, so that others can follow what happened.".to_owned();
        findings.push(Finding { severity: Severity::Refuse, field: "reason", text });
    }
    findings.extend(judge_text("reason", reason, LINE_CHARS));
}

impl Inspect for Correction {
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
        if matches!(self.body.kind(), Kind::Correction | Kind::Withdrawal) {
            let text = "A correction cannot itself hold a correction or a withdrawal.".to_owned();
            findings.push(Finding { severity: Severity::Refuse, field: "body", text });
        } else {
            self.body.inspect(self.on.unwrap_or(on), findings);
        }
        judge_reason(&self.reason, findings);
    }
}
