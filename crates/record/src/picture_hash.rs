//! The hash by which a kept picture is found, and points on a picture.

use crate::field::{FieldSpec, FieldType, FieldValue, ShownValues};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::{fmt, str::FromStr};

/// The BLAKE3 hash of the bytes of a kept picture. The record names a picture by it and never holds one.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PictureHash([u8; 32]);

/// A text that is not the hash of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("this is not the hash of a picture: 64 hexadecimal digits are expected")]
pub struct PictureHashError;

impl PictureHash {
    /// Of its 32 bytes.
    #[must_use]
    pub const fn new(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Its 32 bytes.
    #[must_use]
    pub const fn bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for PictureHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for PictureHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "PictureHash({self})")
    }
}

impl FromStr for PictureHash {
    type Err = PictureHashError;

    /// Lower case only, so that a hash has one text.
    fn from_str(text: &str) -> Result<Self, PictureHashError> {
        let digit = |byte: u8| match byte {
            b'0'..=b'9' => Ok(byte - b'0'),
            b'a'..=b'f' => Ok(byte - b'a' + 10),
            _ => Err(PictureHashError),
        };
        let (pairs, rest) = text.as_bytes().as_chunks::<2>();
        if pairs.len() != 32 || !rest.is_empty() {
            return Err(PictureHashError);
        }
        let mut bytes = [0; 32];
        for (byte, [high, low]) in bytes.iter_mut().zip(pairs) {
            *byte = digit(*high)? << 4 | digit(*low)?;
        }
        Ok(Self(bytes))
    }
}

impl Serialize for PictureHash {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for PictureHash {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        crate::text::deserialize(deserializer, "the hash of a picture")
    }
}

impl FieldValue for PictureHash {
    const TAKES: FieldType = FieldType::Kept;

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.to_string());
    }
}
