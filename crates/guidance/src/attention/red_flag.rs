//! A warning sign that is not settled.
//!
//! # What it finds
//! Toes dark, white or cold, swelling, broken or red skin, blisters, bleeding, fever or unexplained crying,
//! recorded as a problem with no entry that it is settled. It applies from the day it was seen.
//!
//! # Why it matters
//! A cast that presses can cost skin or toes within hours; bleeding or infection after a tenotomy needs to be
//! seen at once. Red skin alone is examined within days, the other signs the same day.
//!
//! # When it stays silent
//! When a later entry settles the problem, or a new cast or the removal of the cast does. Fever, crying and
//! bleeding: when the child was examined on a later day; attendance alone is not enough. Skin and toes: if the
//! bare foot was examined on a later day and it is not recorded whether the problem is settled, the call stays
//! for the next visit and is not in the list; a foot that stayed in its cast was not examined. A slipped cast
//! and problems of the brace or the family have their own rules or none.
//!
//! # Example
//! A mother telephones on 3 May 2024: the toes of the left foot are cold. The call applies from 3 May 2024
//! until the finding is recorded.
//!
//! # Source
//! Leaflets for parents of several clinics (read): toes dark, white or cold, no refill, swelling: call
//! at once. Skin, bleeding and fever: common practice, no source.

use super::{Attention, AttentionRule, CallPlace, Finder, Ground, Urgency, answered};
use crate::{Reason, call_text::ProblemStanding, source};
use course::ProblemSeen;
use record::ProblemKind;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "red-flag",
    words: "warning sign not settled",
    urgency: Urgency::Today,
    when_lost: true,
    find: Finder::EachOpenProblem(call),
};

const POLICY: &str = "See the child, or have the cast removed nearby, under the clinic's own policy.";

fn call(ground: &Ground<'_>, problem: &ProblemSeen) -> Option<Attention> {
    let (urgency, source) = flag(problem.what)?;
    let (what, day) = (problem.what.words(), problem.on.words());
    let reason = Reason::new(format!("{what} on {day}"), problem.entry, POLICY, source);
    let Some(seen) = answered::examined_after(ground, problem) else {
        return Some(Attention { urgency, ..RULE.call_problem(problem, ProblemStanding::Noted, reason) });
    };
    if is_answered_by_examination(problem.what) {
        return None;
    }
    let (urgency, place) = (Urgency::Watch, CallPlace::Visit);
    Some(Attention { urgency, place, ..RULE.call_problem(problem, ProblemStanding::Seen(seen), reason) })
}

/// Fever, crying and bleeding are over, or were treated, once the child was examined.
const fn is_answered_by_examination(what: ProblemKind) -> bool {
    matches!(what, ProblemKind::Fever | ProblemKind::Crying | ProblemKind::Bleeding)
}

const fn flag(what: ProblemKind) -> Option<(Urgency, &'static str)> {
    use ProblemKind as P;
    match what {
        P::ToesColour | P::Swelling | P::Crying => Some((Urgency::Today, source::LEAFLETS)),
        P::SkinBroken | P::Blister | P::Bleeding | P::Fever => Some((Urgency::Today, source::COMMON)),
        P::SkinRed => Some((Urgency::ThisWeek, source::COMMON)),
        P::CastSlipped
        | P::ToesNotSeen
        | P::HeelSlipsOut
        | P::Outgrown
        | P::BraceBroken
        | P::NotTolerated
        | P::Family
        | P::Other => None,
    }
}
