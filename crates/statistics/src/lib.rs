//! Statistics on plain numbers: survival, agreement, regression, control charts, hidden Markov models.
//!
//! Inputs are slices of numbers. Outputs are structs with the estimate, its variance and its interval.
//! Every formula names its source. The crate knows nothing about the subject of the numbers, never
//! replaces a missing value and never prints. A result that cannot be computed is a [`StatError`] with a
//! reason, not a number.
//!
//! With the feature `serde` the results that are plain numbers implement `Serialize`, with the names of their
//! fields as keys.
//!
//! Start at [`survival`], [`regression`], [`agreement`], [`control`] or [`hidden_markov`].

#![warn(missing_docs, clippy::too_many_lines)]

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
pub use estimate::{ChiSquaredTest, Coefficient};
pub use matrix::Matrix;

/// The examples of the README.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
pub struct ReadmeExamples;
