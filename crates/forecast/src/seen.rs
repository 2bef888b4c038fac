//! What has been seen of a child's feet, as plain numbers.
//!
//! The natural history writes these, the forecast reads them; a [`course::Course`] is turned into one
//! by the forecast. Days are whole days counted from any one origin; ages are days since birth.

use record::{HalfPoint, Side, Sign};

/// The six signs as written at one sitting, in the order of [`Sign::ALL`]; a sign not looked at is
/// `None` and stays so.
pub type SignsSeen = [Option<HalfPoint>; 6];

/// One sitting with one foot during a first course of casts.
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
    /// Whether a cast went on at this sitting.
    pub cast: bool,
    /// Whether the cast worn until this sitting had slipped or come off early.
    pub slipped: bool,
}

/// How the first course of casts of a foot went on and ended, as far as is known.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenFoot {
    /// Which foot.
    pub side: Side,
    /// A clinician called it complex (atypical).
    pub complex: bool,
    /// Neither idiopathic nor unknown: syndromic or neurogenic.
    pub other_cause: bool,
    /// Treated before it came here, so its first score is not that of an untreated foot.
    pub treated_before: bool,
    /// Sittings of the first course of casts in order of day, up to the decision that the foot is
    /// ready; later ones (holding casts) have no part in the signs' course.
    pub visits: Vec<SeenVisit>,
    /// Casts put on so far in the first course of casts, all of them.
    pub casts: u16,
    /// Day on which casting for correction ended: the tenotomy was decided, or the brace without one.
    pub ready_day: Option<i32>,
    /// Whether the decision was for a tenotomy; `None` while there is none, or where it is not known.
    pub tenotomy_decided: Option<bool>,
    /// Day for which a tenotomy is booked that is not yet done.
    pub tenotomy_planned_day: Option<i32>,
    /// Day of the first tenotomy.
    pub tenotomy_day: Option<i32>,
    /// Day the brace first went on.
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
    /// Measured by a logger, not told by the family.
    pub logged: bool,
}

/// One child.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenChild {
    /// Day of birth, where known.
    pub born_day: Option<i32>,
    /// Whole weeks of gestation at birth, where known.
    pub gestation_weeks: Option<u8>,
    /// The affected feet, one or two.
    pub feet: Vec<SeenFoot>,
    /// Hours of wear, in order.
    pub wear: Vec<SeenWear>,
    /// Day of the next sitting, where one is booked.
    pub next_day: Option<i32>,
    /// The last day on which anything was seen.
    pub last_day: i32,
    /// Whether the child left care (lost, moved, died) and on which day.
    pub left_day: Option<i32>,
}

impl SeenFoot {
    /// A foot of which nothing is known yet.
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
    /// A child of whom nothing is known yet.
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

/// Sum in half points of the chosen signs, or `None` where one of them was not looked at.
#[must_use]
pub fn halves(signs: &SignsSeen, chosen: &[Sign]) -> Option<u8> {
    chosen.iter().map(|sign| signs[*sign as usize].map(|point| point.halves().0)).sum()
}
