//! Surgery other than a heel-cord tenotomy.

use super::Inspect;
use crate::bounds::{Finding, NOTE_CHARS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

choice! {
    /// What was done.
    Procedure {
        /// Tibialis anterior tendon transfer.
        TendonTransfer = "tendon_transfer", "tibialis anterior tendon transfer";
        /// Posterior release.
        PosteriorRelease = "posterior_release", "posterior release";
        /// Posteromedial release.
        PosteromedialRelease = "posteromedial_release", "posteromedial release";
        /// Open lengthening of the heel cord.
        TendonLengthening = "tendon_lengthening", "heel-cord lengthening";
        /// Anything else.
        Other = "other", "other surgery";
    }
}

/// Surgery on one foot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OtherSurgery {
    /// Which foot.
    pub side: Side,
    /// What was done.
    pub procedure: Procedure,
    /// In words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Inspect for OtherSurgery {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
