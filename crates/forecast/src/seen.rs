//! What has been observed of a child's feet, as plain numbers.
//!
//! The simulation of the natural history writes these and the forecast reads them; [`SeenChild::of`] makes
//! one from a [`course::Course`]. Days are whole days from any fixed origin; ages are days since birth.

use record::{HalfPoint, Side, Sign};

/// The six signs as written at one visit, in the order of [`Sign::ALL`]; a sign that was not examined is `None`.
pub type SignsSeen = [Option<HalfPoint>; 6];

/// One foot at one visit (a visit for a cast) during the first course of casts.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SeenVisit {
    /// The day.
    pub day: i32,
    /// The six signs.
    pub signs: SignsSeen,
    /// Dorsiflexion with the knee straight, degrees; negative is equinus.
    pub dorsiflexion_deg: Option<f64>,
    /// Abduction reached, degrees.
    pub abduction_deg: Option<f64>,
    /// Whether a cast went on at this visit.
    pub cast: bool,
    /// Whether the cast worn until this visit had slipped or come off early.
    pub slipped: bool,
}

/// The first course of casts of a foot and its end, as far as known.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenFoot {
    /// Which foot.
    pub side: Side,
    /// A clinician recorded it as complex (atypical).
    pub complex: bool,
    /// Neither idiopathic nor unknown: syndromic or neurogenic.
    pub other_cause: bool,
    /// Treated elsewhere before, so its first score is not that of an untreated foot.
    pub treated_before: bool,
    /// Visits of the first course of casts in order of day, up to the decision that the foot is
    /// ready; later ones (holding casts) do not count for the course of the signs.
    pub visits: Vec<SeenVisit>,
    /// Number of all casts so far in the first course of casts.
    pub casts: u16,
    /// Day on which casting for correction ended: the decision for a tenotomy, or for the brace without one.
    pub ready_day: Option<i32>,
    /// Whether the decision was for a tenotomy; `None` before the decision or if it is unknown.
    pub tenotomy_decided: Option<bool>,
    /// Day for which a tenotomy is booked and not yet done.
    pub tenotomy_planned_day: Option<i32>,
    /// Day of the first tenotomy.
    pub tenotomy_day: Option<i32>,
    /// Day on which the brace was first fitted.
    pub brace_day: Option<i32>,
    /// First day of bracing that is not full time.
    pub full_time_end_day: Option<i32>,
    /// Day of the first relapse after the brace.
    pub relapse_day: Option<i32>,
}

/// Hours of wear over a span of bracing; reported and logged are never mixed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeenWear {
    /// First day.
    pub from_day: i32,
    /// Last day.
    pub to_day: i32,
    /// Mean hours a day.
    pub hours_per_day: f64,
    /// Measured by a logger, not reported by the family.
    pub logged: bool,
}

/// One child.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenChild {
    /// Day of birth, if known.
    pub born_day: Option<i32>,
    /// Whole weeks of gestation at birth, if known.
    pub gestation_weeks: Option<u8>,
    /// The affected feet, one or two.
    pub feet: Vec<SeenFoot>,
    /// Hours of wear, in order.
    pub wear: Vec<SeenWear>,
    /// Day of the next visit, if one is booked.
    pub next_day: Option<i32>,
    /// The last day on which the child was seen.
    pub last_day: i32,
    /// Day on which the child left care (lost, moved, died), if it did.
    pub left_day: Option<i32>,
}

impl SeenFoot {
    /// A foot without any observation.
    #[must_use]
    pub const fn unseen(side: Side) -> Self {
        Self {
            side,
            complex: false,
            other_cause: false,
            treated_before: false,
            visits: Vec::new(),
            casts: 0,
            ready_day: None,
            tenotomy_decided: None,
            tenotomy_planned_day: None,
            tenotomy_day: None,
            brace_day: None,
            full_time_end_day: None,
            relapse_day: None,
        }
    }
}

impl SeenChild {
    /// A child without any observation.
    #[must_use]
    pub const fn unseen() -> Self {
        Self {
            born_day: None,
            gestation_weeks: None,
            feet: Vec::new(),
            wear: Vec::new(),
            next_day: None,
            last_day: 0,
            left_day: None,
        }
    }
}

/// Sum in half points of the chosen signs, or `None` if one of them was not examined.
#[must_use]
pub fn halves(signs: &SignsSeen, chosen: &[Sign]) -> Option<u8> {
    chosen.iter().map(|sign| signs[*sign as usize].map(|point| point.halves().0)).sum()
}
