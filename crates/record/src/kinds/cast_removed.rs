//! Cast off one foot, as planned or not.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

choice! {
    /// Why a cast came off.
    RemovalReason {
        /// As planned.
        Planned = "planned", "as planned";
        /// It slipped.
        Slipped = "slipped", "slipped";
        /// The skin was sore under it.
        Sore = "sore", "sore skin";
        /// Swelling, or toes of a bad colour.
        Circulation = "circulation", "swelling or toes of a bad colour";
        /// It got wet or broke.
        Damaged = "damaged", "wet or broken";
        /// The family took it off.
        ByFamily = "by_family", "taken off by the family";
        /// Anything else.
        Other = "other", "another reason";
    }
}

/// A cast taken or fallen off one foot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CastRemoved {
    /// Which foot.
    pub side: Side,
    /// Why.
    pub why: RemovalReason,
    /// What the skin looked like, or anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Inspect for CastRemoved {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
