//! Heel-cord tenotomy done on one foot.

use super::Inspect;
use crate::bounds::{DORSIFLEXION, Finding, LINE_CHARS, NOTE_CHARS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

choice! {
    /// How the child was kept free of pain.
    Anaesthesia {
        /// Local or topical.
        Local = "local", "local anaesthetic";
        /// Sedation with local.
        Sedation = "sedation", "sedation";
        /// General.
        General = "general", "general anaesthetic";
    }
}

/// A tenotomy done. The cast that follows is an entry of its own.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TenotomyDone {
    /// Which foot.
    pub side: Side,
    /// How the child was kept free of pain.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub anaesthesia: Option<Anaesthesia>,
    /// Dorsiflexion just after the cut.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dorsiflexion_after_deg: Option<i16>,
    /// Anything that went wrong.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub complication: Option<String>,
    /// Who did it, where a sheet names somebody who is not the writer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done_by: Option<String>,
}

impl TenotomyDone {
    /// A tenotomy with nothing more said about it.
    #[must_use]
    pub const fn on(side: Side) -> Self {
        Self { side, anaesthesia: None, dorsiflexion_after_deg: None, complication: None, done_by: None }
    }
}

impl Inspect for TenotomyDone {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.dorsiflexion_after_deg.and_then(|deg| DORSIFLEXION.judge("dorsiflexion_after_deg", deg.into())));
        findings.extend(self.complication.iter().filter_map(|text| judge_text("complication", text, NOTE_CHARS)));
        findings.extend(self.done_by.iter().filter_map(|text| judge_text("done_by", text, LINE_CHARS)));
    }
}
