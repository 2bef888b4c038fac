//! The truth about a simulated child, whether known or not.

use crate::{SeenChild, SeenWear, SignsSeen};
use record::Side;

/// Casts of a relapse, and days between them: two or three, weekly (from memory).
pub(super) const RELAPSE_CASTS: i32 = 3;
/// Days from one cast of a relapse to the next, and from the last to the brace.
pub(super) const RELAPSE_INTERVAL_DAYS: i32 = 7;

/// A simulated child: the truth, to the age of seven, and what has been observed.
#[derive(Debug, Clone, PartialEq)]
pub struct SimulatedChild {
    /// The truth. It does not end at the as-of day or when the child leaves care.
    pub truth: ChildTruth,
    /// What has been observed by the as-of day.
    pub seen: SeenChild,
}

/// The truth about a child.
#[derive(Debug, Clone, PartialEq)]
pub struct ChildTruth {
    /// Its number, from 0.
    pub number: usize,
    /// Day of birth.
    pub born_day: i32,
    /// Day of the referral.
    pub referred_day: i32,
    /// Day of the first cast.
    pub first_cast_day: i32,
    /// A boy.
    pub boy: bool,
    /// Whole weeks of gestation at birth.
    pub gestation_weeks: u8,
    /// The family keeps to the brace.
    pub adherent: bool,
    /// The feet, right before left.
    pub feet: Vec<FootTruth>,
    /// Every visit in the first course of casts until the brace, including those only for holding casts.
    pub cast_visit_days: Vec<i32>,
    /// Day on which the brace is first fitted.
    pub brace_day: i32,
    /// First day of bracing that is not full time.
    pub full_time_end_day: i32,
    /// Reviews in the brace.
    pub reviews: Vec<i32>,
    /// Hours of wear, reported and logged, each written at the review on its last day.
    pub wear: Vec<SeenWear>,
    /// Day on which the family leaves care, if ever; nothing is observed from then on.
    pub leaves_day: Option<i32>,
    /// Day on which the clinic declares the child lost.
    pub declared_lost_day: Option<i32>,
}

/// The truth about a foot.
#[derive(Debug, Clone, PartialEq)]
pub struct FootTruth {
    /// Which.
    pub side: Side,
    /// Node of severity.
    pub severity: usize,
    /// Node of pace.
    pub pace: usize,
    /// A complex foot.
    pub complex: bool,
    /// Syndromic or neurogenic.
    pub other_cause: bool,
    /// Treated elsewhere before.
    pub treated_before: bool,
    /// Visits up to and with the decision.
    pub cast_visits: Vec<CastVisit>,
    /// Every cast of the first course, in order.
    pub casts: Vec<Cast>,
    /// Day of the decision.
    pub ready_day: i32,
    /// Day of the tenotomy, if there is one.
    pub tenotomy_day: Option<i32>,
    /// Day from which this foot could be braced if the other is ready.
    pub brace_ready_day: i32,
    /// True levels at the brace.
    pub at_brace: [u8; 6],
    /// The signs as written at the brace.
    pub at_brace_written: SignsSeen,
    /// Dorsiflexion at the brace, degrees.
    pub dorsiflexion_at_brace_deg: f64,
    /// Day on which the first relapse is noted, if before the age of seven.
    pub relapse_day: Option<i32>,
}

/// One visit with one foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CastVisit {
    /// The day.
    pub day: i32,
    /// True levels, in quarters, before that day's cast.
    pub levels: [u8; 6],
    /// The signs as the clinician judged them, on which the clinic acts.
    pub judged: SignsSeen,
    /// The signs as written: those judged, or fewer.
    pub written: SignsSeen,
    /// Dorsiflexion, degrees, if measured.
    pub dorsiflexion_deg: Option<f64>,
    /// Abduction, degrees, if measured.
    pub abduction_deg: Option<f64>,
    /// The cast worn until this visit slipped.
    pub slipped: bool,
    /// The slip was recorded.
    pub slip_written: bool,
}

/// The purpose of a cast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CastFor {
    /// To correct.
    Correction,
    /// To hold until the tenotomy, the brace or the other foot.
    Holding,
    /// After the tenotomy.
    Tenotomy,
}

/// A cast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cast {
    /// Day on which it was applied.
    pub day: i32,
    /// Its purpose.
    pub purpose: CastFor,
}

impl ChildTruth {
    /// Every day on which the family comes, in no order: visits, the brace, reviews, and each relapse
    /// with its casts and the brace again.
    pub fn visit_days(&self) -> impl Iterator<Item = i32> + '_ {
        let relapses = self.feet.iter().filter_map(|foot| foot.relapse_day);
        let treated =
            relapses.flat_map(|day| (0..=RELAPSE_CASTS).map(move |cast| day + RELAPSE_INTERVAL_DAYS * cast));
        self.cast_visit_days.iter().chain([&self.brace_day]).chain(&self.reviews).copied().chain(treated)
    }
}

impl FootTruth {
    /// Casts to correct the foot, without those that hold it or follow the tenotomy.
    #[must_use]
    pub fn correcting_casts(&self) -> usize {
        self.casts.iter().filter(|cast| cast.purpose == CastFor::Correction).count()
    }
}
