//! Passwords: Argon2id with 19 MiB, two passes, one lane (the defaults of the library, which are the first
//! choice of the OWASP password storage advice, from memory). It is slow on purpose: do not call it on the
//! threads that answer requests.

use super::common;
use argon2::{
    Argon2,
    password_hash::{PasswordHasher, PasswordVerifier, phc::PasswordHash},
};
use unicode_normalization::UnicodeNormalization;

/// Shortest password, in characters. NIST SP 800-63B (revision 4, from memory) asks for at least 15 where the
/// password is all that is asked for, and 8 where something else is asked for too; at least 64 must be allowed.
pub const SHORTEST: usize = 15;
/// Longest password, in characters: longer texts only cost time.
pub const LONGEST: usize = 256;
/// Words of the program and the trade, of which a password must not consist either.
pub const PROGRAM_WORDS: &str = "plantigrade clubfoot ponseti pirani tenotomy clinic hospital";
/// What is required, for the form. There is no rule about kinds of characters and no day on which a password ends
/// (the same source).
pub const PASSWORD_HINT: &str = "At least 15 characters. Three or four words in a row are easy to remember; spaces and every other character may be used.";

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
    /// It is tried first by who guesses.
    #[error(
        "This password is easy to guess: it consists of common passwords, of one thing repeated, or of the names of the person, the clinic or the program. Choose words that have nothing to do with each other."
    )]
    Expected,
    /// The two do not agree.
    #[error("The two passwords are not the same.")]
    Differ,
    /// The system failed.
    #[error("The password could not be stored. Try again.")]
    Failed,
}

/// Checks a new password typed twice. `own` has the names that the person, the clinic and the program have.
///
/// # Errors
/// When it is too short or long, is expected, or the two differ.
pub fn judge(own: &[&str], first: &str, second: &str) -> Result<(), PasswordError> {
    judge_from(SHORTEST, own, first, second)
}

/// The same with another shortest length.
///
/// # Errors
/// As [`judge`].
pub fn judge_from(shortest: usize, own: &[&str], first: &str, second: &str) -> Result<(), PasswordError> {
    let chars = normal(first).chars().count();
    match () {
        () if chars < shortest => Err(PasswordError::Short),
        () if chars > LONGEST => Err(PasswordError::Long),
        () if common::is_expected(&normal(first), own) => Err(PasswordError::Expected),
        () if normal(first) != normal(second) => Err(PasswordError::Differ),
        () => Ok(()),
    }
}

/// The one form of a password (NFKC), so that keyboards that write the same letters differently agree.
fn normal(password: &str) -> String {
    password.nfkc().collect()
}

/// The text to be stored for a password; it includes salt and settings.
///
/// # Errors
/// When the system provides no random numbers.
pub fn hash(password: &str) -> Result<String, PasswordError> {
    let hash: PasswordHash =
        Argon2::default().hash_password(normal(password).as_bytes()).map_err(|_| PasswordError::Failed)?;
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
    let is = |text: &str| {
        #[cfg(test)]
        HASH_RUNS.with(|runs| runs.set(runs.get() + 1));
        Argon2::default().verify_password(text.as_bytes(), &hash).is_ok()
    };
    let normal = normal(password);
    // Passwords that were stored before they were brought into one form.
    let right = is(&normal) || (normal != password && is(password));
    right && stored.is_some()
}

#[cfg(test)]
thread_local! {
    /// How often this thread compared a password, so that tests can tell that unknown names cost the same.
    pub static HASH_RUNS: std::cell::Cell<usize> = const { std::cell::Cell::new(0) };
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
        let own = ["mo", "Mo Henriksen", "Hillside clinic"];
        let both = |text: &str| judge(&own, text, text);
        assert_eq!(both("fourteen chars"), Err(PasswordError::Short));
        assert_eq!(both("Hillside clinic 25"), Err(PasswordError::Expected));
        assert_eq!(both("aaaaaaaaaaaaaaaa"), Err(PasswordError::Expected));
        assert_eq!(judge(&own, "plaster and bars", "plaster and boot"), Err(PasswordError::Differ));
        assert_eq!(both("plaster and bars"), Ok(()));
        assert_eq!(both(&"a heron and a boat ".repeat(4)), Ok(()), "64 characters and more are allowed");
        assert_eq!(both(&"abcdefgh ".repeat(40)), Err(PasswordError::Long));
    }

    // NIST SP 800-63B, revision 4, section on password verifiers (from memory). What concerns forms and the number of
    // attempts is in `tests/all/sign_in.rs`, the list of common passwords in `auth::common`.

    #[test]
    fn nist_800_63b_at_least_15_characters_where_the_password_is_all_and_each_code_point_is_one() {
        let both = |text: &str| judge(&[], text, text);
        // 14 and 15 code points; in bytes both are longer.
        assert_eq!(both("þæt wæs göd cy"), Err(PasswordError::Short));
        assert_eq!(both("þæt wæs göd cyn"), Ok(()));
    }

    #[test]
    fn nist_800_63b_at_least_64_characters_are_allowed_and_all_of_them_count() {
        let long: String = "a heron stood under the old quay ".chars().cycle().take(LONGEST - 1).collect();
        let words = format!("quiet lanterns {long}");
        let (one, other): (String, String) =
            (words.chars().take(255).chain(['x']).collect(), words.chars().take(255).chain(['y']).collect());
        assert!(one.chars().count() == LONGEST && judge(&[], &one, &one) == Ok(()));
        let stored = hash(&one).unwrap();
        assert!(
            check(&one, Some(&stored)) && !check(&other, Some(&stored)),
            "the last of 256 characters counts"
        );
    }

    #[test]
    fn nist_800_63b_every_printing_character_the_space_and_unicode_are_accepted() {
        let ascii: String = (' '..='~').collect();
        for text in [
            ascii.as_str(),
            "мокрый гипс на окне",
            "石膏 と 小さな 靴 を 片付ける 午後",
            "🐻 heron 🦶 quay 🥾 rope",
        ] {
            assert_eq!(judge(&[], text, text), Ok(()), "{text}");
            assert!(check(text, Some(&hash(text).unwrap())), "{text}");
        }
    }

    #[test]
    fn nist_800_63b_there_is_no_rule_about_kinds_of_characters() {
        for text in
            ["gravel lantern otter", "GRAVEL LANTERN OTTER", "gravellanternotter", "4071 9382 6650 2719"]
        {
            assert_eq!(judge(&[], text, text), Ok(()), "{text}");
        }
    }

    #[test]
    fn the_same_letters_typed_differently_are_the_same_password() {
        let (composed, decomposed) = ("zw\u{f6}lf boote im hafen", "zwo\u{308}lf boote im hafen");
        assert_ne!(composed, decomposed);
        assert!(check(decomposed, Some(&hash(composed).unwrap())));
        let earlier = Argon2::default().hash_password(decomposed.as_bytes()).unwrap().to_string();
        assert!(check(decomposed, Some(&earlier)), "a password stored before it was brought into one form");
    }
}
