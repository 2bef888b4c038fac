//! The next step of a foot or a child.

use crate::Reason;
use record::{DayRange, Side};
use std::borrow::Cow;

/// Whom a step is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Scope {
    /// One foot.
    Foot(Side),
    /// The child: brace, reviews, contact.
    Child,
}

/// What to do next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Action {
    /// See the child for the first time and begin casting.
    FirstVisit,
    /// Wait until the corrected age of term, then begin.
    WaitForTerm,
    /// Apply the next cast.
    NextCast,
    /// Change the cast and review the plan: progress has stalled.
    ReviewSlowProgress,
    /// See the child at once: a cast is on past its window or a visit was missed with a cast on.
    SeeUrgently,
    /// Book or do the heel-cord tenotomy.
    Tenotomy,
    /// Ready by the clinic's rule, but the tenotomy is already booked: keep it.
    KeepTenotomy,
    /// Take off the tenotomy cast and fit the brace the same day.
    CastOffAndBrace,
    /// Corrected without tenotomy: fit the brace.
    FitBrace,
    /// Corrected, held in a cast or splint until the other foot is ready for the brace.
    HoldForOtherFoot,
    /// Review in the brace, one of the early ones.
    EarlyBraceReview,
    /// Change from full time to nights and naps.
    ChangeToNightTime,
    /// Review in the brace, later years.
    BraceReview,
    /// Decide on the end of bracing.
    EndBracing,
    /// Review after bracing, until discharge.
    ReviewAfterBracing,
    /// A relapse: assess and begin casting again.
    TreatRelapse,
    /// Review after other surgery.
    ReviewAfterSurgery,
    /// Nothing is to be done: transferred, died, discharged.
    Nothing,
}

impl Action {
    /// Every action.
    pub const ALL: &[Self] = &[
        Self::FirstVisit,
        Self::WaitForTerm,
        Self::NextCast,
        Self::ReviewSlowProgress,
        Self::SeeUrgently,
        Self::Tenotomy,
        Self::KeepTenotomy,
        Self::CastOffAndBrace,
        Self::FitBrace,
        Self::HoldForOtherFoot,
        Self::EarlyBraceReview,
        Self::ChangeToNightTime,
        Self::BraceReview,
        Self::EndBracing,
        Self::ReviewAfterBracing,
        Self::TreatRelapse,
        Self::ReviewAfterSurgery,
        Self::Nothing,
    ];

    /// A key for files and filters.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::FirstVisit => "first-visit",
            Self::WaitForTerm => "wait-for-term",
            Self::NextCast => "next-cast",
            Self::ReviewSlowProgress => "review-slow-progress",
            Self::SeeUrgently => "see-urgently",
            Self::Tenotomy => "tenotomy",
            Self::KeepTenotomy => "keep-tenotomy",
            Self::CastOffAndBrace => "cast-off-and-brace",
            Self::FitBrace => "fit-brace",
            Self::HoldForOtherFoot => "hold-for-other-foot",
            Self::EarlyBraceReview => "early-brace-review",
            Self::ChangeToNightTime => "change-to-night-time",
            Self::BraceReview => "brace-review",
            Self::EndBracing => "end-bracing",
            Self::ReviewAfterBracing => "review-after-bracing",
            Self::TreatRelapse => "treat-relapse",
            Self::ReviewAfterSurgery => "review-after-surgery",
            Self::Nothing => "nothing",
        }
    }
}

/// The next step of a foot or of the child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextStep {
    /// Whom it is for.
    pub scope: Scope,
    /// What to do.
    pub action: Action,
    /// In words, with numbers where there are any: "Cast 5", "Brace review at 6 weeks".
    pub words: Cow<'static, str>,
    /// The days within which it is due, both ends included; `None` where nothing is due.
    pub window: Option<DayRange>,
    /// Why.
    pub because: Vec<Reason>,
    /// Where another published rule would answer differently.
    pub otherwise: Vec<Reason>,
    /// What to look out for.
    pub cautions: Vec<Cow<'static, str>>,
}
