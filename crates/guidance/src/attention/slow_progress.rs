//! A foot that casting no longer moves.
//!
//! # What it finds
//! A foot in correction whose Pirani total has not fallen by more than rater noise over
//! `casting.slow_over_casts` casts, from the day of the last score; or that is still in correction after
//! `casting.slow_after_casts` correcting casts, from the day of that cast.
//!
//! # Why it matters
//! The total falls by 0.4 to 0.7 points a cast on average. A foot that stands still may be a complex
//! foot, a slipping cast, a faulty technique or a foot that is not idiopathic: a second pair of eyes is
//! wanted before more casts.
//!
//! # When it stays silent
//! When the foot is ready for tenotomy or corrected; when the midfoot score is below 1, for a hindfoot
//! that does not move before the tenotomy is normal; when a score is half entered and no total is
//! written; after a relapse the count begins again.
//!
//! # Example
//! Totals of 4.5 on 12 April and 4.0 on 3 May 2024 with three casts between: a fall of 0.5 is within
//! noise, and the call applies from 3 May 2024.
//!
//! # Source
//! Williams 2022, 10.7759/cureus.22683; Islam 2020, 10.4055/cios.2020.12.1.100 (fall per cast, worked
//! out); Cosma & Vasilescu 2015 (noise); Lampasi 2017, 10.1177/2309499017713916 (hindfoot flat before
//! tenotomy). No agreed cast count was found.

use super::ground::{correcting_casts, episode_now, foot_words, total};
use super::{Attention, Ground, Rule, Urgency};
use crate::{FootStatus, Protocol, Reason};
use course::{CastWorn, FootCourse, Phase, Scored};

pub(super) const RULE: Rule = Rule {
    key: "slow-progress",
    words: "slow progress",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find,
};

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    for foot in &ground.course.feet {
        if let Some(slow) = slow(foot, ground.status(foot), ground.protocol) {
            found.push(call(ground, foot, &slow));
        }
    }
}

/// What shows that progress is slow; at least one is there.
pub(crate) struct Slow<'a> {
    /// Two scores and the casts between them, where the total has not fallen.
    pub(crate) flat: Option<(&'a Scored, &'a Scored, usize)>,
    /// The cast that makes it too many.
    pub(crate) many: Option<&'a CastWorn>,
}

/// Whether progress is slow, and what shows it.
pub(crate) fn slow<'a>(foot: &'a FootCourse, status: Option<&FootStatus>, protocol: &Protocol) -> Option<Slow<'a>> {
    if foot.phase != Phase::InCorrection || moving_on(foot, status) {
        return None;
    }
    let many = usize::from(protocol.slow_after_casts).checked_sub(1).and_then(|nth| correcting_casts(foot).nth(nth));
    let flat = flat(foot, protocol);
    (flat.is_some() || many.is_some()).then_some(Slow { flat, many })
}

/// Ready, corrected, or with only the hindfoot left.
fn moving_on(foot: &FootCourse, status: Option<&FootStatus>) -> bool {
    let settled = status.is_some_and(|status| {
        status.ready_for_tenotomy == Some(true) || status.corrected == Some(true)
    });
    let midfoot = foot.last_pirani().and_then(|scored| scored.pirani.midfoot());
    settled || midfoot.is_some_and(|score| score.0 < 2)
}

/// The last score and the latest one with enough casts between, where the fall is within noise.
fn flat<'a>(foot: &'a FootCourse, protocol: &Protocol) -> Option<(&'a Scored, &'a Scored, usize)> {
    let since = episode_now(foot)?.from;
    let mut scores = foot.scores.iter().rev().filter(|scored| scored.on >= since && total(scored).is_some());
    let last = scores.next()?;
    let between = |scored: &Scored| {
        correcting_casts(foot).filter(|cast| cast.on >= scored.on && cast.on < last.on).count()
    };
    let before = scores.find(|scored| between(scored) >= usize::from(protocol.slow_over_casts))?;
    let fall = i16::from(total(before)?.0) - i16::from(total(last)?.0);
    (fall <= i16::from(protocol.score_noise.0)).then(|| (before, last, between(before)))
}

fn call(ground: &Ground<'_>, foot: &FootCourse, slow: &Slow<'_>) -> Attention {
    let mut because = Vec::new();
    let (mut from, mut text) = (None, String::new());
    if let Some((before, last, casts)) = slow.flat {
        from = Some(last.on);
        text = format!("{}: no fall of the score beyond noise over {casts} casts, to {}.", foot_words(foot), last.on.words());
        because.push(flat_reason(ground, before, last, casts));
    }
    if let Some(cast) = slow.many {
        if from.is_none_or(|day| cast.on < day) {
            from = Some(cast.on);
            text = format!("{}: still in correction after {} casts, on {}.", foot_words(foot), ground.protocol.slow_after_casts, cast.on.words());
        }
        because.push(many_reason(ground, cast));
    }
    let from = from.unwrap_or(ground.course.as_of);
    Attention { rule: RULE.key, urgency: RULE.urgency, side: Some(foot.side), from, text, because }
}

fn flat_reason(ground: &Ground<'_>, before: &Scored, last: &Scored, casts: usize) -> Reason {
    let words = |scored: &Scored| total(scored).map_or_else(String::new, |score| score.to_string());
    let fact = format!(
        "Pirani total {} on {}, {} on {}, {casts} casts between",
        words(before),
        before.on.words(),
        words(last),
        last.on.words()
    );
    let rule = format!("A change of {} says nothing; about half a point a cast is usual.", ground.protocol.score_noise);
    Reason::new(fact, last.entry, rule, ground.protocol.source("casting.slow_over_casts"))
}

fn many_reason(ground: &Ground<'_>, cast: &CastWorn) -> Reason {
    let fact = format!("correcting cast number {} put on on {}", ground.protocol.slow_after_casts, cast.on.words());
    let rule = "Four to seven casts are usual (from memory); no agreed count was found. Look again before more casts.";
    Reason::new(fact, cast.entry, rule, ground.protocol.source("casting.slow_after_casts"))
}
