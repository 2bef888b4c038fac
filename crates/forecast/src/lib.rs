//! What is likely for one foot.
//!
//! [`natural_history`] is a generative model of the course of a foot with priors from published cohorts; [`foot`] is
//! the forecast of one foot from its record; [`learning`] adapts it to the clinic by the clinic's own finished feet;
//! [`backtest`] measures how good past forecasts would have been; [`relapse`] is the chance of a relapse by the hours
//! of wear. It never decides what to do, never reads a clock, a file or the network, and never answers without its
//! uncertainty.
//!
//! Start reading at [`SeenChild::of`] and [`foot::Forecaster`].

mod as_known_on;
pub mod backtest;
mod bracing;
mod filter;
pub mod foot;
pub mod learning;
pub mod natural_history;
mod of_course;
mod past;
pub mod relapse;
mod seen;
mod whole_days;

pub use of_course::{LeftOut, Seen};
pub use seen::{SeenChild, SeenFoot, SeenVisit, SeenWear, SignsSeen, halves};
