//! Growth of feet and shoulders: how long, by when, and when boots and bar will have been outgrown.
//!
//! **The prior** is published: [`published`] has the mean length of a foot by age and sex, lying to two
//! years and standing from then on (Snyder 1977), and the estimated width of the shoulders.
//!
//! **The model** is one of random effects that move slowly with age, a Gaussian process, on the deviation
//! from the published mean as a share of it. A mixed model with a line for each child was the other
//! candidate; it makes every child cross the others' centiles for ever, so that its intervals run apart
//! beyond the last measurement, while a slow process returns. With the child's own few measurements
//! either is one small linear system. The parts, all in [`effects`]: one effect of the child, shared by
//! both feet and the shoulders; one of each foot, an affected foot smaller and less certain; one of
//! the posture, for what a foot lengthens under load; one of how fast the child's feet grow; and error of
//! measuring.
//!
//! **How fast.** Published rates of growth differ by half at some ages ([`published::RATES`]). From the
//! first measurement on a foot is taken to grow by the middle of both ends, and a child to lie anywhere
//! between them, for good. Two measurements a quarter of a year apart say little about it, for the error of
//! measuring is as large as what children differ by in that time; they say more the further apart they are.
//!
//! **The step at 24 months** between the two published sets, 9.6 mm, is part posture and part which
//! children were measured. The sets are never joined: a forecast stays on the [`Posture`] in which the
//! child was last measured, so that nothing is outgrown by a birthday, and once a child was measured
//! standing what it measured lying is no longer read.
//!
//! **Prematurity.** Age is corrected to term up to two years and the correction fades by three.
//!
//! A length beyond belief ([`Growth::set_aside`]) is left out and named. Start reading at [`Growth::of`].

mod children;
mod condition;
mod curves;
pub mod effects;
mod outgrown;
mod posterior;
pub mod published;

pub use children::{Growing, GrowingFoot};
pub use curves::{Curves, FootCurve, Published};
pub use outgrown::{Outgrown, chance_beyond};
pub use posterior::{Growth, Length};

/// How a foot is measured: to two years lying or held, from then on standing (common practice, no
/// source).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Posture {
    /// Lying or held.
    Lying,
    /// Standing, weight on both feet.
    Standing,
}

impl Posture {
    /// The posture of a measurement at an age in months.
    #[must_use]
    pub fn at(months: f64) -> Self {
        if months < published::STANDING_FROM_MONTHS { Self::Lying } else { Self::Standing }
    }

    /// "lying", "standing".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Lying => "lying",
            Self::Standing => "standing",
        }
    }
}
