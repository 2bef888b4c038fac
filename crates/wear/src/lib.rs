//! Wear of the brace: hours worn from the temperature in the boot, and hours against those prescribed.
//!
//! [`WearReading`] reads a logger: worn, not worn, undecided with a reason, or missing. [`adherence`] compares the
//! recorded hours, from a logger or from the family, with those prescribed. It never decides what to do, never
//! reads a clock or a file, never guesses an hour that it cannot judge, and cannot tell whose foot was in the boot.
//!
//! Start reading at [`WearReading::of`] and [`adherence::Adherence::of`].

pub mod adherence;
mod days;
mod decay;
mod doubt;
mod foot;
mod levels;
mod model;
mod onset;
mod pair;
mod passes;
mod physics;
mod priors;
mod reading;
pub mod simulated;
mod spells;
mod split;
mod steps;
mod temperatures;
mod way;
mod weather;
mod words;

pub use days::{WornDay, hours_above};
pub use doubt::Doubt;
pub use model::WearModel;
pub use priors::Priors;
pub use reading::WearReading;
pub use temperatures::{DaySpan, Temperatures};
pub use words::WearNote;
