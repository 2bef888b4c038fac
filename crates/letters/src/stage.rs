//! The way of a child through treatment, in the few steps that a family is shown.

use course::{FootCourse, Phase};

/// A step on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FamilyStage {
    /// Before the first cast.
    FirstVisit,
    /// Casts, changed at each visit.
    Casts,
    /// The heel cord is to be cut.
    HeelCord,
    /// In the cast after that, or just out of it.
    LastCast,
    /// The brace, day and night.
    BraceDayAndNight,
    /// The brace at night and for naps.
    BraceAtNight,
    /// Visits without a brace.
    AfterBrace,
}

impl FamilyStage {
    /// Every step, in the order of the way.
    pub const ALL: [Self; 7] = [
        Self::FirstVisit,
        Self::Casts,
        Self::HeelCord,
        Self::LastCast,
        Self::BraceDayAndNight,
        Self::BraceAtNight,
        Self::AfterBrace,
    ];

    /// Where a foot is. `None` where the way does not say: after another operation, and after the end of care.
    #[must_use]
    pub fn of(foot: &FootCourse) -> Option<Self> {
        match foot.phase {
            Phase::Referred => Some(Self::FirstVisit),
            Phase::InCorrection => Some(Self::Casts),
            Phase::WaitingForTenotomy => Some(Self::HeelCord),
            Phase::TenotomyCast => Some(Self::LastCast),
            Phase::FullTimeBracing => Some(Self::BraceDayAndNight),
            Phase::NightTimeBracing => Some(Self::BraceAtNight),
            Phase::AfterBracing => Some(Self::AfterBrace),
            Phase::AfterSurgery
            | Phase::Discharged
            | Phase::Transferred
            | Phase::LostToFollowUp
            | Phase::Died => None,
        }
    }

    /// The message that names it.
    #[must_use]
    pub const fn message(self) -> &'static str {
        match self {
            Self::FirstVisit => "stage-first-visit",
            Self::Casts => "stage-casts",
            Self::HeelCord => "stage-heel-cord",
            Self::LastCast => "stage-last-cast",
            Self::BraceDayAndNight => "stage-brace-day-and-night",
            Self::BraceAtNight => "stage-brace-at-night",
            Self::AfterBrace => "stage-after-brace",
        }
    }

    /// Whether a cast is on the leg, or soon will be.
    #[must_use]
    pub const fn is_cast(self) -> bool {
        matches!(self, Self::FirstVisit | Self::Casts | Self::HeelCord | Self::LastCast)
    }

    /// Whether the brace is worn.
    #[must_use]
    pub const fn is_brace(self) -> bool {
        matches!(self, Self::BraceDayAndNight | Self::BraceAtNight)
    }
}
