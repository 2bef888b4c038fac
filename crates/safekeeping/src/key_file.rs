//! A key file: a secret as one line of text, for a memory stick, a credential of the system or its keyring.

use crate::error::SafekeepingError;
use std::{fmt, str::FromStr};
use zeroize::{Zeroize, ZeroizeOnDrop, Zeroizing};

const BEGINS: &str = "plantigrade-key-1";
const BYTES: usize = 32;

/// The secret in a key file: 256 random bits, which unlock the key of the records.
#[derive(Clone, PartialEq, Eq, Zeroize, ZeroizeOnDrop)]
pub struct KeyFileSecret {
    bytes: [u8; BYTES],
}

impl KeyFileSecret {
    /// A new secret.
    #[must_use]
    #[allow(clippy::new_without_default)]
    pub fn new() -> Self {
        let mut bytes = [0; BYTES];
        rand::fill(&mut bytes[..]);
        Self { bytes }
    }

    pub(crate) fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// The line of text of the file.
    #[must_use]
    pub fn to_text(&self) -> Zeroizing<String> {
        Zeroizing::new(format!("{BEGINS} {}\n", data_encoding::HEXLOWER.encode(&self.bytes)))
    }
}

impl FromStr for KeyFileSecret {
    type Err = SafekeepingError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let line = text.trim_start_matches('\u{feff}').trim();
        let digits = line.strip_prefix(BEGINS).and_then(|rest| rest.strip_prefix(' '));
        let bytes = digits.and_then(|digits| data_encoding::HEXLOWER.decode(digits.trim().as_bytes()).ok());
        let bytes = bytes.and_then(|bytes| <[u8; BYTES]>::try_from(bytes).ok());
        bytes.map(|bytes| Self { bytes }).ok_or(SafekeepingError::NotKeyFile(BEGINS))
    }
}

impl fmt::Debug for KeyFileSecret {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str("KeyFileSecret(…)")
    }
}
