//! Diagnosis: what kind of clubfoot, one foot.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

choice! {
    /// Where the clubfoot comes from.
    Nature {
        /// No other condition found.
        Idiopathic = "idiopathic", "idiopathic";
        /// Part of a syndrome.
        Syndromic = "syndromic", "syndromic";
        /// From a condition of nerve or muscle.
        Neurogenic = "neurogenic", "neurogenic";
        /// Lies turned in but corrects fully by hand.
        Positional = "positional", "positional";
        /// Looked at and found not to be a clubfoot.
        NotClubfoot = "not_clubfoot", "not a clubfoot";
    }
}

/// What was found of one foot. A later diagnosis of the same foot replaces an earlier one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Diagnosis {
    /// Which foot.
    pub side: Side,
    /// Where it comes from, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nature: Option<Nature>,
    /// Whether it is an atypical or complex foot; `None` when nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub complex: Option<bool>,
    /// Treatment before this clinic, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub earlier_treatment: Option<String>,
}

impl Inspect for Diagnosis {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.earlier_treatment.iter().filter_map(|text| judge_text("earlier_treatment", text, LINE_CHARS)));
    }
}
