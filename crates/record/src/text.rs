//! Short texts of fixed form, read and written without touching the heap.

use serde::{Deserializer, Serializer, de::Visitor};
use std::{fmt, marker::PhantomData, str::FromStr};

/// A text as a sentence: a capital first, a full stop last unless it ends in `.`, `!` or `?`.
#[must_use]
pub fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    let stop = if text.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{first}{}{stop}", chars.as_str())
}

/// ASCII text of a known length, built in place.
pub(crate) struct Fixed<const N: usize>(pub [u8; N]);

impl<const N: usize> Fixed<N> {
    /// The text. Only ASCII is ever put in, so the fallback is not reached.
    pub(crate) fn as_str(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or_default()
    }

    /// Writes a number into the `width` places from `start`, with leading zeros.
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

/// The number written in ASCII digits only; `None` for anything else, a sign included.
pub(crate) fn digits(bytes: &[u8]) -> Option<u32> {
    bytes.iter().try_fold(0u32, |sum, byte| {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 { sum.checked_mul(10)?.checked_add(digit.into()) } else { None }
    })
}

/// Reads whatever reads itself from a text, borrowing the text where the format allows it.
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
