//! Cast applied to one foot.

use super::Inspect;
use crate::bounds::{ABDUCTION, CAST_NUMBER, DORSIFLEXION, Finding, LINE_CHARS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

choice! {
    /// What a cast is made of.
    CastMaterial {
        /// Plaster of Paris.
        Plaster = "plaster", "plaster";
        /// Semirigid synthetic.
        Semirigid = "semirigid", "semirigid";
        /// Anything else.
        Other = "other", "other material";
    }
}

choice! {
    /// What a cast is for.
    CastPurpose {
        /// To correct the foot by a step.
        Correction = "correction", "correction";
        /// To hold the foot after a tenotomy.
        AfterTenotomy = "after_tenotomy", "after tenotomy";
        /// To hold a corrected foot, while the other catches up or the tenotomy or brace is awaited.
        Holding = "holding", "holding";
    }
}

/// A cast put on one foot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CastApplied {
    /// Which foot.
    pub side: Side,
    /// What for; `None` where a sheet does not say, then `course` reads it from what happened that day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub purpose: Option<CastPurpose>,
    /// Its number as the clinic counted, where written; `course` counts for itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<u8>,
    /// Material.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub material: Option<CastMaterial>,
    /// Abduction in which the foot was held.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub abduction_deg: Option<i16>,
    /// Dorsiflexion in which the foot was held.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dorsiflexion_deg: Option<i16>,
    /// Who cast, where a sheet names somebody who is not the writer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cast_by: Option<String>,
}

impl CastApplied {
    /// A cast with nothing more said about it.
    #[must_use]
    pub const fn on(side: Side) -> Self {
        Self { side, purpose: None, number: None, material: None, abduction_deg: None, dorsiflexion_deg: None, cast_by: None }
    }
}

impl Inspect for CastApplied {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.number.and_then(|number| CAST_NUMBER.judge("number", number.into())));
        findings.extend(self.abduction_deg.and_then(|deg| ABDUCTION.judge("abduction_deg", deg.into())));
        findings.extend(self.dorsiflexion_deg.and_then(|deg| DORSIFLEXION.judge("dorsiflexion_deg", deg.into())));
        findings.extend(self.cast_by.iter().filter_map(|text| judge_text("cast_by", text, LINE_CHARS)));
    }
}
