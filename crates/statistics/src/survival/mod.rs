//! Survival analysis: the time to an event that is not observed in every row.
//!
//! Start at [`Spells`], the data of most methods, then [`KaplanMeier`] and [`Cox`]; at [`CompetingRisks`]
//! if there are several kinds of event.

mod clustered;
mod competing;
mod competing_clustered;
mod cox;
mod gray;
mod interval;
mod kaplan_meier;
mod logrank;
mod nelson_aalen;
mod spells;
mod timeline;

pub use competing::{
    CompetingRisks, CumulativeIncidence, IncidencePoint, cumulative_incidence, cumulative_incidence_by_group,
};
pub use competing_clustered::cumulative_incidence_clustered;
pub use cox::{
    Concordance, Cox, CoxFit, HazardStep, PredictedPoint, ProportionalHazardsTest, Ties, TimeScale,
};
pub use gray::{GrayTest, gray_test};
pub use interval::{Interval, IntervalScale};
pub use kaplan_meier::{KaplanMeier, Quantile, RestrictedMean, SurvivalPoint};
pub use logrank::{GroupCount, LogRank, Weighting, logrank};
pub use nelson_aalen::{HazardPoint, HazardTies, nelson_aalen};
pub use spells::Spells;
