//! Signs of relapse, looked for in a foot that was corrected: part of an assessment.

use serde::{Deserialize, Serialize};

choice! {
    /// A deformity looked for in a corrected foot.
    Deformity {
        /// Looked for and not there.
        Absent = "absent", "not there";
        /// There, and it corrects by hand.
        Flexible = "flexible", "there, corrects by hand";
        /// There, and it does not correct by hand.
        Fixed = "fixed", "there, fixed";
    }
}

choice! {
    /// Power of the muscles that turn the foot out.
    Evertors {
        /// The foot is turned out against resistance, or briskly when the sole is stroked.
        Strong = "strong", "strong";
        /// They work and are weak.
        Weak = "weak", "weak";
        /// They do not work.
        None = "none", "not working";
    }
}

/// What was looked for. What was not looked for is absent, never "not there".
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RelapseSigns {
    /// The heel cord is short: the foot does not come up to 10° (flexible), or not to neutral (fixed).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equinus: Option<Deformity>,
    /// The heel turns in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heel_varus: Option<Deformity>,
    /// The forefoot turns in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adductus: Option<Deformity>,
    /// The arch is high.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cavus: Option<Deformity>,
    /// The forefoot supinates in swing and the outer border touches first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dynamic_supination: Option<bool>,
    /// The heel leaves the ground early.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub early_heel_rise: Option<bool>,
    /// Power of the evertors.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub evertors: Option<Evertors>,
    /// The lateral cuneiform is ossified, on a radiograph.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lateral_cuneiform_ossified: Option<bool>,
}

impl RelapseSigns {
    /// Whether nothing was looked for.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
