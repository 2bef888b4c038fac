//! A tenotomy with no cast recorded after it.
//!
//! # What it finds
//! A foot that had a tenotomy, with no cast recorded on that day or since and no brace since. It applies from the
//! day of the tenotomy.
//!
//! # Why it matters
//! The cut tendon heals at its new length in the cast. A foot left free after the tenotomy heals short, and a
//! wound without a cast is examined the same day.
//!
//! # When it stays silent
//! When any cast of that day or a later one is recorded, or a brace since: a record imported from an old list
//! may have no cast of the day itself.
//!
//! # Example
//! Tenotomy on 3 May 2024, and nothing more is recorded. The call applies from 3 May 2024.
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::TreatmentCallText, source, step::after_cut};
use course::FootCourse;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "no-cast-after-tenotomy",
    words: "no cast recorded after the tenotomy",
    urgency: Urgency::Today,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let cut = after_cut::uncast(ground.course, foot)?;
    let day = cut.on.words();
    let text = TreatmentCallText::NoCastAfterTenotomy(cut.on);
    let rule = "The cast is applied directly after the tenotomy: record it, or cast the foot the same day.";
    let reason = Reason::new(format!("tenotomy on {day}"), cut.entry, rule, source::COMMON);
    Some(RULE.call_treatment(foot, cut.on, text, reason))
}
