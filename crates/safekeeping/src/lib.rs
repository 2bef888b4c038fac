//! The key of the records: how it is locked away, typed in from paper, and used.
//!
//! A clinic has one [`RecordsKey`] of 256 random bits. From it follow the keys of the database, of single files and
//! of backups, so that one secret opens everything and each of those keys reveals nothing about the others. The
//! key itself is never written down in the clear by this crate: [`KeySlots`] holds it encrypted once for every way
//! to unlock it (passphrase, recovery code, key file), as a file that may lie beside the records and goes with every
//! backup. [`RecoveryCode`] is the code on a printed sheet, whole or as two halves.
//!
//! ```
//! use safekeeping::{KeySlots, RecordsKey, RecoveryCode};
//!
//! let key = RecordsKey::new();
//! let mut slots = KeySlots::new(&key);
//! slots.set_passphrase(&key, "four quiet herons wading")?;
//! let code = RecoveryCode::new();
//! slots.set_recovery_code(&key, &code)?;
//!
//! let typed: RecoveryCode = code.to_string().parse()?;
//! assert!(slots.unlock_with_code(&typed)? == slots.unlock_with_passphrase("four quiet herons wading")?);
//! # Ok::<(), safekeeping::SafekeepingError>(())
//! ```

#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod check_letters;
mod error;
mod key;
mod key_file;
mod recovery_code;
mod sealed_file;
mod slots;
mod unlock_secret;

pub use error::SafekeepingError;
pub use key::RecordsKey;
pub use key_file::KeyFileSecret;
pub use recovery_code::{CodeHalf, RecoveryCode, RecoverySheetText, read_sheet_text};
pub use sealed_file::{SealKey, is_sealed, open_sealed, seal};
pub use slots::{KeySlotKind, KeySlots, SLOTS_FILE, SlotSummary};
pub use unlock_secret::UnlockSecret;
