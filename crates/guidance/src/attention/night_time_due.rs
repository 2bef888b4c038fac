//! The change from full-time to night-time bracing is due.
//!
//! # What it finds
//! A child in the brace full time when `bracing.full_time_weeks` have passed since the brace was fitted,
//! from that day.
//!
//! # Why it matters
//! A child who stays in the brace all day longer than needed learns to crawl and stand late, and the family
//! tires; one who changes too soon relapses more. The change is decided at a visit.
//!
//! # When it stays silent
//! In night-time bracing, out of the brace, and before the day.
//!
//! # Example
//! The brace is fitted on 3 May 2024. Twelve weeks later is 26 July 2024 (3 May + 84 days), and the call
//! applies from that day.
//!
//! # Source
//! 12 weeks: Int J Environ Res Public Health 2023;20:6846 (read); 3 to 4 months: Gupta & Agarwal 2021,
//! 10.5005/jp-journals-10040-1172 (read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{CallText, Reason, call_text::BraceCallText};
use record::Regime;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "night-time-due",
    words: "change to night-time bracing due",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let spell = ground.course.brace_now().filter(|spell| spell.regime == Regime::FullTime)?;
    let weeks = ground.protocol.full_time_weeks;
    let since = spell.bracing_since;
    let from = since + i32::from(weeks) * 7;
    let text = CallText::Brace(BraceCallText::NightTimeDue { since, weeks, until: from });
    let rule = format!(
        "After {weeks} weeks full time: nights and naps, about {} hours a day, if the foot is well corrected.",
        ground.protocol.night_hours
    );
    let source = ground.protocol.source("bracing.full_time_weeks");
    let reason = Reason::new(format!("brace fitted on {}", since.words()), spell.entry, rule, source);
    Some(RULE.call(None, from, text, reason))
}
