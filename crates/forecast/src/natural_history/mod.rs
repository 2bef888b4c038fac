//! The generative model of the course of a foot.
//!
//! A foot has a class: how severe it begins and how fast it yields ([`classes`]). Given its class its
//! six signs move independently from cast to cast, each down a ladder of quarter points, and are seen
//! with a rater's error ([`signs`]). At every sitting the clinic goes on from casting, or not, by the
//! midfoot score as written; then the tendon is cut, or not, by the hindfoot as written and the habit
//! of the clinic; then cast, brace, wear, relapse and leaving care follow with hazards.
//!
//! What describes feet is in [`Parameters`], what describes a clinic in [`ClinicHabits`]; each value
//! names its source or says "assumed".

pub mod classes;
mod parameters;
pub mod signs;

pub use parameters::{ClinicHabits, Parameters, normal_below};
