//! The movement at which a foot counts as corrected.

use crate::{Protocol, source};
use course::FootCourse;
use record::Nature;

/// The movement from which a foot counts as corrected, and the source.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EndPoint {
    pub(crate) abduction_deg: i16,
    pub(crate) dorsiflexion_deg: i16,
    pub(crate) source: &'static str,
}

impl EndPoint {
    /// Of a foot by the protocol: a complex foot and a stiff foot that is not idiopathic have their own.
    pub(crate) fn of(foot: &FootCourse, protocol: &Protocol) -> Self {
        if not_idiopathic(foot) {
            return Self {
                abduction_deg: protocol.non_idiopathic_abduction_deg.low,
                dorsiflexion_deg: protocol.non_idiopathic_dorsiflexion_deg.low,
                source: source::MEHTA,
            };
        }
        let dorsiflexion_deg = protocol.tenotomy_dorsiflexion_below_deg;
        if foot.complex == Some(true) {
            let abduction_deg = protocol.complex_abduction_max_deg;
            return Self { abduction_deg, dorsiflexion_deg, source: source::COMPLEX };
        }
        Self {
            abduction_deg: protocol.abduction_wanted_deg,
            dorsiflexion_deg,
            source: protocol.source("tenotomy.dorsiflexion_below_deg"),
        }
    }
}

/// Whether a foot is on record as syndromic or neurogenic.
pub(crate) fn not_idiopathic(foot: &FootCourse) -> bool {
    matches!(foot.nature, Some(Nature::Syndromic | Nature::Neurogenic))
}
