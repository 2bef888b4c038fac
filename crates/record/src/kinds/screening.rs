//! Screening: hips, spine, nerve and muscle.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, Severity, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

choice! {
    /// What a look found.
    Screened {
        /// Nothing wrong found.
        Normal = "normal", "normal";
        /// Something found; see the note.
        Abnormal = "abnormal", "abnormal";
        /// Asked for, result awaited.
        Awaited = "awaited", "result awaited";
    }
}

/// What was looked at; `None` for what was not.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Screening {
    /// Hips.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hips: Option<Screened>,
    /// Spine.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spine: Option<Screened>,
    /// Nerve and muscle, great-toe dorsiflexion among it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nerve_and_muscle: Option<Screened>,
    /// What was found, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Inspect for Screening {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        if *self == Self::default() {
            // An empty screening would count as a screening done.
            let text = "Nothing was looked at.".to_owned();
            findings.push(Finding { severity: Severity::Refuse, field: "hips", text });
        }
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
