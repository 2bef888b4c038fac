//! Dorsiflexion lost since bracing began.
//!
//! # What it finds
//! A foot in the brace, or after it, whose last dorsiflexion is at least `bracing.dorsiflexion_loss_deg`
//! less than the best measured since bracing began, or below the alarm
//! `bracing.dorsiflexion_alarm_below_deg`. It applies from the day it was measured.
//!
//! If the findings make up a grade of relapse, the grade is given.
//!
//! # Why it matters
//! Loss of dorsiflexion is the first sign of relapse, before the heel turns in. At this stage it is treated
//! with casts.
//!
//! # When it stays silent
//! When a relapse has been noted on that day or since; when dorsiflexion was not measured since bracing
//! began; for a fall within the error of two measurements of the same foot. A foot that is syndromic
//! or neurogenic has an alarm of its own, `non_idiopathic.dorsiflexion_alarm_below_deg`.
//!
//! # Example
//! Best 20° since the brace was fitted, 10° on 3 May 2024: a loss of 10°. The call applies from 3 May
//! 2024. 11° would be a loss of 9° and silent.
//!
//! # Source
//! Alarm below 10°: a review of relapse (read; which review was not noted). Grade IA is a fall
//! from 15° to neutral: Bhaskar & Patni 2013, 10.4103/0019-5413.114921 (read). Least
//! change beyond the error of measuring: 7.94° (10.3233/BMR-170862, read), 10 to 23° (Johansen 2020, read).
//! For the alarm in stiff feet no source was found: it is the lower end of the 5–10°
//! accepted at the end of their casting by Mehta 2021, 10.5005/jp-journals-10040-1170 (read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::FindingCallText, relapse::RelapseFindings, words::degrees};
use course::{AssessmentSeen, FootCourse};
use record::Day;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "dorsiflexion-lost",
    words: "dorsiflexion lost in bracing",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

/// An assessment with its dorsiflexion.
type Measured<'a> = (&'a AssessmentSeen, i16);

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let since = ground.last_brace(foot)?.bracing_since;
    let (best, last) = best_and_last(foot, since)?;
    if foot.relapse_noted_from(last.0.on) {
        return None;
    }
    let because = [lost(ground, best, last), alarm(ground, foot, last)];
    let mut because: Vec<Reason> = because.into_iter().flatten().collect();
    if because.is_empty() {
        return None;
    }
    let grade = RelapseFindings::of(foot, since, ground.protocol).grade();
    because.extend(grade.map(|found| found.reason()));
    let before = (best.1 > last.1).then_some((best.1, best.0.on));
    let text = FindingCallText::Dorsiflexion { deg: last.1, on: last.0.on, best: before };
    Some(RULE.call_finding(foot, last.0.on, text, because))
}

/// The best dorsiflexion since a day, the first of several equal ones, and the last.
fn best_and_last(foot: &FootCourse, since: Day) -> Option<(Measured<'_>, Measured<'_>)> {
    let measured = foot.scores.iter().filter(|scored| scored.on >= since);
    let mut measured = measured.filter_map(|scored| Some((scored, scored.dorsiflexion_deg?)));
    let last = measured.clone().next_back()?;
    let first = measured.next()?;
    Some((measured.fold(first, |best, next| if next.1 > best.1 { next } else { best }), last))
}

fn lost(ground: &Ground<'_>, (best, most): Measured<'_>, (last, now): Measured<'_>) -> Option<Reason> {
    let limit = ground.protocol.dorsiflexion_loss_deg;
    (most - now >= limit).then(|| {
        let fact = format!(
            "dorsiflexion {} on {}, {} on {}",
            degrees(most),
            best.on.words(),
            degrees(now),
            last.on.words()
        );
        let rule = format!(
            "A loss of {limit}° or more since bracing began is more than measuring error: look for relapse."
        );
        Reason::new(fact, last.entry, rule, ground.protocol.source("bracing.dorsiflexion_loss_deg"))
    })
}

fn alarm(ground: &Ground<'_>, foot: &FootCourse, (last, now): Measured<'_>) -> Option<Reason> {
    let protocol = ground.protocol;
    let (limit, key) = protocol.dorsiflexion_alarm(foot.nature);
    (now < limit).then(|| {
        let fact = format!("dorsiflexion {} on {}", degrees(now), last.on.words());
        let rule = format!(
            "Below {limit}° in bracing is an alarm: look for early heel rise and supination in swing."
        );
        Reason::new(fact, last.entry, rule, protocol.source(key))
    })
}
