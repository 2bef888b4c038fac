//! The hashes by which kept pictures and videos are found: one type for each, so that none is looked for among the others.

use crate::field::{FieldSpec, FieldType, FieldValue, ShownValues};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::{fmt, str::FromStr};

/// 64 hexadecimal digits as 32 bytes. Lower case only, so that a hash has one text.
fn bytes_of(text: &str) -> Option<[u8; 32]> {
    let digit = |byte: u8| match byte {
        b'0'..=b'9' => Some(byte - b'0'),
        b'a'..=b'f' => Some(byte - b'a' + 10),
        _ => None,
    };
    let (pairs, rest) = text.as_bytes().as_chunks::<2>();
    if pairs.len() != 32 || !rest.is_empty() {
        return None;
    }
    let mut bytes = [0; 32];
    for (byte, [high, low]) in bytes.iter_mut().zip(pairs) {
        *byte = digit(*high)? << 4 | digit(*low)?;
    }
    Some(bytes)
}

macro_rules! kept_hash {
    ($(#[$doc:meta])* $name:ident, $(#[$error_doc:meta])* $error:ident = $sentence:literal, $what:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name([u8; 32]);

        $(#[$error_doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
        #[error($sentence)]
        pub struct $error;

        impl $name {
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

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self)
            }
        }

        impl FromStr for $name {
            type Err = $error;

            fn from_str(text: &str) -> Result<Self, $error> {
                bytes_of(text).map(Self).ok_or($error)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                crate::text::deserialize(deserializer, $what)
            }
        }

        impl FieldValue for $name {
            const TAKES: FieldType = FieldType::Kept;

            fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
                shown.put(self.to_string());
            }
        }
    };
}

kept_hash! {
    /// The BLAKE3 hash of the bytes of a kept picture. The record names a picture by it and never holds one.
    PictureHash,
    /// A text that is not the hash of a picture.
    PictureHashError = "this is not the hash of a picture: 64 hexadecimal digits are expected",
    "the hash of a picture"
}

kept_hash! {
    /// The BLAKE3 hash of the bytes of a kept video. The record names a video by it and never holds one.
    VideoHash,
    /// A text that is not the hash of a video.
    VideoHashError = "this is not the hash of a video: 64 hexadecimal digits are expected",
    "the hash of a video"
}
