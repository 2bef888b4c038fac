//! Passwords: Argon2id with 19 MiB, two passes, one lane (the defaults of the library, which are the first
//! choice of the OWASP password storage advice, from memory). It is slow on purpose: do not call it on the
//! threads that answer requests.

use argon2::{
    Argon2,
    password_hash::{PasswordHasher, PasswordVerifier, phc::PasswordHash},
};

/// Shortest password, in characters.
pub const SHORTEST: usize = 12;
/// Longest password, in characters: longer texts only cost time.
pub const LONGEST: usize = 256;

/// Why a new password is not accepted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PasswordError {
    /// Too short.
    #[error(
        "The password needs at least {SHORTEST} characters. Three or four words in a row are easy to remember."
    )]
    Short,
    /// Too long.
    #[error("The password may have at most {LONGEST} characters.")]
    Long,
    /// The same as the name.
    #[error("The password must not be the sign-in name.")]
    IsName,
    /// One character repeated.
    #[error("The password repeats one character. Choose another.")]
    OneCharacter,
    /// The two do not agree.
    #[error("The two passwords are not the same.")]
    Differ,
    /// The system failed.
    #[error("The password could not be stored. Try again.")]
    Failed,
}

/// Checks a new password typed twice.
///
/// # Errors
/// When it is too short or long, is the name itself, or the two differ.
pub fn judge(name: &str, first: &str, second: &str) -> Result<(), PasswordError> {
    let chars = first.chars().count();
    let mut distinct = first.chars().collect::<Vec<_>>();
    distinct.sort_unstable();
    distinct.dedup();
    match () {
        () if chars < SHORTEST => Err(PasswordError::Short),
        () if chars > LONGEST => Err(PasswordError::Long),
        () if first.to_lowercase() == name.to_lowercase() => Err(PasswordError::IsName),
        () if distinct.len() < 2 => Err(PasswordError::OneCharacter),
        () if first != second => Err(PasswordError::Differ),
        () => Ok(()),
    }
}

/// The text to be stored for a password; it includes salt and settings.
///
/// # Errors
/// When the system provides no random numbers.
pub fn hash(password: &str) -> Result<String, PasswordError> {
    let hash: PasswordHash =
        Argon2::default().hash_password(password.as_bytes()).map_err(|_| PasswordError::Failed)?;
    Ok(hash.to_string())
}

/// Whether a password is the stored one. If there is no such account, the same work is done with a fixed hash,
/// so that the time does not reveal which names exist.
#[must_use]
pub fn check(password: &str, stored: Option<&str>) -> bool {
    if password.chars().count() > LONGEST {
        return false;
    }
    let Ok(hash) = PasswordHash::new(stored.unwrap_or(NOBODY)) else { return false };
    let right = Argon2::default().verify_password(password.as_bytes(), &hash).is_ok();
    right && stored.is_some()
}

/// A hash of the same cost for which no password is known.
const NOBODY: &str =
    "$argon2id$v=19$m=19456,t=2,p=1$bm9ib2R5IGlzIGhlcmU$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA";

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn stored_text_is_argon2id_with_the_documented_cost() {
        let stored = hash("four words in a row").unwrap();
        assert!(stored.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{stored}");
        assert!(check("four words in a row", Some(&stored)));
        assert!(!check("four words in a rov", Some(&stored)));
        assert_ne!(stored, hash("four words in a row").unwrap(), "the salt differs each time");
    }

    #[test]
    fn nobody_can_sign_in_as_nobody() {
        assert!(PasswordHash::new(NOBODY).is_ok(), "otherwise no time would be spent on unknown names");
        assert!(!check("", None));
        assert!(!check("anything", None));
    }

    #[test]
    fn weak_passwords_are_refused_with_a_sentence() {
        assert_eq!(judge("mo", "short", "short"), Err(PasswordError::Short));
        assert_eq!(judge("marielle-osk", "Marielle-Osk", "Marielle-Osk"), Err(PasswordError::IsName));
        assert_eq!(judge("mo", "aaaaaaaaaaaa", "aaaaaaaaaaaa"), Err(PasswordError::OneCharacter));
        assert_eq!(judge("mo", "plaster and bar", "plaster and boots"), Err(PasswordError::Differ));
        assert_eq!(judge("mo", "plaster and bar", "plaster and bar"), Ok(()));
        let long = "ab".repeat(200);
        assert_eq!(judge("mo", &long, &long), Err(PasswordError::Long));
    }
}
