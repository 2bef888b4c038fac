//! The passphrase of encrypted records: judged by the rules for passwords. It may be shorter, because each try costs
//! 64 MiB and a second or so.

use super::password::{LONGEST, PasswordError, judge_from};

/// Shortest passphrase, in characters.
pub const SHORTEST: usize = 12;
/// What is required, for the form.
pub const PASSPHRASE_HINT: &str = "At least 12 characters; four words that have nothing to do with each other are best. It is not the password of a person: whoever starts the program needs it.";

/// Why a new passphrase is not accepted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PassphraseError {
    /// Too short.
    #[error(
        "The passphrase needs at least {SHORTEST} characters. Four words that have nothing to do with each other are best."
    )]
    Short,
    /// Too long.
    #[error("The passphrase may have at most {LONGEST} characters.")]
    Long,
    /// It is tried first by who guesses.
    #[error(
        "This passphrase is easy to guess: it consists of common passwords, of one thing repeated, or of the names of the clinic or the program. Choose words that have nothing to do with each other."
    )]
    Expected,
    /// The two do not agree.
    #[error("The two passphrases are not the same.")]
    Differ,
}

/// Checks a new passphrase typed twice. `own` has the names of the clinic and the program.
///
/// # Errors
/// When it is too short or long, is expected, or the two differ.
pub fn judge_passphrase(own: &[&str], first: &str, second: &str) -> Result<(), PassphraseError> {
    judge_from(SHORTEST, own, first, second).map_err(|error| match error {
        PasswordError::Short => PassphraseError::Short,
        PasswordError::Long => PassphraseError::Long,
        PasswordError::Differ => PassphraseError::Differ,
        PasswordError::Expected | PasswordError::Failed => PassphraseError::Expected,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_passphrase_may_be_shorter_than_a_password_and_no_easier() {
        let both = |text: &str| judge_passphrase(&["Hillside clinic"], text, text);
        assert_eq!(both("heron quay 4"), Ok(()));
        assert_eq!(both("heron quay "), Err(PassphraseError::Short));
        assert_eq!(both("hillside clinic"), Err(PassphraseError::Expected));
        assert_eq!(both(&"abcdefgh ".repeat(40)), Err(PassphraseError::Long));
        assert_eq!(judge_passphrase(&[], "heron quay 4", "heron quay 5"), Err(PassphraseError::Differ));
    }
}
