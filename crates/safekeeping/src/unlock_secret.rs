//! What opens the slots of a key, as somebody typed it or as it is in a file.

use crate::{
    error::SafekeepingError,
    key::RecordsKey,
    key_file::KeyFileSecret,
    recovery_code::{RecoveryCode, RecoverySheetText, read_sheet_text},
    slots::{KeySlotKind, KeySlots},
};
use zeroize::Zeroizing;

/// A secret that opens the slots of a key.
#[derive(Debug, Clone)]
pub enum UnlockSecret {
    /// A passphrase.
    Passphrase(Zeroizing<String>),
    /// The code of the recovery sheet.
    Code(RecoveryCode),
    /// A key file.
    KeyFile(KeyFileSecret),
}

impl UnlockSecret {
    /// What somebody typed: a passphrase, the code of a recovery sheet, or its two halves, in one field with a space
    /// between them or in two.
    ///
    /// # Errors
    /// For one half of a code, and for a typing error in a second field. A text that is a code with a typing error
    /// counts as a passphrase, because it can be one.
    pub fn typed(text: &str, other_half: Option<&str>) -> Result<Self, SafekeepingError> {
        match (read_sheet_text(text), other_half.map(read_sheet_text)) {
            (Ok(RecoverySheetText::Whole(code)), _) => Ok(Self::Code(code)),
            (Ok(RecoverySheetText::Half(one)), Some(Ok(RecoverySheetText::Half(other)))) => {
                RecoveryCode::of_halves(&one, &other).map(Self::Code)
            }
            (_, Some(Err(error))) | (Err(error), Some(_)) => Err(error),
            (Ok(RecoverySheetText::Half(_)), _) => Err(SafekeepingError::Halves(
                "This is one half of a code. The other half is needed too; both may be typed one behind the other, with a space between them.",
            )),
            (Err(_), None) => Ok(both_halves(text)
                .map_or_else(|| Self::Passphrase(Zeroizing::new(text.to_owned())), Self::Code)),
        }
    }

    /// The key that slots hold.
    ///
    /// # Errors
    /// When it does not open them.
    pub fn unlock(&self, slots: &KeySlots) -> Result<RecordsKey, SafekeepingError> {
        match self {
            Self::Passphrase(text) => slots.unlock_with_passphrase(text).map_err(|error| match error {
                // A code with a typing error was read as a passphrase.
                SafekeepingError::NoSlot(_) if slots.has(KeySlotKind::RecoveryCode) => {
                    SafekeepingError::WrongPassphrase
                }
                other => other,
            }),
            Self::Code(code) => slots.unlock_with_code(code),
            Self::KeyFile(secret) => slots.unlock_with_key_file(secret),
        }
    }
}

/// Two halves of a code, one behind the other.
fn both_halves(text: &str) -> Option<RecoveryCode> {
    let words: Vec<&str> = text.split_whitespace().collect();
    (1..words.len()).find_map(|cut| {
        let (one, two) = words.split_at_checked(cut)?;
        match (read_sheet_text(&one.join(" ")), read_sheet_text(&two.join(" "))) {
            (Ok(RecoverySheetText::Half(one)), Ok(RecoverySheetText::Half(two))) => {
                RecoveryCode::of_halves(&one, &two).ok()
            }
            _ => None,
        }
    })
}
