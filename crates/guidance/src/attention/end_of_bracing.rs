//! The end of bracing is near.
//!
//! # What it finds
//! A child in the brace whose bracing ends, by age, within `bracing.end_notice_days`. It applies from the
//! first of those days, or from the fitting if that is later.
//!
//! # Why it matters
//! Ending is a decision: most late relapses follow it, and the family should know the signs of relapse.
//!
//! # When it stays silent
//! In the list: it is decided at a visit, and a missed review has a call of its own. Out of the brace; if the
//! day of birth is not known; if this run of bracing began at or after the age at which it would end (an older
//! child who started late, or a late relapse), because age then does not decide.
//!
//! # Example
//! Born 1 March 2020, bracing to end on 1 March 2025. With 91 days of notice the call applies from 30
//! November 2024.
//!
//! # Source
//! 4–5 years: Gupta & Agarwal 2021, 10.5005/jp-journals-10040-1172 (read). 87 % of relapses came after
//! the end in one series: Manousaki 2021, 10.1186/s12891-021-04323-4 (read).

use super::{Attention, AttentionRule, CallPlace, Finder, Ground, Urgency};
use crate::{CallText, Reason, call_text::BraceCallText};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "end-of-bracing",
    words: "end of bracing near",
    urgency: Urgency::Watch,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let spell = ground.course.brace_now()?;
    let end = ground.protocol.bracing_ends(ground.course.about.born)?;
    if spell.bracing_since >= end {
        return None;
    }
    let from = (end - i32::from(ground.protocol.end_notice_days)).max(spell.bracing_since);
    let years = ground.protocol.bracing_ends_years;
    let text = CallText::Brace(BraceCallText::EndDue { on: end, years });
    let rule = format!(
        "Bracing ends at the age of {years}: examine, decide, and tell the family which signs to look for."
    );
    let fact = format!("in the brace since {}", spell.bracing_since.words());
    let reason = Reason::new(fact, spell.entry, rule, ground.protocol.source("bracing.ends_years"));
    Some(Attention { place: CallPlace::Visit, ..RULE.call(None, from, text, reason) })
}
