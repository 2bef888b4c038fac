//! Errors of a setting.

/// A setting that cannot be used, worded for its author.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SettingError {
    /// Not TOML, or an unknown key.
    #[error("line {line}: {reason}")]
    Toml {
        /// The line, from 1.
        line: usize,
        /// The reason.
        reason: String,
    },
    /// An impossible value.
    #[error("{0}")]
    Value(String),
    /// The file is too long.
    #[error("the file is too long: at most {0} bytes are read")]
    TooLong(usize),
    /// The number of new children is missing.
    #[error("the number of new children is missing: give referrals.per_year or referrals.births_per_year")]
    NoReferrals,
}
