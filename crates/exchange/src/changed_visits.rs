//! What a person decides about rows that give other values than the record.

use serde::Serialize;

/// What to do with rows that give other values than the record.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ChangedVisits {
    /// Ask, and write nothing of them.
    #[default]
    Ask,
    /// Correct what is on record. Values that the file does not hold stay.
    Correct,
    /// Add them as a second measurement of the same day.
    Second,
    /// Leave the record as it is.
    Leave,
}

impl ChangedVisits {
    /// Every answer but [`ChangedVisits::Ask`].
    pub const ANSWERS: [Self; 3] = [Self::Correct, Self::Second, Self::Leave];

    /// The key in a map file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Ask => "ask",
            Self::Correct => "correct",
            Self::Second => "second",
            Self::Leave => "leave",
        }
    }

    /// In words, for a person who chooses.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ask => "ask",
            Self::Correct => "The file is right: correct the record",
            Self::Second => "Both are right: add a second one on the same day",
            Self::Leave => "The record is right: leave it as it is",
        }
    }

    /// The answer of a key; `None` for another text.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ANSWERS.into_iter().find(|answer| answer.key() == key)
    }
}
