//! No hours of wear recorded.
//!
//! # What it finds
//! A child in the brace with neither reported nor logged hours for a quarter of a year: from
//! `wear.no_record_days` after the run of bracing began or after the last day with known hours.
//!
//! # Why it matters
//! If hours are not asked for, falling wear stays unnoticed, and the forecast of a relapse can only use the
//! average. Parents report about 1.3 times what loggers find, which is still far more useful than nothing.
//!
//! # When it stays silent
//! Out of the brace, and before that many days have passed. The hours are asked for at the next visit: no one
//! is contacted for it, and it is not in the list.
//!
//! # Example
//! The brace is fitted on 3 May 2024 and no hours are recorded. The call applies from 3 August 2024
//! (3 May + 92 days).
//!
//! # Source
//! Over-report of 1.30: Sangiorgio and others, J Bone Joint Surg 2016 (read). The quarter is judgement: the
//! published hours are given by quarters, and reviews come about as often.

use super::{Attention, AttentionRule, CallPlace, Finder, Ground, Urgency};
use crate::{
    CallText, Reason,
    call_text::{WearCallText, known_words},
};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "no-wear-record",
    words: "no hours of wear recorded",
    urgency: Urgency::Watch,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let spell = ground.course.brace_now()?;
    let since = spell.bracing_since;
    let last = ground.course.wear.iter().map(|span| (span.to, span.entry)).max_by_key(|span| span.0);
    let last = last.filter(|(to, _)| *to >= since);
    let (day, entry) = last.unwrap_or((since, spell.entry));
    let known = last.is_some();
    let text = CallText::Wear(WearCallText::NotRecorded { known, day });
    let rule = "Ask for the hours at every review; a diary or a logger is more reliable than memory.";
    let source = "parents report 1.30 times what loggers find: Sangiorgio 2016; the interval is judgement";
    let reason = Reason::new(format!("{} {}", known_words(known), day.words()), entry, rule, source);
    let from = day + i32::from(ground.protocol.wear_no_record_days);
    Some(Attention { place: CallPlace::Visit, ..RULE.call(None, from, text, reason) })
}
