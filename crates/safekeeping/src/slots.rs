//! The key of the records, encrypted once for every way to unlock it.
//!
//! A slot has its own salt. Its secret becomes a key by Argon2id (RFC 9106) where a person thought of it, and by
//! BLAKE3 where it is a random number; that key encrypts the key of the records (ChaCha20-Poly1305, RFC 8439). What a
//! slot is and which key it holds is authenticated with it, so that a slot of another clinic is not taken.

use crate::{
    error::SafekeepingError, key::RecordsKey, key_file::KeyFileSecret, recovery_code::RecoveryCode,
    sealed_file::SealKey, sealed_file::open_sealed, sealed_file::seal,
};
use argon2::{Algorithm, Argon2, Params, Version};
use serde::{Deserialize, Serialize};
use unicode_normalization::UnicodeNormalization;
use zeroize::Zeroizing;

/// The name of the file within the folder of the records.
pub const SLOTS_FILE: &str = "key-slots.json";
const FORM: u32 = 1;
/// Memory of Argon2id in KiB: the second recommendation of RFC 9106, section 4 (64 MiB, three passes; it takes four
/// lanes, which the library computes one after the other).
const MEMORY_KIB: u32 = 64 * 1_024;
const PASSES: u32 = 3;
const LANES: u32 = 4;
/// Bounds of what is accepted from a file, so that a changed one cannot take all memory.
const MOST_MEMORY_KIB: u32 = 1_024 * 1_024;
const MOST_PASSES: u32 = 20;
const SALT: usize = 16;
const RANDOM_SECRET: &str = "plantigrade 2026-11-30 key of a slot";

/// What opens a slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum KeySlotKind {
    /// A passphrase that a person remembers.
    Passphrase,
    /// The code on the recovery sheet.
    RecoveryCode,
    /// A key file, or the same text in the keyring or among the credentials of the system.
    KeyFile,
}

impl KeySlotKind {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Passphrase => "passphrase",
            Self::RecoveryCode => "recovery code",
            Self::KeyFile => "key file",
        }
    }
}

/// All slots of a clinic, as they are in the file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeySlots {
    form: u32,
    /// The name of the key that all slots hold ([`RecordsKey::name`]).
    key: String,
    slots: Vec<Slot>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Slot {
    kind: KeySlotKind,
    /// Where a key file is, in words, or nothing.
    label: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    argon2id: Option<Cost>,
    salt: String,
    sealed: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
struct Cost {
    memory_kib: u32,
    passes: u32,
    lanes: u32,
}

/// A slot, to be listed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SlotSummary {
    /// What opens it.
    pub kind: KeySlotKind,
    /// Where the key file is, in words, or nothing.
    pub label: String,
}

impl KeySlots {
    /// Without a slot yet.
    #[must_use]
    pub fn new(key: &RecordsKey) -> Self {
        Self { form: FORM, key: key.name(), slots: Vec::new() }
    }

    /// The name of the key that they hold.
    #[must_use]
    pub fn key_name(&self) -> &str {
        &self.key
    }

    /// What can unlock.
    #[must_use]
    pub fn list(&self) -> Vec<SlotSummary> {
        self.slots.iter().map(|slot| SlotSummary { kind: slot.kind, label: slot.label.clone() }).collect()
    }

    /// Whether there is a slot of a kind.
    #[must_use]
    pub fn has(&self, kind: KeySlotKind) -> bool {
        self.slots.iter().any(|slot| slot.kind == kind)
    }

    /// Sets the passphrase, in place of an earlier one. Whether it is good enough is the caller's to judge. It takes
    /// a second or so.
    ///
    /// # Errors
    /// [`SafekeepingError::Failed`] without 64 MiB of memory.
    pub fn set_passphrase(&mut self, key: &RecordsKey, passphrase: &str) -> Result<(), SafekeepingError> {
        let cost = Cost { memory_kib: MEMORY_KIB, passes: PASSES, lanes: LANES };
        let secret = normal(passphrase);
        let slot = self.made(key, KeySlotKind::Passphrase, "", Some(cost), secret.as_bytes())?;
        self.put(slot);
        Ok(())
    }

    /// Sets the recovery code, in place of an earlier one, whose sheet is worthless afterwards.
    ///
    /// # Errors
    /// [`SafekeepingError::Failed`] when the cipher fails.
    pub fn set_recovery_code(
        &mut self,
        key: &RecordsKey,
        code: &RecoveryCode,
    ) -> Result<(), SafekeepingError> {
        let slot = self.made(key, KeySlotKind::RecoveryCode, "", None, code.bytes())?;
        self.put(slot);
        Ok(())
    }

    /// Adds a key file, in place of one with the same label.
    ///
    /// # Errors
    /// [`SafekeepingError::Failed`] when the cipher fails.
    pub fn set_key_file(
        &mut self,
        key: &RecordsKey,
        label: &str,
        secret: &KeyFileSecret,
    ) -> Result<(), SafekeepingError> {
        let slot = self.made(key, KeySlotKind::KeyFile, label, None, secret.bytes())?;
        self.put(slot);
        Ok(())
    }

    /// Removes all slots of a kind with a label; says whether there was one.
    pub fn remove(&mut self, kind: KeySlotKind, label: &str) -> bool {
        let before = self.slots.len();
        self.slots.retain(|slot| slot.kind != kind || slot.label != label);
        self.slots.len() < before
    }

    /// The key, by the passphrase.
    ///
    /// # Errors
    /// When it is wrong, there is none, or the computation fails.
    pub fn unlock_with_passphrase(&self, passphrase: &str) -> Result<RecordsKey, SafekeepingError> {
        let secret = normal(passphrase);
        self.unlock(KeySlotKind::Passphrase, secret.as_bytes(), SafekeepingError::WrongPassphrase)
    }

    /// The key, by the code of the recovery sheet.
    ///
    /// # Errors
    /// As [`KeySlots::unlock_with_passphrase`].
    pub fn unlock_with_code(&self, code: &RecoveryCode) -> Result<RecordsKey, SafekeepingError> {
        self.unlock(KeySlotKind::RecoveryCode, code.bytes(), SafekeepingError::WrongCode)
    }

    /// The key, by a key file.
    ///
    /// # Errors
    /// As [`KeySlots::unlock_with_passphrase`].
    pub fn unlock_with_key_file(&self, secret: &KeyFileSecret) -> Result<RecordsKey, SafekeepingError> {
        self.unlock(KeySlotKind::KeyFile, secret.bytes(), SafekeepingError::WrongKeyFile)
    }

    /// The text of the file.
    ///
    /// # Errors
    /// None that is known.
    pub fn to_text(&self) -> Result<String, SafekeepingError> {
        serde_json::to_string_pretty(self).map_err(|error| SafekeepingError::Failed(error.to_string()))
    }

    /// From the text of the file.
    ///
    /// # Errors
    /// When it is damaged, or of a later form.
    pub fn from_text(text: &str) -> Result<Self, SafekeepingError> {
        #[derive(Deserialize)]
        struct Form {
            form: u32,
        }
        let damaged =
            |error: serde_json::Error| SafekeepingError::Slots { file: SLOTS_FILE, why: error.to_string() };
        let form: Form = serde_json::from_str(text).map_err(damaged)?;
        if form.form > FORM {
            return Err(SafekeepingError::NewerSlots(SLOTS_FILE));
        }
        serde_json::from_str(text).map_err(damaged)
    }

    fn put(&mut self, slot: Slot) {
        self.remove(slot.kind, &slot.label);
        self.slots.push(slot);
    }

    fn made(
        &self,
        key: &RecordsKey,
        kind: KeySlotKind,
        label: &str,
        argon2id: Option<Cost>,
        secret: &[u8],
    ) -> Result<Slot, SafekeepingError> {
        if key.name() != self.key {
            return Err(SafekeepingError::Failed("the slots are those of another key".to_owned()));
        }
        let mut salt = [0; SALT];
        rand::fill(&mut salt[..]);
        let sealed = seal(&slot_key(argon2id, &salt, secret)?, &self.bound(kind), key.bytes())?;
        let hex = |bytes: &[u8]| data_encoding::HEXLOWER.encode(bytes);
        Ok(Slot { kind, label: label.to_owned(), argon2id, salt: hex(&salt), sealed: hex(&sealed) })
    }

    fn unlock(
        &self,
        kind: KeySlotKind,
        secret: &[u8],
        wrong: SafekeepingError,
    ) -> Result<RecordsKey, SafekeepingError> {
        let mut slots = self.slots.iter().filter(|slot| slot.kind == kind).peekable();
        if slots.peek().is_none() {
            return Err(SafekeepingError::NoSlot(kind.words()));
        }
        // A damaged slot must not lock out who has the secret of another one.
        let mut damaged = None;
        for slot in slots {
            match self.opened(slot, secret) {
                Ok(Some(key)) => return Ok(key),
                Ok(None) => {}
                Err(error) => damaged = damaged.or(Some(error)),
            }
        }
        Err(damaged.unwrap_or(wrong))
    }

    fn opened(&self, slot: &Slot, secret: &[u8]) -> Result<Option<RecordsKey>, SafekeepingError> {
        let (salt, sealed) = (from_hex(&slot.salt)?, from_hex(&slot.sealed)?);
        let opened = open_sealed(&slot_key(slot.argon2id, &salt, secret)?, &self.bound(slot.kind), &sealed);
        let Ok(bytes) = opened.map(|bytes| <[u8; 32]>::try_from(bytes.as_slice()).map(Zeroizing::new)) else {
            return Ok(None);
        };
        let key = bytes.map(|bytes| RecordsKey::from_bytes(*bytes));
        // A name that does not fit means that the file was put together from two.
        Ok(key.ok().filter(|key| key.name() == self.key))
    }

    fn bound(&self, kind: KeySlotKind) -> String {
        format!("slot {FORM} {} {}", kind.words(), self.key)
    }
}

fn from_hex(text: &str) -> Result<Vec<u8>, SafekeepingError> {
    let decoded = data_encoding::HEXLOWER.decode(text.as_bytes());
    decoded.map_err(|error| SafekeepingError::Slots { file: SLOTS_FILE, why: error.to_string() })
}

/// The one form of a passphrase (NFKC, without spaces around), so that keyboards that write the same letters
/// differently agree.
fn normal(passphrase: &str) -> Zeroizing<String> {
    Zeroizing::new(passphrase.trim().nfkc().collect())
}

fn slot_key(cost: Option<Cost>, salt: &[u8], secret: &[u8]) -> Result<SealKey, SafekeepingError> {
    let Some(cost) = cost else {
        let material = Zeroizing::new([salt, secret].concat());
        return Ok(SealKey::new(Zeroizing::new(blake3::derive_key(RANDOM_SECRET, &material))));
    };
    if cost.memory_kib > MOST_MEMORY_KIB || cost.passes > MOST_PASSES {
        let why = "it asks for more memory or time than this program ever does".to_owned();
        return Err(SafekeepingError::Slots { file: SLOTS_FILE, why });
    }
    let failed = |error: argon2::Error| SafekeepingError::Failed(error.to_string());
    let params = Params::new(cost.memory_kib, cost.passes, cost.lanes, Some(32)).map_err(failed)?;
    let mut out = Zeroizing::new([0; 32]);
    let argon2 = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
    argon2.hash_password_into(secret, salt, out.as_mut_slice()).map_err(failed)?;
    Ok(SealKey::new(out))
}
