//! Regression of binary outcomes, ordered levels and counts.
//!
//! Start at [`Covariates`]; then [`logistic`], [`ordinal`] or [`negative_binomial`].
//!
//! Robust variances are the plain sandwich V (Σ g g') V with g the scores summed within each cluster
//! (CR0; HC0 where every row is its own cluster), without any factor for few clusters (Huber 1967;
//! White 1982; Liang and Zeger 1986). V is the inverse of the information named at each model.

mod covariates;
mod logistic;
mod negative_binomial;
mod ordinal;

pub use covariates::{Covariates, RegressionFit};
pub use logistic::logistic;
pub use negative_binomial::{NegativeBinomialFit, negative_binomial};
pub use ordinal::{OrdinalFit, ordinal};
