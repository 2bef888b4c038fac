//! The published rules that define when a foot is ready for tenotomy, and where they disagree.
//!
//! Three rules use the six signs, three use the angles. They do not agree: Lampasi found the score and the
//! angle rule to differ in 8 of 79 feet, and in one programme only 186 of 587 tenotomies met the rule of
//! Mengesha. So the clinic's own rule decides, and the answers of all the others are shown if they differ.
//!
//! An incomplete score gives an answer only if the missing signs could not change it.

use super::measured::Measured;
use crate::{ReadinessRule, Reason, source};
use record::{HalfPoint, Pirani, Sign};

/// The next treatment according to a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RuleAnswer {
    /// Cast once more: the forefoot is not corrected yet.
    Cast,
    /// Do the tenotomy.
    Tenotomy,
    /// No tenotomy is needed for the remaining deformity.
    NoTenotomy,
}

/// A published rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PublishedRule {
    /// A rule that uses the six signs.
    Score(ReadinessRule),
    /// Dorsiflexion under 5° (MacNeille).
    Under5,
    /// Dorsiflexion under 10–15° once abduction is full (Lampasi); between the two it gives no answer.
    Under10To15,
    /// Dorsiflexion under 15° (Scher).
    Under15,
}

impl PublishedRule {
    /// Every rule.
    pub const ALL: [Self; 6] = [
        Self::Score(ReadinessRule::TalarHeadZero),
        Self::Score(ReadinessRule::MidfootZero),
        Self::Score(ReadinessRule::MidfootUnderOneHeadCovered),
        Self::Under5,
        Self::Under10To15,
        Self::Under15,
    ];

    /// The author of the rule and its criteria, as it follows "The rule of".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Score(ReadinessRule::TalarHeadZero) => "Lampasi (hindfoot score above 1, head of talus 0)",
            Self::Score(ReadinessRule::MidfootZero) => "Mengesha (hindfoot score above 1, midfoot score 0)",
            Self::Score(ReadinessRule::MidfootUnderOneHeadCovered) => {
                "an Indian series (hindfoot score above 1, midfoot score below 1, head of talus covered)"
            }
            Self::Under5 => "MacNeille (dorsiflexion below 5°)",
            Self::Under10To15 => "Lampasi by angle (dorsiflexion below 10–15° once abduction is full)",
            Self::Under15 => "Scher (dorsiflexion below 15°)",
        }
    }

    /// The source.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::Score(ReadinessRule::TalarHeadZero) | Self::Under10To15 => source::LAMPASI,
            Self::Score(ReadinessRule::MidfootZero) => source::MENGESHA,
            Self::Score(ReadinessRule::MidfootUnderOneHeadCovered) => source::INDIAN,
            Self::Under5 => source::MACNEILLE,
            Self::Under15 => source::SCHER,
        }
    }

    /// The answer of the rule; `None` if a value it needs was not measured.
    pub(crate) fn answer(self, measured: &Measured<'_>, full_abduction_deg: i16) -> Option<RuleAnswer> {
        let limit = match self {
            Self::Score(rule) => return by_score(rule, measured.pirani()?),
            Self::Under5 => (5, 5),
            Self::Under10To15 => (10, 15),
            Self::Under15 => (15, 15),
        };
        let head_covered = measured.pirani().and_then(|pirani| zero(pirani, Sign::TalarHead));
        let full = measured.abduction_deg().map(|deg| deg >= full_abduction_deg);
        let forefoot = match (full, head_covered) {
            (Some(true), _) => true,
            (Some(false), _) if self == Self::Under10To15 => false,
            (_, Some(covered)) if self != Self::Under10To15 => covered,
            (Some(false), None) => false,
            _ => return None,
        };
        if !forefoot {
            return Some(RuleAnswer::Cast);
        }
        by_angle(measured.dorsiflexion_deg()?, limit)
    }
}

/// The answer by angle once the forefoot is corrected; none between the two limits.
const fn by_angle(dorsiflexion_deg: i16, (below, enough): (i16, i16)) -> Option<RuleAnswer> {
    if dorsiflexion_deg < below {
        Some(RuleAnswer::Tenotomy)
    } else if dorsiflexion_deg >= enough {
        Some(RuleAnswer::NoTenotomy)
    } else {
        None
    }
}

fn zero(pirani: &Pirani, sign: Sign) -> Option<bool> {
    pirani.sign(sign).map(|point| point == HalfPoint::Zero)
}

/// The lowest and the highest possible sum of these signs, in half points.
fn bounds(pirani: &Pirani, signs: &[Sign]) -> (u8, u8) {
    signs.iter().fold((0, 0), |(low, high), &sign| match pirani.sign(sign) {
        Some(point) => (low + point.halves().0, high + point.halves().0),
        None => (low, high + HalfPoint::One.halves().0),
    })
}

/// Whether the sum of these signs is above this many half points, if that is certain.
pub(crate) fn above(pirani: &Pirani, signs: &[Sign], halves: u8) -> Option<bool> {
    match bounds(pirani, signs) {
        (low, _) if low > halves => Some(true),
        (_, high) if high <= halves => Some(false),
        _ => None,
    }
}

/// Whether both are true, if that is certain: one `false` decides.
const fn both(a: Option<bool>, b: Option<bool>) -> Option<bool> {
    match (a, b) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

/// Whether the midfoot score is certainly 1 or more.
pub(crate) fn midfoot_one_or_more(pirani: &Pirani) -> Option<bool> {
    above(pirani, Sign::ALL.split_at(3).0, 1)
}

/// The answer of a rule that uses the six signs; `None` if the missing signs could change it.
///
/// "Above 1" is more than two half points, "below 1" fewer than two, "covered" is 0 for the head of
/// the talus.
#[must_use]
pub fn by_score(rule: ReadinessRule, pirani: &Pirani) -> Option<RuleAnswer> {
    let (midfoot, hindfoot) = Sign::ALL.split_at(3);
    let head = zero(pirani, Sign::TalarHead);
    let front = match rule {
        ReadinessRule::TalarHeadZero => head,
        ReadinessRule::MidfootZero => above(pirani, midfoot, 0).map(|more| !more),
        ReadinessRule::MidfootUnderOneHeadCovered => both(head, above(pirani, midfoot, 1).map(|more| !more)),
    };
    match (front, above(pirani, hindfoot, 2)) {
        (Some(false), _) => Some(RuleAnswer::Cast),
        (Some(true), Some(true)) => Some(RuleAnswer::Tenotomy),
        (Some(true), Some(false)) => Some(RuleAnswer::NoTenotomy),
        _ => None,
    }
}

/// Every published rule that would lead to another treatment than the suggested one, with its source.
pub(crate) fn otherwise(
    suggested: RuleAnswer,
    measured: &Measured<'_>,
    full_abduction_deg: i16,
) -> Vec<Reason> {
    let mut different = Vec::new();
    for rule in PublishedRule::ALL {
        let Some(says) = rule.answer(measured, full_abduction_deg) else { continue };
        let instead = match (suggested, says) {
            (RuleAnswer::Cast | RuleAnswer::NoTenotomy, RuleAnswer::Tenotomy) => "would do the tenotomy now",
            (RuleAnswer::Tenotomy, RuleAnswer::Cast) => "would cast once more",
            (RuleAnswer::Tenotomy, RuleAnswer::NoTenotomy) => "would not do a tenotomy",
            (RuleAnswer::NoTenotomy, RuleAnswer::Cast) => "would cast once more",
            _ => continue,
        };
        let (fact, entry) = match rule {
            PublishedRule::Score(_) => measured.score_fact(),
            _ => measured.movement_fact(),
        };
        different.push(Reason::new(
            fact,
            entry,
            format!("The rule of {} {instead}.", rule.words()),
            rule.source(),
        ));
    }
    different
}
