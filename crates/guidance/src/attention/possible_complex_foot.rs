//! A foot that may be a complex foot.
//!
//! # What it finds
//! A foot in correction that is not recorded as complex or not complex, and whose casts have slipped
//! `casting.complex_hint_slips` times in this episode, from the day of that slip; or whose medial crease,
//! posterior crease and rigid equinus all still score 1 after `casting.slow_over_casts` casts, from the day of
//! that score. It is a hint: the signs have to be looked for.
//!
//! # Why it matters
//! The usual manipulation makes a complex foot worse; it needs a different one. About 1 child in 15 had one in
//! a series to which difficult feet were referred.
//!
//! # When it stays silent
//! Once it is recorded whether the foot is complex, either way; out of correction; if the signs were not
//! scored.
//!
//! # Example
//! The second cast of this episode slips on 3 May 2024. The call applies from 3 May 2024.
//!
//! # Source
//! Ponseti 2006, 10.1097/01.blo.0000224062.39990.48 (signs, 50 of 762 children; read). The medial crease
//! goes early in other feet: Lampasi 2017, 10.1177/2309499017713916 (read). The counts are common
//! practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    Reason,
    call_text::{ComplexHint, FindingCallText},
};
use course::{FootCourse, Phase};
use record::{Day, EntryId, HalfPoint, ProblemKind, RemovalReason, Sign};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "possible-complex-foot",
    words: "possible complex foot",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

const SIGNS: &str = "Look for the signs: rigid equinus, all metatarsals steeply bent down, a deep crease above the heel, a crease across the whole sole, a short great toe bent upwards. Then record whether the foot is complex.";
const SOURCE: &str =
    "Ponseti 2006, 10.1097/01.blo.0000224062.39990.48; the counts: common practice, no source";

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    if foot.phase != Phase::InCorrection || foot.complex.is_some() {
        return None;
    }
    let hints = [slipped(ground, foot), stuck(ground, foot)];
    let mut hints: Vec<(ComplexHint, EntryId)> = hints.into_iter().flatten().collect();
    hints.sort_by_key(|(hint, _)| hint.on());
    let &(first, _) = hints.first()?;
    let reason = |(hint, entry): &(ComplexHint, EntryId)| Reason::new(hint.words(), *entry, SIGNS, SOURCE);
    let because: Vec<Reason> = hints.iter().map(reason).collect();
    Some(RULE.call_finding(foot, first.on(), FindingCallText::MaybeComplex(first), because))
}

/// The slip that completes the number. A slip noted as a problem and again at the removal of the same cast is
/// one slip.
fn slipped(ground: &Ground<'_>, foot: &FootCourse) -> Option<(ComplexHint, EntryId)> {
    let here = || foot.casts.iter().filter(|cast| cast.episode == foot.episode);
    // The problem is about the cast that was on when the day began, otherwise about that day's own.
    let worn = |day: Day| here().rfind(|cast| cast.on < day).or_else(|| here().find(|cast| cast.on == day));
    let removed = here().filter_map(|cast| match cast.off {
        Some((day, Some(RemovalReason::Slipped))) => Some((cast.on, day, cast.entry)),
        _ => None,
    });
    let noted = ground
        .course
        .problems
        .iter()
        .filter(|problem| problem.what == ProblemKind::CastSlipped && problem.side == Some(foot.side));
    let noted = noted.filter_map(|problem| Some((worn(problem.on)?.on, problem.on, problem.entry)));
    let mut slips: Vec<(Day, Day, EntryId)> = removed.chain(noted).collect();
    slips.sort();
    slips.dedup_by_key(|slip| slip.0);
    let wanted = usize::from(ground.protocol.complex_hint_slips);
    let &(_, day, entry) = slips.get(wanted.checked_sub(1)?)?;
    Some((ComplexHint::CastsSlipped { casts: wanted, last: day }, entry))
}

/// The score after enough casts whose creases and equinus are all still 1.
fn stuck(ground: &Ground<'_>, foot: &FootCourse) -> Option<(ComplexHint, EntryId)> {
    let since = foot.episode_now()?.from;
    let last = foot.last_pirani().filter(|scored| scored.on >= since)?;
    let before = foot.correcting_casts_now().filter(|cast| cast.on < last.on).count();
    let signs = [Sign::MedialCrease, Sign::PosteriorCrease, Sign::RigidEquinus];
    let all = signs.into_iter().all(|sign| last.pirani.sign(sign) == Some(HalfPoint::One));
    (all && before >= usize::from(ground.protocol.slow_over_casts))
        .then_some((ComplexHint::SignsUnchanged { casts: before, on: last.on }, last.entry))
}
