//! A foot that no longer improves with casts.
//!
//! # What it finds
//! A foot in correction whose midfoot score has not fallen by more than rater noise over
//! `casting.slow_over_casts` casts, from the day of the last score; if only totals are recorded, a total of 4
//! or more that has not fallen (the hindfoot makes up 3 of it at most). Or a foot still in correction after
//! `casting.slow_after_casts` correcting casts, or after `casting.relapse_casts` in a later episode, from the
//! day of that cast.
//!
//! # Why it matters
//! The total falls by 0.4 to 0.7 points a cast on average; before the tenotomy the fall comes from the
//! midfoot. A foot that does not improve may be a complex foot, a slipping cast, a faulty technique or a foot
//! that is not idiopathic: a second opinion is needed before more casts.
//!
//! # When it stays silent
//! When the foot is ready for tenotomy or corrected; when the midfoot score is below 1, because a hindfoot
//! that does not improve before the tenotomy is normal; when the midfoot was not scored and no total is
//! recorded. After a relapse the count starts again.
//!
//! # Example
//! Midfoot 2.0 on 12 April and 1.5 on 3 May 2024 with three casts between: a fall of 0.5 is within noise,
//! and the call applies from 3 May 2024.
//!
//! # Source
//! Williams 2022, 10.7759/cureus.22683; Islam 2020, 10.4055/cios.2020.12.1.100 (fall per cast, calculated);
//! Cosma & Vasilescu 2015 (noise); Lampasi 2017, 10.1177/2309499017713916 (hindfoot flat before tenotomy). No
//! agreed cast count was found. Two or three casts for a relapse: handbook, 3rd edition (from memory).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    CallText, Protocol, Reason,
    call_text::{FindingCallText, TreatmentCallText, UnchangedScore},
    progress::{self, Slow, midfoot},
};
use course::{AssessmentSeen, CastWorn, FootCourse};
use record::{Day, Halves, Side};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "slow-progress",
    words: "slow progress",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

/// What is shown of one finding: its day, the text and the reason.
type Shown = (Day, CallText, Reason);

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let slow = progress::slow(foot, ground.status(foot), ground.protocol)?;
    let mut shown = shown(ground.protocol, foot.side, &slow);
    shown.sort_by_key(|shown| shown.0);
    let (from, text, _) = shown.first()?.clone();
    let because: Vec<Reason> = shown.into_iter().map(|(_, _, reason)| reason).collect();
    Some(RULE.call(Some(foot.side), from, text, because))
}

/// Every finding of slow progress.
fn shown(protocol: &Protocol, side: Side, slow: &Slow<'_>) -> Vec<Shown> {
    let flat = slow.flat.map(|(before, last, casts)| {
        let (what, ..) = compared(before, last);
        let text = FindingCallText::Unchanged { what, casts, until: last.on };
        (last.on, CallText::Finding(side, text), flat_reason(protocol, before, last, casts))
    });
    let many = slow.many.map(|cast| {
        let text = TreatmentCallText::StillInCorrection { casts: protocol.slow_after_casts, on: cast.on };
        (cast.on, CallText::Treatment(side, text), many_reason(protocol, cast))
    });
    let relapse = slow.relapse.map(|cast| {
        let text = TreatmentCallText::RelapseStillInCorrection { casts: protocol.relapse_casts, on: cast.on };
        (cast.on, CallText::Treatment(side, text), relapse_reason(protocol, cast))
    });
    [flat, many, relapse].into_iter().flatten().collect()
}

/// The compared quantity, and the two scores.
fn compared(
    before: &AssessmentSeen,
    last: &AssessmentSeen,
) -> (UnchangedScore, Option<Halves>, Option<Halves>) {
    match (midfoot(before), midfoot(last)) {
        (Some(was), Some(now)) => (UnchangedScore::Midfoot, Some(was), Some(now)),
        _ => (UnchangedScore::Total, before.pirani_total(), last.pirani_total()),
    }
}

fn flat_reason(protocol: &Protocol, before: &AssessmentSeen, last: &AssessmentSeen, casts: usize) -> Reason {
    let (what, was, now) = compared(before, last);
    let words =
        |score: Option<Halves>| score.map_or_else(|| "not known".to_owned(), |score| score.to_string());
    let fact = format!(
        "{} {} on {}, {} on {}, {casts} casts between",
        what.words(),
        words(was),
        before.on.words(),
        words(now),
        last.on.words()
    );
    let noise = protocol.score_noise;
    let rule =
        format!("A change of {noise} is within rater noise; a fall of about half a point per cast is usual.");
    Reason::new(fact, last.entry, rule, protocol.source("casting.slow_over_casts"))
}

fn many_reason(protocol: &Protocol, cast: &CastWorn) -> Reason {
    let fact = format!("correcting cast number {} applied on {}", protocol.slow_after_casts, cast.on.words());
    let rule = "Five to eight weeks of weekly casts are usual (NHS, at second hand); no agreed count was found. Reassess before more casts.";
    Reason::new(fact, cast.entry, rule, protocol.source("casting.slow_after_casts"))
}

fn relapse_reason(protocol: &Protocol, cast: &CastWorn) -> Reason {
    let fact = format!("cast {} of episode {} applied on {}", cast.number, cast.episode, cast.on.words());
    let rule = "Two or three casts should correct a relapse; if they do not, review the plan.";
    Reason::new(fact, cast.entry, rule, protocol.source("casting.relapse_casts"))
}
