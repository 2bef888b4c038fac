//! Bracing stopped before its end.
//!
//! # What it finds
//! A child whose bracing was stopped before the age at which the protocol ends it, with no brace and no
//! cast since. It applies from the day it was stopped.
//!
//! # Why it matters
//! Stopping early is the strongest known cause of relapse. Some families can be persuaded to resume, and a
//! brace that is not tolerated can be changed.
//!
//! # When it stays silent
//! When bracing was resumed, when a foot is in treatment, and when bracing reached its end, by a stop or by
//! age. When the feet were examined at three later reviews: the clinic knows and has decided. If the day of
//! birth is not known, the call says so and is less urgent.
//!
//! # Example
//! Born 1 March 2021, bracing to end on 1 March 2026; it was stopped on 3 May 2024. The call applies
//! from 3 May 2024.
//!
//! # Source
//! Not worn and relapse: odds ratio 10 (5–21), van Schelven 2022, 10.1080/17453674.2021.1982576 (read);
//! end at 4–5 years: Gupta & Agarwal 2021, 10.5005/jp-journals-10040-1172 (read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency, answered};
use crate::{CallText, Reason, call_text::BraceCallText};
use course::{BraceSpell, Cause, Phase};
use record::Day;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "bracing-stopped-early",
    words: "bracing stopped early",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let (spell, stopped) = stopped(ground)?;
    let end = ground.protocol.bracing_ends(ground.course.about.born);
    if end.is_some_and(|end| stopped >= end) || answered::good_reviews_without_brace(ground, stopped) {
        return None;
    }
    let day = stopped.words();
    let urgency = if end.is_some() { RULE.urgency } else { Urgency::Soon };
    let text = CallText::Brace(BraceCallText::Stopped { on: stopped, planned: end });
    let rule = format!(
        "Bracing lasts until the age of {}; if it is stopped earlier, relapse is much more likely.",
        ground.protocol.bracing_ends_years
    );
    let source = ground.protocol.source("bracing.ends_years");
    let reason = Reason::new(format!("bracing stopped on {day}"), spell.entry, rule, source);
    Some(Attention { urgency, ..RULE.call(None, stopped, text, reason) })
}

/// The last spell and the day it was stopped, if no foot has been in treatment since.
fn stopped<'a>(ground: &Ground<'a>) -> Option<(&'a BraceSpell, Day)> {
    let spell = ground.course.braces.last()?;
    let (day, cause) = spell.until?;
    let after = ground.course.feet.iter().all(|foot| foot.phase == Phase::AfterBracing);
    (cause == Cause::Stopped && after).then_some((spell, day))
}
