//! The services in which a child needs places.

/// The three services in which a child needs places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Service {
    /// A cast put on or changed.
    Cast,
    /// A tenotomy.
    Theatre,
    /// A brace fitted or reviewed.
    Brace,
}

impl Service {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Cast, Self::Theatre, Self::Brace];

    /// Its number.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// "cast places".
    #[must_use]
    pub const fn places(self) -> &'static str {
        match self {
            Self::Cast => "cast places",
            Self::Theatre => "tenotomy places",
            Self::Brace => "brace places",
        }
    }

    /// A key for files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Cast => "cast",
            Self::Theatre => "tenotomy",
            Self::Brace => "brace",
        }
    }
}
