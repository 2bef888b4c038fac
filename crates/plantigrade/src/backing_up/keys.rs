//! The key of backups.
//!
//! Where the records are not encrypted, backups are all the same. Their key is then locked by a passphrase and a
//! recovery code, and by a key file beside the records, so that the schedule and the drill can use it: the records lie
//! there unencrypted, so nothing is lost by it. Every backup has the slots, not the key file.

use super::{BackupRefused, at};
use crate::{folder_key, kept_file::write_bytes};
use safekeeping::{KeyFileSecret, KeySlots, RecordsKey, RecoveryCode};
use std::{fs, io::ErrorKind, path::Path};
use zeroize::Zeroizing;

/// The slots of the key of backups, where the records are not encrypted.
pub const SLOTS: &str = "backup-key-slots.json";
/// The key file beside them.
pub const KEY_FILE: &str = "backup.key";
const ENCRYPTED: &str = "The records are encrypted: their passphrase and their recovery code open the backups too, and are changed on the page “Encryption”.";
const LABEL: &str = "beside the records";

/// The key of a clinic's backups, with its slots.
#[derive(Debug, Clone)]
pub struct BackupKeys {
    /// The key.
    pub key: RecordsKey,
    /// Its slots, which go with every backup.
    pub slots: KeySlots,
}

impl BackupKeys {
    /// The key of the backups of a data folder; `None` where backups are not set up.
    ///
    /// # Errors
    /// When a file of the key is missing, damaged, or does not fit.
    pub fn of(dir: &Path) -> Result<Option<Self>, BackupRefused> {
        // Where the records are encrypted, their own key opens the backups too.
        if let (Some(slots), Some(key)) = (folder_key::slots(dir)?, folder_key::key_of(dir)?) {
            // The key of backups from before they were encrypted may not lie beside them any longer.
            let file = dir.join(KEY_FILE);
            if file.exists() {
                fs::remove_file(&file).map_err(at(&file))?;
            }
            return Ok(Some(Self { key, slots }));
        }
        let (slots, file) = (dir.join(SLOTS), dir.join(KEY_FILE));
        let text = match fs::read_to_string(&slots) {
            Ok(text) => text,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(at(&slots)(error)),
        };
        let slots = KeySlots::from_text(&text)?;
        let secret = Zeroizing::new(fs::read_to_string(&file).map_err(at(&file))?);
        let key = slots.unlock_with_key_file(&secret.parse()?)?;
        Ok(Some(Self { key, slots }))
    }

    /// The same, where backups must be set up.
    ///
    /// # Errors
    /// As [`BackupKeys::of`], and where they are not.
    pub fn needed(dir: &Path) -> Result<Self, BackupRefused> {
        Self::of(dir)?.ok_or_else(|| {
            BackupRefused(
                "Backups are not set up: a lead chooses a passphrase on the page “Backups” first.".to_owned(),
            )
        })
    }

    /// Writes slots and key file into a data folder, readable by the owner only. A key file that opens the slots
    /// stays.
    ///
    /// # Errors
    /// When the disk fails.
    pub fn write(&mut self, dir: &Path) -> Result<(), BackupRefused> {
        let file = dir.join(KEY_FILE);
        let there = fs::read_to_string(&file).ok().and_then(|text| text.parse::<KeyFileSecret>().ok());
        if there.is_none_or(|secret| self.slots.unlock_with_key_file(&secret).is_err()) {
            let secret = KeyFileSecret::new();
            self.slots.set_key_file(&self.key, LABEL, &secret)?;
            // Before the slots, which could otherwise not be opened by the schedule.
            write_bytes(&file, secret.to_text().as_bytes()).map_err(at(&file))?;
        }
        let slots = dir.join(SLOTS);
        write_bytes(&slots, self.slots.to_text()?.as_bytes()).map_err(at(&slots))
    }

    /// A new recovery code in place of the earlier one; backups made before still open with the earlier one.
    ///
    /// # Errors
    /// When the disk fails.
    pub fn new_recovery_code(&mut self, dir: &Path) -> Result<RecoveryCode, BackupRefused> {
        if folder_key::is_encrypted(dir) {
            return Err(BackupRefused(ENCRYPTED.to_owned()));
        }
        let code = RecoveryCode::new();
        self.slots.set_recovery_code(&self.key, &code)?;
        self.write(dir)?;
        Ok(code)
    }
}

/// Sets up the key of backups with a passphrase, or changes the passphrase; where the key file is lost, the present
/// passphrase makes it anew. Returns the recovery code of a new key.
///
/// # Errors
/// When the disk fails.
pub fn set_up(dir: &Path, passphrase: &str) -> Result<Option<RecoveryCode>, BackupRefused> {
    if folder_key::is_encrypted(dir) {
        return Err(BackupRefused(ENCRYPTED.to_owned()));
    }
    match BackupKeys::of(dir) {
        Ok(Some(mut keys)) => {
            keys.slots.set_passphrase(&keys.key, passphrase)?;
            keys.write(dir)?;
            return Ok(None);
        }
        Ok(None) => {}
        // The key file is lost or damaged: whoever knows the passphrase makes it anew.
        Err(refused) => {
            let slots = fs::read_to_string(dir.join(SLOTS)).map_err(|_| refused.clone())?;
            let slots = KeySlots::from_text(&slots)?;
            let key = slots.unlock_with_passphrase(passphrase)?;
            BackupKeys { key, slots }.write(dir)?;
            return Ok(None);
        }
    }
    let key = RecordsKey::new();
    let mut keys = BackupKeys { slots: KeySlots::new(&key), key };
    keys.slots.set_passphrase(&keys.key, passphrase)?;
    keys.new_recovery_code(dir).map(Some)
}
