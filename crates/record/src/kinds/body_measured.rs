//! What was measured of the child and not of a foot: the shoulder width, for the bar.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, SHOULDER_WIDTH, Severity, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

choice! {
    /// Which width of the shoulders; the two differ by some 3 cm, so that a figure without its width is
    /// not used.
    ShoulderWidth {
        /// Between the outer edges of the two acromions, bone to bone.
        Biacromial = "biacromial", "bone to bone: outer edge of one acromion to the other";
        /// Over the widest of the upper arms, arms at the sides.
        Bideltoid = "bideltoid", "over the upper arms at their widest, arms at the sides";
    }
}

/// A measurement of the child.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BodyMeasured {
    /// Width of the shoulders, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shoulder_mm: Option<u16>,
    /// Which width that is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shoulder_width: Option<ShoulderWidth>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Inspect for BodyMeasured {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.shoulder_mm.and_then(|mm| SHOULDER_WIDTH.judge("shoulder_mm", mm.into())));
        match (self.shoulder_mm, self.shoulder_width) {
            (None, _) => {
                let text = "The shoulder width is missing.".to_owned();
                findings.push(Finding { severity: Severity::Refuse, field: "shoulder_mm", text });
            }
            (Some(_), None) => {
                let text = "Which shoulder width was measured is not said: bone to bone and over the arms differ by some 3 cm.".to_owned();
                findings.push(Finding { severity: Severity::Ask, field: "shoulder_width", text });
            }
            (Some(_), Some(_)) => {}
        }
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
