//! The forecast for one foot: what its record, as of a day, says of the casts, dates and tenotomy to come.
//!
//! # Inference, and why it is exact
//!
//! A foot has one of 55 classes (severity by pace), and given its class its six signs are six independent
//! chains of five levels ([`crate::natural_history`]). Everything wanted is then a finite sum: the filter
//! ([`crate::filter`]) is a product of short vectors for each class, the classes are weighed by Bayes' rule
//! (the same module), readiness is worked out backwards once per clinic for each pace and joint level of the
//! midfoot (`tables`), and days are convolutions of whole days ([`crate::whole_days`]). Particles or Markov chains
//! would give the same answers with noise, which a page recomputed on the next day would show as a change
//! that is none; a Laplace approximation has nothing to hold on to in counts and steps. The sums cost a
//! fraction of a millisecond.
//!
//! Three things are approximate, and each is held to a plain full enumeration by the tests:
//! a cast that slipped without anybody writing it down ([`crate::filter`]); the hindfoot at a decision to come,
//! which forgets that a slip to come would hold back the midfoot, too; and holding casts of a foot that
//! waits for the other, counted from the lengths of both waits as if these were independent.
//!
//! # Two feet of one child
//!
//! Their classes have a joint prior, so that news of one moves the other; their sittings are the same
//! days; the brace waits for both (`pair`).
//!
//! # What the clinic adds
//!
//! The habits come from [`crate::learning`]: published first, then more and more the clinic's own. The
//! intercept and slope of tenotomy and the shift of pace are integrated over; the 90 % interval of the
//! chance of a tenotomy is that of the clinic's habit. Where the signs do not tell how this clinic's feet
//! go on, its own counts take over ([`crate::learning`], the guard). Windows are recalibrated, and the chance
//! of a tenotomy is mixed with plain ones, by how earlier forecasts of the clinic did (`dated`;
//! [`crate::learning`], calibration and experts). Each thing forecast is recalibrated by itself, so that the
//! days of readiness, tenotomy and brace are not one joint distribution.
//!
//! # Limits
//!
//! - Feet unlike the published ones ([`UnlikeWhy`]) are forecast wider by assumed factors; nothing
//!   published says how much wider.
//! - Whoever leaves care is not forecast: dates are those of a child that keeps coming.
//! - A booked sitting or tenotomy is taken to be kept.
//! - Only the first measured dorsiflexion is used, because a foot keeps its own deviation.
//! - Nothing is forecast of a second course of casts after a relapse.
//! - Where each parameter comes from stands with it: [`crate::natural_history::Parameters`].

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
