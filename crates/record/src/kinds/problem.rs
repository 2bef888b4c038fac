//! A problem with skin, cast, brace or family.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, NOTE_CHARS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

choice! {
    /// What the problem is.
    ProblemKind {
        /// The cast slipped.
        CastSlipped = "cast_slipped", "cast slipped";
        /// The toes have gone out of sight in the cast.
        ToesNotSeen = "toes_not_seen", "toes not seen";
        /// Toes dark, white or cold.
        ToesColour = "toes_colour", "toes dark, white or cold";
        /// Swelling.
        Swelling = "swelling", "swelling";
        /// Skin broken or sore.
        SkinBroken = "skin_broken", "skin sore or broken";
        /// Skin red.
        SkinRed = "skin_red", "skin red";
        /// Blister.
        Blister = "blister", "blister";
        /// Bleeding after the tenotomy.
        Bleeding = "bleeding", "bleeding";
        /// Fever or signs of infection.
        Fever = "fever", "fever or signs of infection";
        /// Crying that nothing explains.
        Crying = "crying", "crying without another cause";
        /// The heel slips out of the boot.
        HeelSlipsOut = "heel_slips_out", "heel slips out of the boot";
        /// Boots or bar outgrown.
        Outgrown = "outgrown", "boots or bar outgrown";
        /// Brace broken.
        BraceBroken = "brace_broken", "brace broken";
        /// The child does not tolerate the brace.
        NotTolerated = "not_tolerated", "brace not tolerated";
        /// Circumstances of the family.
        Family = "family", "family circumstances";
        /// Anything else.
        Other = "other", "another problem";
    }
}

choice! {
    /// Whether what was advised helped.
    Helped {
        /// It did.
        Yes = "helped", "it helped";
        /// In part.
        Partly = "partly", "it helped in part";
        /// It did not.
        No = "not", "it did not help";
    }
}

/// A problem, or word on an earlier one (then `follows` names the earlier entry): what was advised,
/// whether it helped, that it is settled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Problem {
    /// Which foot, where it is about one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// What it is.
    pub what: ProblemKind,
    /// Whether this entry says that the problem is settled.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub settled: bool,
    /// What was advised: the key of an advice in the list of problems, or own words. One to an entry, so
    /// that each can be said to have helped or not; a further one is an entry that follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub advised: Option<String>,
    /// Whether what was advised helped.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub helped: Option<Helped>,
    /// In words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Problem {
    /// A problem of which only the kind is known.
    #[must_use]
    pub const fn of(what: ProblemKind) -> Self {
        Self { side: None, what, settled: false, advised: None, helped: None, note: None }
    }
}

impl Inspect for Problem {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.advised.iter().filter_map(|text| judge_text("advised", text, LINE_CHARS)));
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
