//! Recovery codes, and what a person typed into the field for a code.
//!
//! A recovery code has 60 random bits. Secrets of less than 112 bits are to be stored salted and hashed as slowly as
//! passwords (NIST SP 800-63B, look-up secrets; from memory); the codes of one person share a salt, so that one hash
//! answers for all of them.

use super::{
    code::digit,
    password::PasswordError,
    time_code::CODE_DIGITS,
    token::{READABLE, same},
};
use argon2::Argon2;
use clinic::RecoveryCodes;

/// How many are made at once.
pub const RECOVERY_CODES: usize = 10;
/// Characters of one, of five bits each.
const CHARS: usize = 12;
const GROUP: usize = 4;

/// A code as a person typed it.
#[derive(Clone, PartialEq, Eq)]
pub enum TypedCode {
    /// The digits of a time-based code.
    Time(String),
    /// A recovery code without its dashes.
    Recovery(String),
}

impl TypedCode {
    /// From what was typed; spaces, dashes and capitals do not matter. `None` if it is neither.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let shown = text.chars().filter(|c| !c.is_whitespace() && !matches!(c, '-' | '–' | '.'));
        let plain: Vec<char> = shown.take(CHARS + 1).flat_map(char::to_lowercase).collect();
        if plain.len() == CODE_DIGITS as usize {
            return plain.into_iter().map(digit).collect::<Option<_>>().map(Self::Time);
        }
        let known = |c: &char| c.is_ascii() && READABLE.contains(&(*c as u8));
        (plain.len() == CHARS && plain.iter().all(known)).then(|| Self::Recovery(plain.into_iter().collect()))
    }
}

/// New recovery codes: as they are shown once, "k7pm-q2xd-9wta", and as they are stored.
///
/// # Errors
/// When there is no memory for the hash.
pub fn new_recovery_codes() -> Result<(Vec<String>, RecoveryCodes), PasswordError> {
    let mut salt = vec![0u8; 16];
    rand::fill(&mut salt[..]);
    let plain: Vec<String> = (0..RECOVERY_CODES).map(|_| one()).collect();
    let unused = plain.iter().map(|code| hash(&salt, code)).collect::<Result<_, _>>()?;
    Ok((plain.iter().map(|code| grouped(code)).collect(), RecoveryCodes { salt, unused }))
}

fn one() -> String {
    let mut bytes = [0u8; CHARS];
    rand::fill(&mut bytes[..]);
    let letter = |byte: &u8| READABLE.get(usize::from(byte % 32)).map_or('a', |letter| char::from(*letter));
    bytes.iter().map(letter).collect()
}

fn grouped(code: &str) -> String {
    let chars: Vec<char> = code.chars().collect();
    let groups: Vec<String> = chars.chunks(GROUP).map(|group| group.iter().collect()).collect();
    groups.join("-")
}

/// With the cost of a password.
fn hash(salt: &[u8], code: &str) -> Result<Vec<u8>, PasswordError> {
    let mut out = vec![0u8; 32];
    Argon2::default()
        .hash_password_into(code.as_bytes(), salt, &mut out)
        .map_err(|_| PasswordError::Failed)?;
    Ok(out)
}

/// The stored hash of a code, if it is one of those that were not used.
///
/// # Errors
/// When there is no memory for the hash.
pub fn unused_hash(codes: &RecoveryCodes, typed: &str) -> Result<Option<Vec<u8>>, PasswordError> {
    let wanted = data_encoding::HEXLOWER.encode(&hash(&codes.salt, typed)?);
    let found = codes.unused.iter().filter(|stored| same(&data_encoding::HEXLOWER.encode(stored), &wanted));
    // All are compared, so that the time does not tell which one it was.
    Ok(found.collect::<Vec<_>>().first().map(|hash| hash.to_vec()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn ten_codes_of_sixty_bits_each_of_which_is_known_again() {
        let (shown, stored) = new_recovery_codes().unwrap();
        assert_eq!(shown.iter().collect::<BTreeSet<_>>().len(), 10);
        // 12 characters of 32 are 60 bits; no two of the 32 look alike.
        assert!(
            READABLE.iter().collect::<BTreeSet<_>>().len() == 32
                && !READABLE.iter().any(|c| b"lo01".contains(c))
        );
        for code in [&shown[0], &shown[9]] {
            assert!(code.len() == 14 && code.matches('-').count() == 2, "{code}");
            let Some(TypedCode::Recovery(typed)) = TypedCode::read(&code.to_uppercase()) else {
                unreachable!()
            };
            assert!(unused_hash(&stored, &typed).unwrap().is_some());
            assert!(!stored.unused.iter().any(|hash| hash == typed.as_bytes()), "stored in clear text");
        }
        assert_eq!(unused_hash(&stored, "aaaaaaaaaaaa").unwrap(), None);
        let (_, other) = new_recovery_codes().unwrap();
        assert!(other.salt != stored.salt);
    }

    #[test]
    fn what_is_typed_is_a_time_code_a_recovery_code_or_neither() {
        let time = |digits: &str| Some(TypedCode::Time(digits.to_owned()));
        for typed in ["123456", " 123 456 ", "123-456", "١٢٣٤٥٦"] {
            assert!(TypedCode::read(typed) == time("123456"), "{typed}");
        }
        assert!(TypedCode::read("K7PM q2xd-9wta") == Some(TypedCode::Recovery("k7pmq2xd9wta".to_owned())));
        for typed in ["", "12345", "1234567", "12345a", "k7pm-q2xd-9wt", "k7pm-q2xd-9wta2", "k7pm-q2xd-9wt0"]
        {
            assert!(TypedCode::read(typed).is_none(), "{typed}");
        }
    }
}
