//! Findings of one visit that contradict each other.
//!
//! # What it finds
//! A foot whose latest findings contradict each other: a hindfoot score of 2 to 3 with the dorsiflexion of a
//! corrected foot; a midfoot score of 0 or ½ with little abduction; rigid equinus against the measured angle;
//! a total that differs from its signs. It applies from the day they were recorded.
//!
//! # Why it matters
//! Dorsiflexion that comes from the midfoot looks like correction: a rocker-bottom foot, braced as if
//! corrected, or cut too late. Or one of the two findings is wrong, and the next decision with it.
//!
//! # When it stays silent
//! If one of the findings is missing or from another visit; within the measuring error; after a later score
//! or measurement that agrees.
//!
//! # Example
//! On 3 May 2024 the hindfoot scores 2.5 and dorsiflexion is 20°. The call applies from 3 May 2024.
//!
//! # Source
//! Rocker-bottom by pseudo-correction: Yalcin 2024, J Clin Med 13:714 (read). Measuring error:
//! 10.3233/BMR-170862 (read). The limits: common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{FootStatus, Reason, call_text::FindingCallText, step};
use course::FootCourse;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "findings-disagree",
    words: "findings disagree",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    // If readiness or correction is known, no findings disagree: this skips most feet.
    let known = |status: &FootStatus| status.ready_for_tenotomy.is_some() || status.corrected.is_some();
    if ground.status(foot).is_some_and(known) {
        return None;
    }
    let (on, found) = step::disagreement(ground.course, foot, ground.protocol)?;
    let text = FindingCallText::Contradiction(found.first()?.what);
    let because: Vec<Reason> = found.into_iter().map(|one| one.because).collect();
    Some(RULE.call_finding(foot, on, text, because))
}
