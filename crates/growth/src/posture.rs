//! How a foot is measured.

/// Age from which feet are measured standing.
pub const STANDING_FROM_MONTHS: f64 = 24.0;

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
        if months < STANDING_FROM_MONTHS { Self::Lying } else { Self::Standing }
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
