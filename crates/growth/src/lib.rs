//! Growth of feet and shoulders: how long, by when, and when boots and bar will have been outgrown.
//!
//! [`Growth`] is the forecast of one child's lengths from published ones and its own, [`Outgrown`] the days by which
//! boots or bar are too small, with windows. It never decides what to order, never reads a clock, and never answers
//! without its uncertainty; a length beyond belief is left out and named.
//!
//! Start reading at [`Growth::of`]; `posterior.rs` opens with the model.

mod children;
mod condition;
mod curves;
pub mod effects;
mod outgrown;
mod posterior;
mod posture;
pub mod published;

pub use children::{Growing, GrowingFoot};
pub use curves::{Curves, FootCurve, PublishedCurve};
pub use outgrown::{Outgrown, chance_beyond};
pub use posterior::{Growth, Length};
pub use posture::Posture;
