//! The key of the records, and the keys that follow from it.
//!
//! Each purpose has a key of its own, derived with BLAKE3 in its mode for that (BLAKE3 paper, section 2.3: a context
//! that is fixed in the program, and the key material). Purposes cannot be mixed up, and a key that becomes known
//! says nothing about the others.

use crate::{error::SafekeepingError, sealed_file::SealKey};
use bech32::{Bech32, Hrp};
use zeroize::{Zeroize, ZeroizeOnDrop, Zeroizing};

const DATABASE: &str = "plantigrade 2026-11-30 key of the database";
const ACCESS_LOG: &str = "plantigrade 2026-11-30 key of the access log";
const FILES: &str = "plantigrade 2026-11-30 key of single files";
const BACKUPS: &str = "plantigrade 2026-11-30 identity of backups";
const NAME: &str = "plantigrade 2026-11-30 name of the key";
const PIECES: &str = "plantigrade 2026-11-30 names of pieces beside backups";
/// The human-readable part of an age identity (the age specification, age-encryption.org/v1, "X25519").
const AGE_IDENTITY: &str = "age-secret-key-";

/// The key of the records of one clinic: 256 random bits. It is overwritten when it is dropped, and shows nothing.
#[derive(Clone, PartialEq, Eq, Zeroize, ZeroizeOnDrop)]
pub struct RecordsKey {
    bytes: [u8; 32],
}

impl RecordsKey {
    /// A new key.
    #[must_use]
    #[allow(clippy::new_without_default)]
    pub fn new() -> Self {
        let mut bytes = [0; 32];
        rand::fill(&mut bytes[..]);
        Self { bytes }
    }

    pub(crate) fn from_bytes(bytes: [u8; 32]) -> Self {
        Self { bytes }
    }

    pub(crate) fn bytes(&self) -> &[u8; 32] {
        &self.bytes
    }

    /// The name of the key: 16 hexadecimal digits by which two keys are told apart. It reveals nothing of the key.
    #[must_use]
    pub fn name(&self) -> String {
        let name = self.derived(NAME);
        data_encoding::HEXLOWER.encode(name.get(..8).unwrap_or_default())
    }

    /// The raw key of the database of records.
    #[must_use]
    pub fn database(&self) -> Zeroizing<[u8; 32]> {
        self.derived(DATABASE)
    }

    /// The raw key of the access log, a database of its own.
    #[must_use]
    pub fn access_log(&self) -> Zeroizing<[u8; 32]> {
        self.derived(ACCESS_LOG)
    }

    /// The key with which single files are sealed.
    #[must_use]
    pub fn files(&self) -> SealKey {
        SealKey::new(self.derived(FILES))
    }

    /// The name of a piece beside backups, by what identifies it: 64 hexadecimal digits (BLAKE3 keyed hash). The same
    /// piece has the same name each time, and without the key the name tells nothing of it.
    #[must_use]
    pub fn piece_name(&self, identity: &[u8]) -> String {
        blake3::keyed_hash(&self.derived(PIECES), identity).to_hex().to_string()
    }

    /// What decrypts backups: an X25519 identity of age, of which every 32 bytes are one.
    ///
    /// # Errors
    /// None that is known; the encoding is checked by the library.
    pub fn backup_identity(&self) -> Result<age::x25519::Identity, SafekeepingError> {
        self.backup_identity_text()?.parse().map_err(|why: &str| SafekeepingError::Failed(why.to_owned()))
    }

    /// The same as text ("AGE-SECRET-KEY-1…"), with which any program for the age format opens a backup.
    ///
    /// # Errors
    /// As [`RecordsKey::backup_identity`].
    pub fn backup_identity_text(&self) -> Result<Zeroizing<String>, SafekeepingError> {
        let failed = |why: String| SafekeepingError::Failed(why);
        let hrp = Hrp::parse(AGE_IDENTITY).map_err(|error| failed(error.to_string()))?;
        let bytes = self.derived(BACKUPS);
        let lower =
            bech32::encode::<Bech32>(hrp, bytes.as_slice()).map_err(|error| failed(error.to_string()))?;
        Ok(Zeroizing::new(Zeroizing::new(lower).to_uppercase()))
    }

    fn derived(&self, context: &'static str) -> Zeroizing<[u8; 32]> {
        Zeroizing::new(blake3::derive_key(context, &self.bytes))
    }
}

impl std::fmt::Debug for RecordsKey {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(to, "RecordsKey({})", self.name())
    }
}
