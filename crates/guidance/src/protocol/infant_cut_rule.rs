//! What the clinic has settled about the cut of ceilings in young infants.

/// Whether the ceilings of amides are cut under 6 months. One source cuts them by 30 %; another gives the same
/// ceiling from birth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InfantCutRule {
    /// Not settled: both are shown, and the lower one is the one to go by.
    NotSettled,
    /// The clinic cuts.
    Cut,
    /// The clinic does not cut.
    NoCut,
}

impl InfantCutRule {
    /// Every rule, the built-in one first.
    pub const ALL: [Self; 3] = [Self::NotSettled, Self::Cut, Self::NoCut];

    /// The name in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::NotSettled => "not-settled",
            Self::Cut => "cut",
            Self::NoCut => "no-cut",
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
            Self::NotSettled => "not settled: both are shown, the lower one counts",
            Self::Cut => "cut by 30 %",
            Self::NoCut => "not cut",
        }
    }
}
