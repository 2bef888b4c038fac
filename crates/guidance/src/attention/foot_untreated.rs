//! One clubfoot treated and the other not.
//!
//! # What it finds
//! A foot on record as a clubfoot that has had no treatment, while the other foot is cast, cut or braced. It
//! applies once the first cast of this foot would have been due: `casting.first_within_days` after the first
//! treatment of the other foot, or after this foot was put on record if that was later.
//!
//! # Why it matters
//! A foot that falls behind the other delays the brace for both, and gains nothing by waiting. Or it is not
//! a clubfoot, and the record should say so.
//!
//! # When it stays silent
//! When this foot was cast, cut, operated on or braced, when it is positional, when every sign of its score
//! is 0, and when the other foot is untreated too.
//!
//! # Example
//! Both feet are scored on 3 May 2024 and only the right one is cast. The call applies from 11 May 2024
//! (3 + 7 + 1).
//!
//! # Source
//! Common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::TreatmentCallText, source};
use course::{AssessmentSeen, FootCourse, Phase};
use record::{Day, Halves, Nature};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "foot-untreated",
    words: "one foot untreated",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::FootAgainstOther(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse, treated: &FootCourse) -> Option<Attention> {
    let positional = foot.nature == Some(Nature::Positional);
    let doubtful = ground.course.in_doubt(treated.side).is_some();
    if !untreated(foot) || positional || doubtful || scored_zero(foot) {
        return None;
    }
    let first = first_treated(treated)?;
    let known = foot.scores.first().map_or(first, |scored| scored.on.max(first));
    let from = known + i32::from(ground.protocol.first_cast_within_days) + 1;
    let side = treated.side;
    let text = TreatmentCallText::Untreated { other: side, since: first };
    let fact = format!("{side} foot treated since {}; no cast of the {} foot", first.words(), foot.side);
    let rule = "Treat both feet together, or record that this one is not a clubfoot.";
    let entry = foot.phases.last().and_then(|spell| spell.entry);
    Some(RULE.call_treatment(foot, from, text, Reason::new(fact, entry, rule, source::COMMON)))
}

/// Whether the foot was treated neither here nor before.
fn untreated(foot: &FootCourse) -> bool {
    foot.phase == Phase::Referred && !foot.is_treated() && foot.earlier_treatment.is_none()
}

/// Whether the last complete score is 0.
fn scored_zero(foot: &FootCourse) -> bool {
    let last = foot.scores.iter().rev().find_map(AssessmentSeen::pirani_total);
    last == Some(Halves(0))
}

/// The day of the first cast or tenotomy.
fn first_treated(foot: &FootCourse) -> Option<Day> {
    let cast = foot.casts.first().map(|cast| cast.on);
    let cut = foot.tenotomies.first().map(|cut| cut.on);
    cast.into_iter().chain(cut).min()
}
