//! Progress in casts: whether the score still falls, and whether more casts were needed than planned.
//!
//! The next step and the rule `slow-progress` use the same findings.

use crate::{FootStatus, Protocol};
use course::{AssessmentSeen, CastWorn, FootCourse, Phase};
use record::Halves;

/// Below a midfoot score of 1 the forefoot counts as corrected.
const ONE: Halves = Halves(2);
/// From a total of 4 the midfoot scores at least 1, because the hindfoot scores 3 at most.
const FOUR: Halves = Halves(8);

/// Two assessments and the casts between them.
pub(crate) type FlatScores<'a> = (&'a AssessmentSeen, &'a AssessmentSeen, usize);

/// The findings that show slow progress; at least one is present.
pub(crate) struct Slow<'a> {
    /// Two assessments and the casts between them, without a fall beyond noise of the midfoot score or, if
    /// that is missing, of the total.
    pub(crate) flat: Option<FlatScores<'a>>,
    /// The correcting cast that reaches the limit.
    pub(crate) many: Option<&'a CastWorn>,
    /// The cast that reaches the limit for a relapse.
    pub(crate) relapse: Option<&'a CastWorn>,
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
        None => flat(foot, protocol, FOUR, AssessmentSeen::pirani_total),
    };
    let nth = usize::from(protocol.slow_after_casts).saturating_sub(1);
    (flat, foot.correcting_casts_now().nth(nth))
}

pub(crate) fn midfoot(scored: &AssessmentSeen) -> Option<Halves> {
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
    let since = foot.episode_now()?.from;
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
