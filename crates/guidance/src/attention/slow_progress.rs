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

use super::ground::{correcting_casts, episode_now, foot_words, total};
use super::{Attention, AttentionRule, Ground, Urgency};
use crate::{FootStatus, Protocol, Reason};
use course::{AssessmentSeen, CastWorn, FootCourse, Phase};
use record::Halves;

pub(super) const RULE: AttentionRule =
    AttentionRule { key: "slow-progress", words: "slow progress", urgency: Urgency::ThisWeek, when_lost: false, find };

/// Below a midfoot score of 1 the forefoot counts as corrected.
const ONE: Halves = Halves(2);
/// From a total of 4 the midfoot scores at least 1, because the hindfoot scores 3 at most.
const FOUR: Halves = Halves(8);

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    for foot in &ground.course.feet {
        if let Some(slow) = slow(foot, ground.status(foot), ground.protocol) {
            found.push(call(ground, foot, &slow));
        }
    }
}

/// Two assessments and the casts between them.
type FlatScores<'a> = (&'a AssessmentSeen, &'a AssessmentSeen, usize);

/// The findings that show slow progress; at least one is present. The next step uses the same.
pub(crate) struct Slow<'a> {
    /// Two assessments and the casts between them, without a fall beyond noise of the midfoot score or, if
    /// that is missing, of the total.
    pub(crate) flat: Option<FlatScores<'a>>,
    /// The correcting cast that reaches the limit.
    pub(crate) many: Option<&'a CastWorn>,
    /// The cast that reaches the limit for a relapse.
    relapse: Option<&'a CastWorn>,
}

/// Whether progress is slow, and the findings that show it.
pub(crate) fn slow<'a>(
    foot: &'a FootCourse,
    status: Option<&FootStatus>,
    protocol: &Protocol,
) -> Option<Slow<'a>> {
    let settled = status
        .is_some_and(|status| status.ready_for_tenotomy == Some(true) || status.corrected == Some(true));
    if settled || foot.phase != Phase::InCorrection {
        return None;
    }
    let relapse = relapse(foot, protocol);
    let (flat, many) = stalled(foot, protocol);
    (flat.is_some() || many.is_some() || relapse.is_some()).then_some(Slow { flat, many, relapse })
}

/// The cast of a later episode after which a relapse should be corrected.
fn relapse<'a>(foot: &'a FootCourse, protocol: &Protocol) -> Option<&'a CastWorn> {
    let mut here = foot.casts.iter().filter(|cast| cast.episode == foot.episode && foot.episode > 1);
    here.nth(usize::from(protocol.relapse_casts).saturating_sub(1))
}

/// A flat score and too many casts, if more than the hindfoot is left to correct.
fn stalled<'a>(foot: &'a FootCourse, protocol: &Protocol) -> (Option<FlatScores<'a>>, Option<&'a CastWorn>) {
    let midfoot = foot.last_pirani().and_then(midfoot);
    let flat = match midfoot {
        Some(score) if score < ONE => return (None, None),
        Some(_) => flat(foot, protocol, ONE, self::midfoot),
        None => flat(foot, protocol, FOUR, total),
    };
    let nth = usize::from(protocol.slow_after_casts).saturating_sub(1);
    (flat, correcting_casts(foot).nth(nth))
}

fn midfoot(scored: &AssessmentSeen) -> Option<Halves> {
    scored.pirani.midfoot()
}

/// The last score and the latest earlier one with enough casts between, if the fall is within noise and the
/// remaining score is at least `least`.
fn flat<'a>(
    foot: &'a FootCourse,
    protocol: &Protocol,
    least: Halves,
    score: fn(&AssessmentSeen) -> Option<Halves>,
) -> Option<FlatScores<'a>> {
    let since = episode_now(foot)?.from;
    let scores = foot.scores.iter().rev().filter(|scored| scored.on >= since);
    let mut scores = scores.filter_map(|scored| Some((scored, score(scored)?)));
    let (last, now) = scores.next().filter(|last| last.1 >= least)?;
    let casts = |scored: &AssessmentSeen| {
        let here = foot.casts.iter().filter(|cast| cast.episode == foot.episode);
        here.filter(|cast| cast.on >= scored.on && cast.on < last.on).count()
    };
    let enough = usize::from(protocol.slow_over_casts);
    let (before, was) = scores.find(|before| casts(before.0) >= enough)?;
    let fall = was.0.saturating_sub(now.0);
    (fall <= protocol.score_noise.0).then(|| (before, last, casts(before)))
}

fn call(ground: &Ground<'_>, foot: &FootCourse, slow: &Slow<'_>) -> Attention {
    let name = foot_words(foot);
    let flat = slow.flat.map(|(before, last, casts)| {
        let (what, ..) = compared(before, last);
        let text = format!("{name}: {what} unchanged over {casts} casts, until {}.", last.on.words());
        (last.on, text, flat_reason(ground, before, last, casts))
    });
    let many = slow.many.map(|cast| {
        let casts = ground.protocol.slow_after_casts;
        let text = format!("{name}: still in correction after {casts} casts, on {}.", cast.on.words());
        (cast.on, text, many_reason(ground, cast))
    });
    let relapse = slow.relapse.map(|cast| {
        let (casts, day) = (ground.protocol.relapse_casts, cast.on.words());
        let text = format!("{name}: still in correction after {casts} casts for a relapse, on {day}.");
        (cast.on, text, relapse_reason(ground, cast))
    });
    let mut shown: Vec<_> = [flat, many, relapse].into_iter().flatten().collect();
    shown.sort_by_key(|shown| shown.0);
    let first = shown.first().map(|(from, text, _)| (*from, text.clone()));
    let (from, text) = first.unwrap_or_else(|| (ground.course.as_of, String::new()));
    let because = shown.into_iter().map(|(_, _, reason)| reason).collect();
    RULE.call_because(Some(foot.side), from, text, because)
}

/// The compared quantity, and the two scores.
fn compared(before: &AssessmentSeen, last: &AssessmentSeen) -> (&'static str, Option<Halves>, Option<Halves>) {
    match (midfoot(before), midfoot(last)) {
        (Some(was), Some(now)) => ("midfoot score", Some(was), Some(now)),
        _ => ("Pirani total", total(before), total(last)),
    }
}

fn flat_reason(ground: &Ground<'_>, before: &AssessmentSeen, last: &AssessmentSeen, casts: usize) -> Reason {
    let (what, was, now) = compared(before, last);
    let words =
        |score: Option<Halves>| score.map_or_else(|| "not known".to_owned(), |score| score.to_string());
    let fact = format!(
        "{what} {} on {}, {} on {}, {casts} casts between",
        words(was),
        before.on.words(),
        words(now),
        last.on.words()
    );
    let noise = ground.protocol.score_noise;
    let rule = format!("A change of {noise} is within rater noise; a fall of about half a point per cast is usual.");
    Reason::new(fact, last.entry, rule, ground.protocol.source("casting.slow_over_casts"))
}

fn many_reason(ground: &Ground<'_>, cast: &CastWorn) -> Reason {
    let fact =
        format!("correcting cast number {} applied on {}", ground.protocol.slow_after_casts, cast.on.words());
    let rule = "Five to eight weeks of weekly casts are usual (NHS, at second hand); no agreed count was found. Reassess before more casts.";
    Reason::new(fact, cast.entry, rule, ground.protocol.source("casting.slow_after_casts"))
}

fn relapse_reason(ground: &Ground<'_>, cast: &CastWorn) -> Reason {
    let fact = format!("cast {} of episode {} applied on {}", cast.number, cast.episode, cast.on.words());
    let rule = "Two or three casts should correct a relapse; if they do not, review the plan.";
    Reason::new(fact, cast.entry, rule, ground.protocol.source("casting.relapse_casts"))
}
