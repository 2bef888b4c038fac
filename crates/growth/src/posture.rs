//! How a foot is measured.

use super::published;

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
