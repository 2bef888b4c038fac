//! The published rules that define, by score, when a foot is ready for tenotomy.

/// The published rule that defines when a foot is ready for tenotomy. The rules disagree for some feet; all
/// require a hindfoot score above 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReadinessRule {
    /// Hindfoot score above 1, midfoot score below 1, head of talus covered.
    MidfootUnderOneHeadCovered,
    /// Hindfoot score above 1 and midfoot score 0.
    MidfootZero,
    /// Hindfoot score above 1 and lateral head of talus 0.
    TalarHeadZero,
}

impl ReadinessRule {
    /// Every rule, the default first.
    pub const ALL: [Self; 3] = [Self::MidfootUnderOneHeadCovered, Self::MidfootZero, Self::TalarHeadZero];

    /// The name in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::MidfootUnderOneHeadCovered => "midfoot-under-one-head-covered",
            Self::MidfootZero => "midfoot-zero",
            Self::TalarHeadZero => "talar-head-zero",
        }
    }

    /// From the name in the file.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|rule| rule.key() == key)
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MidfootUnderOneHeadCovered => {
                "hindfoot score above 1, midfoot score below 1, head of talus covered"
            }
            Self::MidfootZero => "hindfoot score above 1, midfoot score 0",
            Self::TalarHeadZero => "hindfoot score above 1, lateral head of talus 0",
        }
    }

    /// The publication.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::MidfootUnderOneHeadCovered => {
                "Indian series quoted in a dictionary entry (head of talus); tenotomy once the head is covered: IJERPH 2023;20:6846"
            }
            Self::MidfootZero => "Mengesha, Ayana, Belay, Zewde et al, Ethiop Med J",
            Self::TalarHeadZero => "Lampasi 2017, J Orthop Surg 25(2), 10.1177/2309499017713916",
        }
    }
}
