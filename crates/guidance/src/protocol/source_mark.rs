//! How well the source of a value is known.

/// How well the source of a value of the protocol is known.
///
/// The parameters of the forecast have a basis of their own (`forecast::natural_history::ParameterBasis`): it says
/// whether a value was published, fitted or assumed, not who read the source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SourceMark {
    /// The source was read.
    Read,
    /// The source is quoted from memory.
    FromMemory,
    /// Common practice, without a source.
    NoSource,
}

impl SourceMark {
    /// Every mark.
    pub const ALL: [Self; 3] = [Self::Read, Self::FromMemory, Self::NoSource];

    /// The words of the mark in the protocol file.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::FromMemory => "from memory",
            Self::NoSource => "common practice, no source",
        }
    }

    /// The mark with these words.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|mark| mark.words() == words)
    }
}
