//! One foot in the brace while the other is still in casts.
//!
//! # What it finds
//! A child with both feet affected who is in the brace while one foot is not yet cast, in correction,
//! waiting for its tenotomy or in the cast after it. It applies from the later of the two beginnings.
//!
//! # Why it matters
//! The bar holds both feet: with one of them in a cast the brace cannot be worn as meant. The corrected
//! foot is held in casts until the other is ready, or the record is wrong about a side.
//!
//! # When it stays silent
//! When one foot only is affected; when both are in the brace or both in casts.
//!
//! # Example
//! The right foot is in correction since 12 April and the brace is fitted on 3 May 2024. The call
//! applies from 3 May 2024.
//!
//! # Source
//! Common practice, no source.

use super::ground::foot_words;
use super::{Attention, Ground, Rule, Urgency};
use crate::Reason;
use course::{FootCourse, Phase};

pub(super) const RULE: Rule = Rule {
    key: "one-foot-behind",
    words: "one foot in the brace, the other in casts",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find,
};

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let [one, other] = ground.course.feet.as_slice() else { return };
    let behind = match (braced(one), braced(other)) {
        (true, false) => other,
        (false, true) => one,
        _ => return,
    };
    let Some(spell) = ground.course.brace_now().filter(|_| in_casts(behind)) else { return };
    let from = behind.phase_since.map_or(spell.from, |since| since.max(spell.from));
    let (phase, since) = (behind.phase.words(), spell.from.words());
    let text = format!("{}: {phase}, while a brace is worn since {since}.", foot_words(behind));
    let rule = "The brace waits for both feet; the corrected one is held in casts. Check the side.";
    let reason = Reason::new(format!("brace since {since}"), spell.entry, rule, "common practice, no source");
    found.push(RULE.call(Some(behind.side), from, text, reason));
}

fn braced(foot: &FootCourse) -> bool {
    matches!(foot.phase, Phase::FullTimeBracing | Phase::NightTimeBracing)
}

fn in_casts(foot: &FootCourse) -> bool {
    matches!(
        foot.phase,
        Phase::Referred | Phase::InCorrection | Phase::WaitingForTenotomy | Phase::TenotomyCast
    )
}
