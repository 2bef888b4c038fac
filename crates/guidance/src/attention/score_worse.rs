//! A score worse than last time.
//!
//! # What it finds
//! A foot whose last Pirani total is at least `scoring.worse_points` higher than the one before. It applies
//! from the day of the last score.
//!
//! # Why it matters
//! In casting it suggests a slipped cast or a wrong manipulation, in bracing a relapse.
//!
//! # When it stays silent
//! For a rise of half a point: two raters differ by 0.65 on average, so only a whole point or more can mean
//! something, and even then two raters differ by more than a point in about 1 foot in 9. When a relapse was
//! noted on that day or since. When the foot was examined on a later day (dorsiflexion or signs of relapse),
//! or braced since: the later findings count. An incomplete score without a recorded total is skipped and
//! never counts as zero.
//!
//! # Example
//! 1.0 on 5 April and 2.0 on 3 May 2024. The call applies from 3 May 2024. 1.5 would be silent.
//!
//! # Source
//! Cosma & Vasilescu 2015, J Foot Ankle Surg 54:582 (mean gap 0.65, 411 feet; read). Within 1 point in
//! 89 % (55 feet, older 10-point form): Flynn 1998, J Pediatr Orthop (abstract read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::FindingCallText};
use course::{AssessmentSeen, FootCourse};
use record::Day;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "score-worse",
    words: "score worse than last time",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let (before, last) = last_two(foot)?;
    let (was, now) = (before.pirani_total()?, last.pirani_total()?);
    let rise = now.0.saturating_sub(was.0);
    let small = rise < ground.protocol.score_worse.0;
    if small || foot.relapse_noted_from(last.on) || examined_or_braced_after(ground, foot, last.on) {
        return None;
    }
    let text = FindingCallText::ScoreWorse { now, on: last.on, was, before: before.on };
    let fact = format!("{was} on {}, {now} on {}", before.on.words(), last.on.words());
    let rule = format!(
        "A rise of {} or more is beyond the usual difference between raters (0.65); check the score, the cast and the foot.",
        ground.protocol.score_worse
    );
    let reason = Reason::new(fact, last.entry, rule, ground.protocol.source("scoring.worse_points"));
    let urgency = if foot.phase.is_in_casts() { Urgency::Soon } else { Urgency::ThisWeek };
    Some(Attention { urgency, ..RULE.call_finding(foot, last.on, text, reason) })
}

/// Whether a foot was examined, or braced, after a day.
fn examined_or_braced_after(ground: &Ground<'_>, foot: &FootCourse, day: Day) -> bool {
    let examined = |scored: &AssessmentSeen| scored.dorsiflexion_deg.is_some() || !scored.signs.is_empty();
    foot.scores.iter().any(|scored| scored.on > day && examined(scored))
        || ground.last_brace(foot).is_some_and(|brace| brace.bracing_since > day)
}

/// The last score with a total, and the one before it on an earlier day.
fn last_two(foot: &FootCourse) -> Option<(&AssessmentSeen, &AssessmentSeen)> {
    let mut scores = foot.scores.iter().rev().filter(|scored| scored.pirani_total().is_some());
    let last = scores.next()?;
    let before = scores.find(|scored| scored.on < last.on)?;
    Some((before, last))
}
