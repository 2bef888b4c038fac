//! Insufficient dorsiflexion after the tenotomy.
//!
//! # What it finds
//! A foot whose dorsiflexion, measured after the tenotomy and up to the fitting of the brace, is less than
//! `tenotomy.dorsiflexion_expected_after_deg`. It applies from the day it was measured.
//!
//! # Why it matters
//! The tendon may not be completely cut, or the foot is stiff and more casts may stretch it. A foot in equinus
//! does not tolerate the brace and slips out of it.
//!
//! # When it stays silent
//! When dorsiflexion was not measured (the next step asks for it); at the value itself; after a later
//! measurement, more correcting casts, another booking or surgery. Later in the brace another rule applies. A
//! foot that is syndromic or neurogenic has a value of its own.
//!
//! # Example
//! Tenotomy on 12 April 2024; on 3 May 2024 the cast is off and dorsiflexion is 5°. The call applies from
//! 3 May 2024.
//!
//! # Source
//! 10°: handbook, 3rd edition (from memory). Stiff feet: Mehta 2021, 10.5005/jp-journals-10040-1170
//! (read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{call_text::FindingCallText, step::after_cut};
use course::FootCourse;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "short-after-tenotomy",
    words: "dorsiflexion short after the tenotomy",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let short = after_cut::short(ground.course, foot, ground.protocol)?;
    let text = FindingCallText::ShortAfterTenotomy { deg: short.deg, on: short.on, cut: short.cut.on };
    Some(RULE.call_finding(foot, short.on, text, short.reason(ground.protocol)))
}
