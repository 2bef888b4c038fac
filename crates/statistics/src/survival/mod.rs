//! Time to an event that not everyone is seen to have.
//!
//! Start at [`Spells`], the data of every method, then [`KaplanMeier`] and [`Cox`].

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
    Competing, CumulativeIncidence, IncidencePoint, cumulative_incidence, cumulative_incidence_by_group,
};
pub use competing_clustered::cumulative_incidence_clustered;
pub use cox::{Concordance, Cox, CoxFit, HazardStep, PhTest, PredictedPoint, Ties, TimeScale};
pub use gray::{GrayTest, gray_test};
pub use interval::{Interval, Scale};
pub use kaplan_meier::{KaplanMeier, Point, Quantile, RestrictedMean};
pub use logrank::{GroupCount, LogRank, Weighting, logrank};
pub use nelson_aalen::{HazardPoint, HazardTies, nelson_aalen};
pub use spells::Spells;
