//! The key slots of a folder as they are changed, and the recovery sheet.

use crate::{exit::Failure, folder_key::not_unlocked, kept_file::write_bytes, rewriting::NewKey};
use safekeeping::{KeySlots, RecordsKey, RecoveryCode, SLOTS_FILE};
use std::path::Path;

/// A new key with a passphrase and a recovery code.
///
/// # Errors
/// When the computation fails.
pub fn new_key(passphrase: &str) -> Result<(NewKey, RecoveryCode), Failure> {
    let (key, code) = (RecordsKey::new(), RecoveryCode::new());
    let mut slots = KeySlots::new(&key);
    slots.set_passphrase(&key, passphrase).map_err(not_unlocked)?;
    slots.set_recovery_code(&key, &code).map_err(not_unlocked)?;
    Ok((NewKey { key, slots }, code))
}

/// Saves the slots of a folder. When this returns they are on the disk.
///
/// # Errors
/// When the file cannot be written; the earlier slots then remain.
pub fn save(dir: &Path, slots: &KeySlots) -> Result<(), Failure> {
    let text = slots.to_text().map_err(not_unlocked)?;
    write_bytes(&dir.join(SLOTS_FILE), text.as_bytes())
        .map_err(|error| Failure::failed(format!("{SLOTS_FILE} cannot be written: {error}.")))
}

/// The groups of a recovery code as they are printed: on one sheet, or on two for two people.
pub struct SheetGroups {
    /// The groups of each sheet.
    pub sheets: Vec<Vec<String>>,
}

impl SheetGroups {
    /// The sheets of a code; two halves are different ones at each call.
    #[must_use]
    pub fn of(code: &RecoveryCode, split: bool) -> Self {
        if !split {
            return Self { sheets: vec![code.groups()] };
        }
        let (first, second) = code.halves();
        Self { sheets: vec![first.groups(), second.groups()] }
    }

    /// The last group of the last sheet, which a person types to confirm that all of it is on paper.
    #[must_use]
    pub fn last_group(&self) -> Option<&str> {
        self.sheets.last()?.last().map(String::as_str)
    }

    /// The sheets as plain text, with a new page between them.
    #[must_use]
    pub fn text(&self, clinic: &str, dir: &Path) -> String {
        let many = self.sheets.len();
        let sheets = self.sheets.iter().zip(1..).map(|(groups, number)| {
            let title = if many == 1 {
                "RECOVERY CODE OF THE RECORDS".to_owned()
            } else {
                format!("RECOVERY CODE OF THE RECORDS, HALF {number} OF {many}")
            };
            let half = if many == 1 {
                "Whoever has this sheet and the records can read them."
            } else {
                "This half opens nothing without the other. Two people keep them in two places."
            };
            format!(
                "{title}\n\nClinic: {clinic}\nFolder: {}\n\n    {}\n    {}\n\n{half} Keep it where the records are not, for instance in a sealed\nenvelope in a safe. It is for the day on which the passphrase is lost: type it\nin its place, then choose a new passphrase. Spaces, dashes and capitals do not\nmatter. A typing error is found, and the group is named.\n",
                dir.display(),
                groups.get(..4).unwrap_or_default().join("  "),
                groups.get(4..).unwrap_or_default().join("  "),
            )
        });
        sheets.collect::<Vec<_>>().join("\u{c}\n")
    }
}
