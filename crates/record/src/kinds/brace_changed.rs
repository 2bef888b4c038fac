//! The brace or its hours changed, or bracing stopped.

use super::{Brace, Inspect, Regime};
use crate::bounds::{Finding, NOTE_CHARS, WEAR_HOURS, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

choice! {
    /// What changed.
    BraceChange {
        /// The hours or the regime.
        Hours = "hours", "hours changed";
        /// Larger boots or a longer bar.
        Size = "size", "new size";
        /// Angles on the bar.
        Settings = "settings", "settings changed";
        /// Mended or replaced like for like.
        Repaired = "repaired", "repaired";
        /// Bracing stopped, for whatever reason.
        Stopped = "stopped", "bracing stopped";
        /// Bracing taken up again.
        Resumed = "resumed", "bracing taken up again";
    }
}

/// A change of the brace.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BraceChanged {
    /// What changed.
    pub change: BraceChange,
    /// The brace as it now is, where it changed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub brace: Option<Brace>,
    /// How it is to be worn from now on, where that changed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regime: Option<Regime>,
    /// Hours a day prescribed from now on, where that changed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours_prescribed: Option<u8>,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Inspect for BraceChanged {
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
        if let Some(brace) = &self.brace {
            brace.inspect(on, findings);
        }
        findings.extend(self.hours_prescribed.and_then(|hours| WEAR_HOURS.judge("hours_prescribed", hours.into())));
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
