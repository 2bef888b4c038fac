//! What a drop-out is: the stage, the gap, and which of the two definitions it is by.

use course::LossStage;
use record::Day;
use serde::Serialize;

/// The stage of care in which a child stopped coming.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CareStage {
    /// In casts.
    Casting,
    /// Waiting for a tenotomy, or in its cast.
    Tenotomy,
    /// In the brace.
    Bracing,
    /// After bracing that stopped early, or after other surgery.
    After,
}

impl From<LossStage> for CareStage {
    fn from(stage: LossStage) -> Self {
        match stage {
            LossStage::Casting => Self::Casting,
            LossStage::Tenotomy => Self::Tenotomy,
            LossStage::Bracing => Self::Bracing,
        }
    }
}

/// A gap that a definition calls a drop-out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// By the planned interval, the day midway between the last visit and the day the next was due; by the
    /// published definition, the first day on which the definition is met.
    pub on: Day,
    /// The stage of care.
    pub stage: CareStage,
    /// Whether the child was seen again.
    pub came_back: bool,
}

/// What counts as drop-out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LossDefinition {
    /// The first planned visit to which the child did not come, if it was not seen again.
    ByPlannedInterval,
    /// The first gap of 3 weeks in casts, 4 weeks around a tenotomy or 6 months in the brace.
    AsPublished,
}

impl LossDefinition {
    /// Both.
    pub const ALL: [Self; 2] = [Self::ByPlannedInterval, Self::AsPublished];

    /// A stable key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::ByPlannedInterval => "by-planned-interval",
            Self::AsPublished => "as-published",
        }
    }

    /// In words, after "drop-out".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ByPlannedInterval => "by the planned interval",
            Self::AsPublished => "by the published definition",
        }
    }
}
