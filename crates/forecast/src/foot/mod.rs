//! The forecast for one foot from its record as of a day: casts, dates and tenotomy to come.
//!
//! # Inference, and why it is exact
//!
//! A foot has one of 55 classes (severity by pace), and given its class its six signs are six independent
//! chains of five levels ([`crate::natural_history`]). Every result is then a finite sum: the filter
//! (`filter`) is a product of short vectors for each class, the classes are weighed by Bayes' rule
//! (the same module), readiness is computed backwards once per clinic for each pace and joint level of the
//! midfoot (`tables`), and dates are convolutions of whole days (`whole_days`). Particles or Markov chains
//! would give the same answers with noise, which would look like a change on a page computed again on the
//! next day; a Laplace approximation does not suit counts and steps. The sums take a fraction of a
//! millisecond.
//!
//! Three things are approximate, and the tests compare each with a plain full enumeration: a slipped cast
//! that nobody recorded (`filter`); the hindfoot at a decision to come, which ignores that a slip to come
//! would delay the midfoot too; and holding casts of a foot that waits for the other, counted from the
//! lengths of both waits as if these were independent.
//!
//! # Two feet of one child
//!
//! Their classes have a joint prior, so that an observation of one changes the other; their visits are on
//! the same days; the brace waits for both (`pair`).
//!
//! # What the clinic adds
//!
//! The habits come from [`crate::learning`]: published values first, then increasingly the clinic's own. The
//! intercept and slope of tenotomy and the shift of pace are integrated over; the 90 % interval of the
//! chance of a tenotomy is that of the clinic's habit. If the signs do not predict how this clinic's feet
//! continue, its own counts are used instead ([`crate::learning`], `guard`). Windows are recalibrated, and the
//! chance of a tenotomy is mixed with plain ones, by the results of earlier forecasts of the clinic (`dated`;
//! [`crate::learning`], `calibration` and `experts`). Each target is recalibrated by itself, so the days of
//! readiness, tenotomy and brace are not one joint distribution.
//!
//! # Limits
//!
//! - The forecasts of feet unlike the published ones ([`UnlikeWhy`]) are wider by assumed factors; no
//!   publication states how much wider they should be.
//! - Leaving care is not forecast: dates are those of a child that continues to come.
//! - A booked visit or tenotomy is assumed to take place.
//! - Only the first measured dorsiflexion is used, because the deviation of a foot is constant.
//! - A second course of casts after a relapse is not forecast.
//! - The source of each parameter: [`crate::natural_history::Parameters::notes`].

mod answer;
mod casting;
mod child;
mod dated;
mod forecaster;
mod now;
mod outcomes;
mod pair;
mod path;
mod tables;
mod unlike;
pub mod windows;
mod words;

pub use answer::{
    Band, Basis, Chance, CountForecast, CountWindow, DateForecast, DayWindow, FootForecast, HeldHere, Input,
    PathPoint, PlacesToCome, Stage, Unlike, UnlikeWhy,
};
pub use forecaster::Forecaster;
