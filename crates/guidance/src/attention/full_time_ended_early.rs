//! Full-time bracing ended before its weeks were over.
//!
//! # What it finds
//! A child in the brace at nights and naps whose full-time bracing lasted fewer days than the protocol's weeks,
//! less the days by which an early review may be sooner. It applies from the day of the change.
//!
//! # Why it matters
//! Relapse is most likely in the first months. Full-time bracing that ended by mistake, or because the family
//! could not continue, may only be noticed years later as a relapse.
//!
//! # When it stays silent
//! When full-time bracing was resumed, when the brace was stopped or the foot cast again (both have rules of
//! their own), when bracing began at nights (braced elsewhere before, or a first fitting of an older child),
//! and once the child was seen on a later day: the clinician who saw the child left it unchanged.
//!
//! # Example
//! Brace on 1 March 2024, to be worn full time for 84 days; changed to nights and naps on 4 April 2024,
//! after 34 days. The call applies from 4 April 2024.
//!
//! # Source
//! 23 hours for 12 weeks: Int J Environ Res Public Health 2023;20:6846 (read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{CallText, Reason, call_text::BraceCallText};
use course::{BraceSpell, Cause};
use record::{Day, Regime};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "full-time-ended-early",
    words: "full time ended early",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let (full, nights, changed) = change(ground)?;
    let planned = i32::from(ground.protocol.full_time_weeks) * 7;
    let lasted = changed - full.bracing_since;
    let early = lasted < planned - i32::from(ground.protocol.early_review_days_before);
    if !early || ground.seen_from(changed + 1) {
        return None;
    }
    let text = CallText::Brace(BraceCallText::FullTimeEndedEarly { on: changed, lasted, planned });
    let fact =
        format!("brace since {}; nights and naps since {}", full.bracing_since.words(), changed.words());
    let rule = format!(
        "Full-time bracing lasts {} weeks: resume it, correct the entry, or note why it ended.",
        ground.protocol.full_time_weeks
    );
    let reason = Reason::new(fact, nights.entry, rule, ground.protocol.source("bracing.full_time_weeks"));
    Some(RULE.call(None, changed, text, reason))
}

/// The last full-time spell of the current run of bracing, and the night-time spell that followed it.
fn change<'a>(ground: &Ground<'a>) -> Option<(&'a BraceSpell, &'a BraceSpell, Day)> {
    let nights = ground.course.brace_now().filter(|spell| spell.regime == Regime::NightTime)?;
    let run = ground.course.braces.iter().rev().skip_while(|spell| spell.regime == Regime::NightTime);
    let full = run.take(1).find(|spell| spell.bracing_since == nights.bracing_since)?;
    let (changed, cause) = full.until?;
    matches!(cause, Cause::Changed | Cause::Refitted).then_some((full, nights, changed))
}
