//! Statistics on plain numbers: survival, agreement, regression, control charts, hidden Markov models.
//!
//! Inputs are slices of numbers, outputs are documented results with their method, variance and
//! interval. Every formula names its source beside it. This room never knows what a foot is, never
//! guesses a missing value, and never prints. What cannot be computed is a [`StatError`] in words, not
//! a number that is none.
//!
//! Start reading at [`survival`].

pub mod agreement;
pub mod control;
mod error;
mod estimate;
pub mod hidden_markov;
mod matrix;
mod newton;
pub mod regression;
pub mod special;
pub mod survival;

pub use error::StatError;
pub use estimate::{Coefficient, Test};
pub use matrix::Matrix;
