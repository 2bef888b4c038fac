//! The forecast for one foot.

mod answer;
mod casting;
mod chains;
mod dates;
mod forecaster;
mod kernel;
mod now;
mod outcomes;
mod pair;
mod path;
mod tables;
mod unlike;
mod weights;
pub mod windows;
mod words;

pub use answer::{
    Band, Basis, Chance, CountForecast, CountWindow, DateForecast, DayWindow, FootForecast, Input, PathPoint,
    Stage, Unlike, UnlikeWhy,
};
pub use forecaster::Forecaster;

pub(crate) use chains::Chains;
pub(crate) use kernel::Kernel;
pub(crate) use outcomes::{cells, hindfoot};
pub(crate) use unlike::ageing;
pub(crate) use weights::{ClassPrior, likelihood_under, posterior_of_one};

/// Sittings to come that are told apart; what would come later counts at the last.
pub(crate) const SITTINGS: usize = 32;
