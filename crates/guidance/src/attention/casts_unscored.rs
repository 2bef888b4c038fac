//! Casts in a row without a score.
//!
//! # What it finds
//! A foot in correction whose last correcting casts, `scoring.unscored_casts` or more in a row, were applied
//! with no sign of the score and no angle recorded on their days or between them. It applies from the day of
//! the cast that completes that number.
//!
//! # Why it matters
//! Without a score it stays unnoticed that a foot has stopped improving, or is ready for its tenotomy.
//!
//! # When it stays silent
//! After a score or a measured angle of that foot; for the cast after a tenotomy and holding casts.
//!
//! # Example
//! Scored and cast on 19 April 2024, cast again on 26 April and 3 May 2024 without a score. Two casts in a
//! row: the call applies from 3 May 2024.
//!
//! # Source
//! Score at the first and every visit: British consensus, Bone Joint J 2022 (read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    Reason,
    call_text::{TreatmentCallText, last_scored_words},
};
use course::{AssessmentSeen, CastWorn, FootCourse, Phase};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "casts-unscored",
    words: "casts without a score",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    if foot.phase != Phase::InCorrection {
        return None;
    }
    let scored = foot.scores.iter().rev().find(|scored| measures(scored)).map(|scored| scored.on);
    let unscored: Vec<&CastWorn> =
        foot.correcting_casts_now().filter(|cast| scored.is_none_or(|day| cast.on > day)).collect();
    let limit = usize::from(ground.protocol.unscored_casts.max(1));
    let cast = unscored.get(limit - 1)?;
    let text = TreatmentCallText::CastsUnscored { casts: unscored.len(), scored };
    let rule = "Score the foot at every visit, including the first.";
    let source = ground.protocol.source("scoring.unscored_casts");
    let fact = format!("cast {} on {}, {}", cast.number, cast.on.words(), last_scored_words(scored));
    Some(RULE.call_treatment(foot, cast.on, text, Reason::new(fact, cast.entry, rule, source)))
}

fn measures(scored: &AssessmentSeen) -> bool {
    !scored.pirani.is_empty()
        || !scored.dimeglio.is_empty()
        || scored.stated_total.is_some()
        || scored.stated_dimeglio_total.is_some()
        || scored.dorsiflexion_deg.is_some()
        || scored.abduction_deg.is_some()
}
