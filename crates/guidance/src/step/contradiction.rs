//! Findings of one foot that contradict each other.
//!
//! Measurements of one visit are compared, or of visits at most [`SAME_VISIT_DAYS`] apart with no change of
//! cast between them:
//! - a hindfoot score of 2 to 3 with dorsiflexion that reaches the foot's own end point: the midfoot may have
//!   given way, which looks like dorsiflexion;
//! - a midfoot score of 0 or ½ with little abduction;
//! - the sign of rigid equinus, if it is 0 or 1, with dorsiflexion on the other side of neutral by more than
//!   the measuring error;
//! - a recorded total that is not the sum of its signs.
//!
//! It names a possible reason and makes no diagnosis. The limits are protocol values; they follow the end point
//! of the foot, which is lower in a complex foot and in one that is not idiopathic.

use super::{end_point::EndPoint, measured::Measured, readiness::above};
use crate::{Protocol, Reason, call_text::ContradictionText, source};
use course::AssessmentSeen;
use record::{Day, EntryId, HalfPoint, Sign};
use std::borrow::Cow;

/// Measurements up to this many days apart count as one visit. Judgement; no source.
const SAME_VISIT_DAYS: i32 = 3;

const ROCKER_BOTTOM: &str = "Yalcin 2024, J Clin Med 13:714 (rocker-bottom by pseudo-correction); the limits: common practice, no source";

/// Findings that contradict each other.
pub(crate) struct FoundContradiction {
    /// The findings; they are also the fact of the reason.
    pub(crate) what: ContradictionText,
    /// Why they contradict each other.
    pub(crate) because: Reason,
}

impl FoundContradiction {
    fn new(
        what: ContradictionText,
        entry: EntryId,
        rule: impl Into<Cow<'static, str>>,
        source: &'static str,
    ) -> Self {
        Self { what, because: Reason::new(what.words(), entry, rule, source) }
    }
}

/// The findings of a foot that contradict each other; empty if none do.
pub(crate) fn of(measured: &Measured<'_>, end: EndPoint, protocol: &Protocol) -> Vec<FoundContradiction> {
    let Some(scored) = measured.scored else { return Vec::new() };
    [
        hindfoot(scored, measured, end, protocol),
        midfoot(scored, measured, end, protocol),
        equinus(scored, measured, protocol),
        total(scored),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Dorsiflexion, if it was measured at the visit of the score.
fn dorsiflexion(scored: &AssessmentSeen, measured: &Measured<'_>) -> Option<i16> {
    measured.dorsiflexion.filter(|&(_, on, _)| one_visit(on, scored.on)).map(|(deg, ..)| deg)
}

fn one_visit(one: Day, other: Day) -> bool {
    (one - other).abs() <= SAME_VISIT_DAYS
}

fn hindfoot(
    scored: &AssessmentSeen,
    measured: &Measured<'_>,
    end: EndPoint,
    protocol: &Protocol,
) -> Option<FoundContradiction> {
    let up = dorsiflexion(scored, measured).filter(|&deg| deg >= end.dorsiflexion_deg)?;
    let signs = Sign::ALL.split_at(3).1;
    let stiff = above(&scored.pirani, signs, protocol.disagree_hindfoot_from.0.saturating_sub(1));
    (stiff == Some(true)).then(|| {
        let what =
            ContradictionText::ScoreAndDorsiflexion { pirani: scored.pirani, on: scored.on, deg: up };
        let rule = format!(
            "A hindfoot score of {} or more contradicts dorsiflexion of {}° or more: the foot may bend in the midfoot (rocker-bottom), or one of the two findings is wrong.",
            protocol.disagree_hindfoot_from, end.dorsiflexion_deg
        );
        FoundContradiction::new(what, scored.entry, rule, ROCKER_BOTTOM)
    })
}

fn midfoot(
    scored: &AssessmentSeen,
    measured: &Measured<'_>,
    end: EndPoint,
    protocol: &Protocol,
) -> Option<FoundContradiction> {
    let limit = protocol.disagree_abduction_below_deg.min(end.abduction_deg / 2);
    let (out, on, _) = measured.abduction.filter(|&(deg, ..)| deg < limit)?;
    let read = one_visit(on, scored.on) && measured.abduction_is_measured;
    let free = above(&scored.pirani, Sign::ALL.split_at(3).0, 1) == Some(false);
    (read && free).then(|| {
        let what = ContradictionText::ScoreAndAbduction { pirani: scored.pirani, on: scored.on, deg: out };
        let rule = format!("A midfoot score of ½ or less contradicts abduction below {limit}°.");
        FoundContradiction::new(what, scored.entry, rule, source::COMMON)
    })
}

/// The sign describes how far the foot dorsiflexes: well past neutral (0), to neutral (½), short of it (1).
fn equinus(
    scored: &AssessmentSeen,
    measured: &Measured<'_>,
    protocol: &Protocol,
) -> Option<FoundContradiction> {
    let up = dorsiflexion(scored, measured)?;
    let sign = scored.pirani.sign(Sign::RigidEquinus)?;
    let error = protocol.measuring_error_deg;
    let against = match sign {
        HalfPoint::Zero => up < -error,
        // Feet scored ½ are measured far below neutral in published series: no conclusion is drawn for them.
        HalfPoint::Half => false,
        HalfPoint::One => up > error,
    };
    against.then(|| {
        let what = ContradictionText::EquinusAndDorsiflexion { sign, on: scored.on, deg: up };
        let rule = format!(
            "The sign and the angle contradict each other by more than the measuring error of {error}°."
        );
        let from = protocol.source("findings.measuring_error_deg");
        FoundContradiction::new(what, scored.entry, rule, from)
    })
}

fn total(scored: &AssessmentSeen) -> Option<FoundContradiction> {
    let (stated, sum) = (scored.stated_total?, scored.pirani.total()?);
    (stated != sum).then(|| {
        let what = ContradictionText::TotalAndSigns { stated, on: scored.on, sum };
        let rule = "The total and the signs disagree: one of them is wrong.";
        FoundContradiction::new(what, scored.entry, rule, source::COMMON)
    })
}
