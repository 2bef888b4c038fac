//! The published rules that say when a foot is ready for tenotomy, and where they disagree.
//!
//! Three rules read the six signs, three read the angles. They do not agree: Lampasi found the score
//! and the angle rule apart in 8 of 79 feet, and in one programme only 186 of 587 tenotomies met the
//! rule of Mengesha. So the clinic's own rule decides, and every other one is asked as well.
//!
//! A half-entered score answers only where the signs that are missing could not change the answer.

use super::{measured::Measured, source};
use crate::{ReadinessRule, Reason};
use record::{HalfPoint, Pirani, Sign};

/// What a rule would do next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Says {
    /// Cast once more: the foot in front of the ankle is not corrected yet.
    Cast,
    /// Do the tenotomy.
    Tenotomy,
    /// No tenotomy is needed for what is left.
    NoTenotomy,
}

/// A published rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// One that reads the six signs.
    Score(ReadinessRule),
    /// Dorsiflexion under 5° (MacNeille).
    Under5,
    /// Dorsiflexion under 10–15° once abduction is full (Lampasi); between the two it says nothing.
    Under10To15,
    /// Dorsiflexion under 15° (Scher).
    Under15,
}

impl Rule {
    /// Every rule.
    pub const ALL: [Self; 6] = [
        Self::Score(ReadinessRule::TalarHeadZero),
        Self::Score(ReadinessRule::MidfootZero),
        Self::Score(ReadinessRule::MidfootUnderOneHeadCovered),
        Self::Under5,
        Self::Under10To15,
        Self::Under15,
    ];

    /// Whose rule it is and what it asks, as it follows "The rule of".
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

    /// Where it was read.
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

    /// What the rule would do; `None` where something it needs was not measured.
    pub(crate) fn asked(self, measured: &Measured<'_>, full_abduction_deg: i16) -> Option<Says> {
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
            return Some(Says::Cast);
        }
        by_angle(measured.dorsiflexion_deg()?, limit)
    }
}

/// What the angle says once the front of the foot is corrected; nothing between the two limits.
const fn by_angle(dorsiflexion_deg: i16, (below, enough): (i16, i16)) -> Option<Says> {
    if dorsiflexion_deg < below {
        Some(Says::Tenotomy)
    } else if dorsiflexion_deg >= enough {
        Some(Says::NoTenotomy)
    } else {
        None
    }
}

fn zero(pirani: &Pirani, sign: Sign) -> Option<bool> {
    pirani.sign(sign).map(|point| point == HalfPoint::Zero)
}

/// The least and the most half points that these signs can add up to.
fn bounds(pirani: &Pirani, signs: &[Sign]) -> (u8, u8) {
    signs.iter().fold((0, 0), |(low, high), &sign| match pirani.sign(sign) {
        Some(point) => (low + point.halves().0, high + point.halves().0),
        None => (low, high + HalfPoint::One.halves().0),
    })
}

/// Whether the sum of these signs is above so many half points, where that is certain.
pub(crate) fn above(pirani: &Pirani, signs: &[Sign], halves: u8) -> Option<bool> {
    match bounds(pirani, signs) {
        (low, _) if low > halves => Some(true),
        (_, high) if high <= halves => Some(false),
        _ => None,
    }
}

/// Both, where that is certain: one `false` settles it.
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

/// What a rule that reads the six signs would do; `None` where the signs missing could change it.
///
/// "Above 1" is more than two half points, "below 1" fewer than two, "covered" is 0 for the head of
/// the talus.
#[must_use]
pub fn by_score(rule: ReadinessRule, pirani: &Pirani) -> Option<Says> {
    let (midfoot, hindfoot) = Sign::ALL.split_at(3);
    let head = zero(pirani, Sign::TalarHead);
    let front = match rule {
        ReadinessRule::TalarHeadZero => head,
        ReadinessRule::MidfootZero => above(pirani, midfoot, 0).map(|more| !more),
        ReadinessRule::MidfootUnderOneHeadCovered => both(head, above(pirani, midfoot, 1).map(|more| !more)),
    };
    match (front, above(pirani, hindfoot, 2)) {
        (Some(false), _) => Some(Says::Cast),
        (Some(true), Some(true)) => Some(Says::Tenotomy),
        (Some(true), Some(false)) => Some(Says::NoTenotomy),
        _ => None,
    }
}

/// Every published rule that would do otherwise than what is suggested, with its source.
pub(crate) fn otherwise(suggested: Says, measured: &Measured<'_>, full_abduction_deg: i16) -> Vec<Reason> {
    let mut apart = Vec::new();
    for rule in Rule::ALL {
        let Some(says) = rule.asked(measured, full_abduction_deg) else { continue };
        let instead = match (suggested, says) {
            (Says::Cast | Says::NoTenotomy, Says::Tenotomy) => "would do the tenotomy now",
            (Says::Tenotomy, Says::Cast) => "would cast once more",
            (Says::Tenotomy, Says::NoTenotomy) => "would not do a tenotomy",
            (Says::NoTenotomy, Says::Cast) => "would cast once more",
            _ => continue,
        };
        let (fact, entry) = match rule {
            Rule::Score(_) => measured.score_fact(),
            _ => measured.movement_fact(),
        };
        apart.push(Reason::new(
            fact,
            entry,
            format!("The rule of {} {instead}.", rule.words()),
            rule.source(),
        ));
    }
    apart
}
