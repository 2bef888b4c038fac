//! The chance of a relapse of a foot within a year, by the hours of wear.
//!
//! It is shown next to the chances of a family that keeps to the brace and of one that does not, by the published
//! figures. It is a graded risk without a pass mark, because nearly half of well-corrected children wore their brace
//! for less than eight hours a day at 18 months (Richards and others, J Pediatr Orthop: 1 in 3 under 6 hours).

use crate::bracing::Family;
use crate::natural_history::Parameters;
use crate::{SeenChild, SeenFoot};
use record::Day;

/// Chance that one foot relapses within 365 days in the brace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RelapseByWear {
    /// The chance as known now.
    pub now: f64,
    /// The chance for a family known to keep to the brace.
    pub keeping: f64,
    /// The chance for a family known not to keep to it.
    pub not_keeping: f64,
    /// Chance that the family keeps to the brace, from the hours and the course.
    pub keeps: f64,
}

/// A chance of relapse compared with that of a family that keeps to the brace.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WearGrade {
    /// Less than one and a half times as high.
    Usual,
    /// Less than three times as high.
    Raised,
    /// Three times as high or more.
    High,
}

impl RelapseByWear {
    /// The chance for one foot of a child now in the brace, by the published hazards (by a clinic's own:
    /// [`crate::foot::Forecaster::relapse_by_wear`]); `None` if the day of birth is unknown or no foot is in the brace
    /// on that day.
    #[must_use]
    pub fn of(child: &SeenChild, as_of: Day) -> Option<Self> {
        let published = Parameters::published();
        Self::by(&published, (published.adherent, 1.0), child, as_of)
    }

    /// By a clinic's own share of families that keep to the brace, and its factor on the hazard.
    pub(crate) fn by(
        parameters: &Parameters,
        (prior, factor): (f64, f64),
        child: &SeenChild,
        as_of: Day,
    ) -> Option<Self> {
        let today = as_of.number();
        let born = child.born_day?;
        child.feet.iter().find(|foot| in_brace(foot, today))?;
        let family = Family::of(parameters, child, prior, factor, today);
        let chance = |adherent| {
            let family = Family { adherent, ..family };
            family.relapse(parameters, today - born, today - born + 365, factor)
        };
        Some(Self {
            now: chance(family.adherent),
            keeping: chance(1.0),
            not_keeping: chance(0.0),
            keeps: family.adherent,
        })
    }

    /// Its grade.
    #[must_use]
    pub fn grade(&self) -> WearGrade {
        match self.now / self.keeping.max(1e-9) {
            ratio if ratio < 1.5 => WearGrade::Usual,
            ratio if ratio < 3.0 => WearGrade::Raised,
            _ => WearGrade::High,
        }
    }
}

/// Whether a foot is in the brace on a day, before any relapse.
fn in_brace(foot: &SeenFoot, today: i32) -> bool {
    foot.brace_day.is_some_and(|day| day <= today) && foot.relapse_day.is_none_or(|day| day > today)
}

impl WearGrade {
    /// The words for a sentence, such as "raised".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Usual => "near that of families who keep to the brace",
            Self::Raised => "raised",
            Self::High => "high",
        }
    }
}
