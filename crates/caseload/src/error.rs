//! What can be wrong with a setting.

/// A setting that cannot be used, worded for whoever wrote it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SettingError {
    /// Not TOML, or a word this program does not know.
    #[error("line {line}: {reason}")]
    Toml {
        /// From 1.
        line: usize,
        /// Why.
        reason: String,
    },
    /// A value that cannot be.
    #[error("{0}")]
    Value(String),
    /// Longer than any such file.
    #[error("the file is too long: at most {0} bytes are read")]
    TooLong(usize),
    /// Nothing says how many children come.
    #[error("nothing says how many children come: give referrals.per_year, or referrals.births_per_year")]
    NoReferrals,
}
