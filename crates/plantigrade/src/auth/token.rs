//! Random tokens. The browser has the token, the records have only its SHA-256.

use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// 32 random bytes, shown as 64 hexadecimal digits.
#[derive(Clone, PartialEq, Eq)]
pub struct Token(String);

impl Token {
    /// A new token from the operating system's random numbers.
    #[must_use]
    pub fn new() -> Self {
        let mut bytes = [0u8; 32];
        rand::fill(&mut bytes[..]);
        Self(hex(&bytes))
    }

    /// From the text that a browser sent; `None` if it is not a token.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let plain = text.len() == 64 && text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        plain.then(|| Self(text.to_owned()))
    }

    /// The text for the browser.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.0
    }

    /// The hash for the records.
    #[must_use]
    pub fn hash(&self) -> [u8; 32] {
        Sha256::digest(self.0.as_bytes()).into()
    }
}

/// Letters and digits that cannot be mistaken for each other.
pub(super) const READABLE: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";
/// Characters of a one-time password: 80 random bits.
const ONE_TIME_CHARS: usize = 16;

/// A new one-time password that is easily read out and typed: "k7pm-q2xd-9wta-bfr4".
#[must_use]
pub fn one_time_password() -> String {
    let mut bytes = [0u8; ONE_TIME_CHARS];
    rand::fill(&mut bytes[..]);
    let letter = |byte: &u8| READABLE.get(usize::from(byte % 32)).map_or('a', |letter| char::from(*letter));
    let groups: Vec<String> = bytes.chunks(4).map(|group| group.iter().map(letter).collect()).collect();
    groups.join("-")
}

impl Default for Token {
    fn default() -> Self {
        Self::new()
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
        // Writing to a string does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Compares without stopping at the first difference, so that the time reveals nothing.
#[must_use]
pub fn same(a: &str, b: &str) -> bool {
    let difference = a.bytes().zip(b.bytes()).fold(0u8, |sum, (a, b)| sum | (a ^ b));
    a.len() == b.len() && difference == 0
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn tokens_differ_and_read_back() {
        let (a, b) = (Token::new(), Token::new());
        assert!(a.text() != b.text() && a.text().len() == 64);
        assert_eq!(Token::read(a.text()).unwrap().hash(), a.hash());
        assert!(Token::read("not a token").is_none());
        assert!(
            Token::read(&a.text().to_uppercase()).is_none() || a.text().bytes().all(|b| b.is_ascii_digit())
        );
    }

    #[test]
    fn one_time_passwords_differ_and_are_long_enough() {
        let (a, b) = (one_time_password(), one_time_password());
        assert!(a != b && a.len() == 19 && a.matches('-').count() == 3, "{a} {b}");
        assert_eq!(READABLE.iter().collect::<std::collections::HashSet<_>>().len(), 32);
    }

    #[test]
    fn same_is_equality() {
        assert!(same("abc", "abc") && !same("abc", "abd") && !same("abc", "ab") && !same("", "a"));
    }
}
