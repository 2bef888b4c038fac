//! Loss to follow-up as a published series defines it, and the stage of treatment that its rule goes by.
//!
//! No visit within 3 weeks in casts, 4 weeks around a tenotomy, 6 months in the brace (a cohort of 965
//! children, J Foot Ankle Surg 2021, S1067-2516(21)00458-0).

use crate::Phase;

/// The stage of treatment of a foot, where loss to follow-up is defined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LossStage {
    /// Casts.
    Casting,
    /// Waiting for the tenotomy, and the cast after it.
    Tenotomy,
    /// The brace, full time or at night.
    Bracing,
}

impl LossStage {
    /// The stage of a phase; `None` before the first cast, after bracing, after other surgery and at the end
    /// of care, for which nothing is published.
    #[must_use]
    pub const fn of(phase: Phase) -> Option<Self> {
        match phase {
            Phase::InCorrection => Some(Self::Casting),
            Phase::WaitingForTenotomy | Phase::TenotomyCast => Some(Self::Tenotomy),
            Phase::FullTimeBracing | Phase::NightTimeBracing => Some(Self::Bracing),
            _ => None,
        }
    }

    /// Days without a visit that are still no loss by the published definition. Six months are taken as 183
    /// days.
    #[must_use]
    pub const fn published_days(self) -> i32 {
        match self {
            Self::Casting => 21,
            Self::Tenotomy => 28,
            Self::Bracing => 183,
        }
    }
}
