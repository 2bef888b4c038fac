//! `encrypt`, `change-key` and `recovery-sheet`.

use super::print;
use crate::{
    app,
    cli::{ChangeKeyArgs, EncryptArgs, RecoverySheetArgs, SheetArgs},
    copies,
    exit::Failure,
    folder_key::{self, not_unlocked},
    key_slots, keyring_store,
    rewriting::{Rewritten, rewrite},
    settings::Settings,
    unlock,
};
use clinic::{ArchiveError, CAN_ENCRYPT, ClinicRecords, FILE_NAME};
use safekeeping::{KeyFileSecret, KeySlotKind, KeySlots, RecordsKey, RecoveryCode};
use std::{
    fs::{self, OpenOptions},
    io::{BufRead, IsTerminal, Write},
    path::Path,
};

/// Encrypts records that are not encrypted.
///
/// # Errors
/// When they are encrypted or open, no copy can be made, no passphrase is given, or a file cannot be written.
pub fn encrypt(args: &EncryptArgs) -> Result<(), Failure> {
    let dir = args.signed.data.dir()?;
    if !CAN_ENCRYPT {
        return Err(Failure::failed(
            "This build of the program has no encryption. Use the program as it is shipped, or build it with the feature “encryption”.",
        ));
    }
    if folder_key::slots(&dir)?.is_some() {
        return Err(Failure::refused(
            "These records are encrypted already. To change the key: plantigrade change-key.",
        ));
    }
    if !dir.join(FILE_NAME).is_file() {
        return Err(ArchiveError::NoRecords(dir).into());
    }
    if let Some(folder) = &args.backup {
        back_up(&dir, folder)?;
    }
    let passphrase = unlock::new_passphrase(args.passphrase_stdin)?;
    let (mut new, code) = key_slots::new_key(&passphrase)?;
    hand_out(&dir, &code, &args.sheet)?;
    if let Some(file) = &args.new_key_file {
        make_key_file(file, (&new.key, &mut new.slots))?;
    }
    print(&done_words("encrypted", &rewrite(&dir, &new)?))
}

/// Copies the records as they are, and checks the copy.
fn back_up(dir: &Path, folder: &Path) -> Result<(), Failure> {
    let failed =
        |error: std::io::Error| Failure::failed(format!("{} cannot be written: {error}.", folder.display()));
    if folder.exists() && fs::read_dir(folder).map_err(failed)?.next().is_some() {
        return Err(Failure::refused(format!(
            "{} is not empty: name a new folder for the copy.",
            folder.display()
        )));
    }
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).map_err(failed)?;
    let protocol = app::protocol(dir)?;
    let records = ClinicRecords::open_for_reading(dir, protocol.clone(), None)?;
    records.back_up(&folder.join(FILE_NAME))?;
    records.access_log_beside().copy_to(folder)?;
    records.pictures_in(dir).copy_to(folder)?;
    copies::copy_own_files(dir, folder).map_err(failed)?;
    let report = ClinicRecords::open_for_reading(folder, protocol, None)?.verify()?;
    if !report.is_sound() {
        return Err(Failure::failed(
            "The copy is not whole, so nothing was encrypted. Run “plantigrade verify”.",
        ));
    }
    print(&format!(
        "A copy is in {}. It is not encrypted: delete it once you trust the encrypted records.\n",
        folder.display()
    ))
}

/// Changes what unlocks the records, or their key.
///
/// # Errors
/// When they are not encrypted, or a file cannot be written.
pub fn change_key(args: &ChangeKeyArgs) -> Result<(), Failure> {
    let dir = args.signed.data.dir()?;
    let (key, mut slots) = unlocked(&dir)?;
    if args.records_key {
        return change_records_key(&dir, args, &slots);
    }
    if let Some(file) = &args.new_key_file {
        make_key_file(file, (&key, &mut slots))?;
        return key_slots::save(&dir, &slots);
    }
    if args.keyring {
        let secret = KeyFileSecret::new();
        keyring_store::save(&dir, &secret.to_text())
            .map_err(|why| Failure::failed(format!("The keyring could not be used: {why}")))?;
        slots.set_key_file(&key, keyring_store::LABEL, &secret).map_err(not_unlocked)?;
        key_slots::save(&dir, &slots)?;
        return print("The keyring of this computer’s system now unlocks the records.\n");
    }
    if let Some(name) = &args.remove_key_file {
        if !slots.remove(KeySlotKind::KeyFile, name) {
            return Err(Failure::refused(format!("There is no key file “{name}”.")));
        }
        key_slots::save(&dir, &slots)?;
        if name == keyring_store::LABEL
            && let Err(why) = keyring_store::delete(&dir)
        {
            eprintln!("The entry in the keyring could not be deleted: {why} It opens nothing any more.");
        }
        return print(&format!("The key file “{name}” no longer unlocks the records.\n"));
    }
    let passphrase = unlock::new_passphrase(args.passphrase_stdin)?;
    slots.set_passphrase(&key, &passphrase).map_err(not_unlocked)?;
    key_slots::save(&dir, &slots)?;
    print("The passphrase is changed. The earlier one still opens backups that were made before.\n")
}

fn unlocked(dir: &Path) -> Result<(RecordsKey, KeySlots), Failure> {
    let plain = || Failure::refused("These records are not encrypted. To encrypt them: plantigrade encrypt.");
    let slots = folder_key::slots(dir)?.ok_or_else(plain)?;
    Ok((folder_key::key_of(dir)?.ok_or_else(plain)?, slots))
}

fn change_records_key(dir: &Path, args: &ChangeKeyArgs, slots: &KeySlots) -> Result<(), Failure> {
    let files: Vec<String> = slots
        .list()
        .into_iter()
        .filter(|slot| slot.kind == KeySlotKind::KeyFile)
        .map(|slot| slot.label)
        .collect();
    let passphrase = unlock::new_passphrase(args.passphrase_stdin)?;
    let (mut new, code) = key_slots::new_key(&passphrase)?;
    hand_out(dir, &code, &args.sheet)?;
    if let Some(file) = &args.new_key_file {
        make_key_file(file, (&new.key, &mut new.slots))?;
    }
    print(&done_words("encrypted with a new key", &rewrite(dir, &new)?))?;
    if files.is_empty() {
        return Ok(());
    }
    print(&format!("These key files no longer unlock them; make new ones: {}.\n", files.join(", ")))
}

fn make_key_file(file: &Path, (key, slots): (&RecordsKey, &mut KeySlots)) -> Result<(), Failure> {
    let secret = KeyFileSecret::new();
    let label = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
    if label == keyring_store::LABEL {
        return Err(Failure::refused("“keyring” is the name of the system’s keyring: choose another name."));
    }
    write_private(file, secret.to_text().as_bytes())?;
    slots.set_key_file(key, &label, &secret).map_err(not_unlocked)?;
    print(&format!(
        "{} unlocks the records: --key-file, PLANTIGRADE_KEY_FILE, or a credential “plantigrade-key” of the system. Keep it on another disk than the records.\n",
        file.display()
    ))
}

/// Makes a new recovery code.
///
/// # Errors
/// When the records are not encrypted, or a file cannot be written.
pub fn recovery_sheet(args: &RecoverySheetArgs) -> Result<(), Failure> {
    let dir = args.signed.data.dir()?;
    let (key, mut slots) = unlocked(&dir)?;
    let code = RecoveryCode::new();
    slots.set_recovery_code(&key, &code).map_err(not_unlocked)?;
    hand_out(&dir, &code, &args.sheet)?;
    key_slots::save(&dir, &slots)?;
    print("The new recovery code unlocks the records. Destroy the earlier sheet: its code no longer does.\n")
}

/// Gives the recovery code to the person: in a file, or at the terminal, where its last group is asked for.
fn hand_out(dir: &Path, code: &RecoveryCode, how: &SheetArgs) -> Result<(), Failure> {
    let sheet = key_slots::SheetGroups::of(code, how.split);
    let text = sheet.text(&Settings::read(dir)?.name, dir);
    if let Some(file) = &how.sheet {
        write_private(file, text.as_bytes())?;
        return print(&format!(
            "The recovery sheet is in {}. Print it, and delete the file.\n",
            file.display()
        ));
    }
    if !std::io::stdin().is_terminal() {
        return Err(Failure::usage("Name a file for the recovery sheet with --sheet."));
    }
    print(&text)?;
    eprint!("Type the last group of the sheet, once it is on paper: ");
    let mut typed = String::new();
    let read = std::io::stderr().flush().and_then(|()| std::io::stdin().lock().read_line(&mut typed));
    read.map_err(|error| Failure::failed(format!("The group could not be read: {error}.")))?;
    if sheet.last_group().is_some_and(|group| group.eq_ignore_ascii_case(typed.trim())) {
        return Ok(());
    }
    Err(Failure::refused("This is not the last group of the code. Nothing was changed."))
}

fn write_private(file: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let written = options.open(file).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    written.map_err(|error| Failure::failed(format!("{} cannot be written: {error}.", file.display())))
}

fn done_words(what: &str, done: &Rewritten) -> String {
    let mut text = format!(
        "{} entries of {} children are {what} and were compared with those before. The earlier files were overwritten.\n",
        done.entries, done.children
    );
    if !done.left.is_empty() {
        text.push_str(&format!(
            "These files in the folder are not the program’s, and are not encrypted: {}.\n",
            done.left.join(", ")
        ));
    }
    text
}
