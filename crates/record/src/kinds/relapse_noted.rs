//! A relapse of one foot.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

choice! {
    /// Grade after Bhaskar & Patni 2013, Indian J Orthop 47:370, 10.4103/0019-5413.114921.
    RelapseGrade {
        /// Dorsiflexion falls from 15° to neutral; flexible.
        Ia = "IA", "IA: dorsiflexion lost to neutral, flexible";
        /// Dynamic forefoot adduction or supination; flexible.
        Ib = "IB", "IB: dynamic adduction or supination, flexible";
        /// Rigid equinus.
        Iia = "IIA", "IIA: rigid equinus";
        /// Rigid adduction of forefoot or midfoot.
        Iib = "IIB", "IIB: rigid adduction";
        /// Two or more fixed deformities.
        Iii = "III", "III: two or more fixed deformities";
    }
}

/// A relapse as a clinician judged it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RelapseNoted {
    /// Which foot.
    pub side: Side,
    /// Its grade, where given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<RelapseGrade>,
    /// What was seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Inspect for RelapseNoted {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
