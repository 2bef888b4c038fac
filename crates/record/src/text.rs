//! Short texts: sentences, and texts of fixed form that are read and written without allocation.

use serde::{Deserializer, Serializer, de::Visitor};
use std::{fmt, marker::PhantomData, str::FromStr};

/// A text as a sentence: a capital first, a full stop last unless it ends in `.`, `!` or `?`.
#[must_use]
pub fn sentence(text: &str) -> String {
    let stop = if text.ends_with(['.', '!', '?']) { "" } else { "." };
    capital(text) + stop
}

/// A text with a capital first.
pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// ASCII text of a fixed length, built in place.
pub(crate) struct Fixed<const N: usize>(pub [u8; N]);

impl<const N: usize> Fixed<N> {
    /// The text. It holds only ASCII, so the fallback is never used.
    pub(crate) fn as_str(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or_default()
    }

    /// Writes a number into `width` characters from `start`, with leading zeros.
    pub(crate) fn put(&mut self, start: usize, width: usize, mut number: u32) {
        for place in self.0.iter_mut().skip(start).take(width).rev() {
            *place = b'0' + (number % 10) as u8;
            number /= 10;
        }
    }

    pub(crate) fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

/// The number that ASCII digits stand for; `None` for anything else, including a sign.
pub(crate) fn digits(bytes: &[u8]) -> Option<u32> {
    bytes.iter().try_fold(0u32, |sum, byte| {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 { sum.checked_mul(10)?.checked_add(digit.into()) } else { None }
    })
}

/// Deserialises a type from text with its `FromStr`. The text is borrowed if the format allows it.
pub(crate) fn deserialize<'de, D, T>(deserializer: D, expecting: &'static str) -> Result<T, D::Error>
where
    D: Deserializer<'de>,
    T: FromStr<Err: fmt::Display>,
{
    deserializer.deserialize_str(FromText(expecting, PhantomData))
}

struct FromText<T>(&'static str, PhantomData<T>);

impl<T: FromStr<Err: fmt::Display>> Visitor<'_> for FromText<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<T, E> {
        text.parse().map_err(E::custom)
    }
}
