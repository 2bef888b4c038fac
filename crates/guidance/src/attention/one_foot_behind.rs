//! One foot ready for bracing while the other is in casts.
//!
//! # What it finds
//! A child with both feet affected, one at the bracing stage and the other in correction, waiting for its
//! tenotomy or in the cast after it: after a relapse, or if the brace was fitted too soon. It applies from the
//! later of the two first days.
//!
//! # Why it matters
//! The bar holds both feet: with one of them in a cast it cannot be worn as intended, and the corrected foot
//! is left without. It is held in a cast, or otherwise, until both can go into the brace. Or an entry has the
//! wrong side.
//!
//! # When it stays silent
//! When only one foot is affected; when both are at the bracing stage or both in casts.
//!
//! # Example
//! Both feet are in the brace; the right one relapses and is cast on 3 May 2024. The call applies from 3
//! May 2024.
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::TreatmentCallText, source};
use course::FootCourse;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "one-foot-behind",
    words: "one foot in the brace, the other in casts",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::FootAgainstOther(call),
};

fn call(_: &Ground<'_>, behind: &FootCourse, ahead: &FootCourse) -> Option<Attention> {
    let (since, braced_since) = (behind.phase_since?, ahead.phase_since?);
    if !ahead.phase.is_in_brace() || !behind.phase.is_in_casts() {
        return None;
    }
    let text = TreatmentCallText::OtherInBrace {
        phase: behind.phase,
        since,
        other: ahead.side,
        other_phase: ahead.phase,
    };
    let fact = format!("{} since {}", behind.phase.words(), since.words());
    let rule =
        "The bar holds both feet: hold the corrected foot until both can go into the brace. Check the side.";
    let entry = behind.phases.last().and_then(|spell| spell.entry);
    let reason = Reason::new(fact, entry, rule, source::COMMON);
    Some(RULE.call_treatment(behind, since.max(braced_since), text, reason))
}
