//! Unlocks encrypted records without the pages: by a key file, a credential of the system, its keyring, or what is
//! typed at the terminal. A passphrase is never taken from the command line or the environment, where others see it.

use crate::{
    access::AccessNeed,
    cli::{Command, DataArgs},
    exit::Failure,
    folder_key::{self, not_unlocked},
    keyring_store,
};
use safekeeping::{KeyFileSecret, KeySlotKind, KeySlots, RecordsKey, SafekeepingError, UnlockSecret};
use std::{
    fs,
    io::{BufRead, IsTerminal},
    path::{Path, PathBuf},
};
use zeroize::Zeroizing;

/// The folder of a service's credentials, set by systemd ("Credentials", systemd.exec(5)).
const CREDENTIALS: &str = "CREDENTIALS_DIRECTORY";
/// The name of the credential.
const CREDENTIAL: &str = "plantigrade-key";
/// Tries at the terminal.
const TRIES: usize = 3;

/// How the records are when the server starts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AtStart {
    /// Not encrypted.
    Plain,
    /// Encrypted, and unlocked.
    Unlocked,
    /// Encrypted and locked, with what did not work.
    Locked(Vec<String>),
}

/// Unlocks the records that a command uses; nothing for a command that needs no right, because it uses none.
///
/// # Errors
/// When they are encrypted and cannot be unlocked.
pub fn for_command(command: &Command) -> Result<(), Failure> {
    if command.needs() == AccessNeed::Nothing {
        return Ok(());
    }
    command.signed().map_or(Ok(()), |signed| here(&signed.data))
}

/// Unlocks the records in the folder of a command.
///
/// # Errors
/// As [`for_command`].
pub fn here(data: &DataArgs) -> Result<(), Failure> {
    let dir = data.dir()?;
    let Some(slots) = folder_key::slots(&dir)? else { return Ok(()) };
    let key = match without_person(&slots, data.key_file.as_deref(), &dir) {
        (Some(key), _) => key,
        (None, troubles) => match troubles.into_iter().next() {
            Some(first) => return Err(Failure::locked(first)),
            None => at_terminal(&slots)?,
        },
    };
    folder_key::remember(&dir, key);
    Ok(())
}

/// The same for the server, which can be unlocked on its page as well.
///
/// # Errors
/// When the slots cannot be read.
pub fn at_start(dir: &Path, key_file: Option<&Path>) -> Result<AtStart, Failure> {
    let Some(slots) = folder_key::slots(dir)? else { return Ok(AtStart::Plain) };
    let (key, troubles) = without_person(&slots, key_file, dir);
    let Some(key) = key.or_else(|| troubles.is_empty().then(|| at_terminal(&slots).ok()).flatten()) else {
        return Ok(AtStart::Locked(troubles));
    };
    folder_key::remember(dir, key);
    Ok(AtStart::Unlocked)
}

/// The key by what needs nobody, and what did not work.
fn without_person(
    slots: &KeySlots,
    key_file: Option<&Path>,
    dir: &Path,
) -> (Option<RecordsKey>, Vec<String>) {
    let mut troubles = Vec::new();
    let credential = std::env::var_os(CREDENTIALS).map(|folder| PathBuf::from(folder).join(CREDENTIAL));
    let files = key_file.map(Path::to_owned).into_iter().chain(credential.filter(|file| file.exists()));
    for file in files {
        match by_file(slots, &file) {
            Ok(key) => return (Some(key), Vec::new()),
            Err(trouble) => troubles.push(trouble),
        }
    }
    if keyring_store::is_used(slots) {
        match keyring_store::read(dir).and_then(|text| by_text(slots, &text)) {
            Ok(key) => return (Some(key), Vec::new()),
            Err(trouble) => {
                troubles.push(format!("The system’s keyring did not unlock the records: {trouble}"))
            }
        }
    }
    (None, troubles)
}

fn by_file(slots: &KeySlots, file: &Path) -> Result<RecordsKey, String> {
    let text = fs::read_to_string(file)
        .map(Zeroizing::new)
        .map_err(|error| format!("The key file {} cannot be read: {error}.", file.display()))?;
    by_text(slots, &text).map_err(|why| format!("{}: {why}", file.display()))
}

fn by_text(slots: &KeySlots, text: &str) -> Result<RecordsKey, String> {
    let secret: KeyFileSecret = text.parse().map_err(|error: SafekeepingError| error.to_string())?;
    slots.unlock_with_key_file(&secret).map_err(|error| error.to_string())
}

/// Asks at the terminal.
fn at_terminal(slots: &KeySlots) -> Result<RecordsKey, Failure> {
    if !std::io::stdin().is_terminal() {
        return Err(Failure::locked(
            "The records are encrypted. Run this at a terminal to type the passphrase, or name a key file with --key-file.",
        ));
    }
    let mut last = None;
    for _ in 0..TRIES {
        let typed = prompt("Passphrase of the records, or recovery code: ")?;
        match UnlockSecret::typed(&typed, None).and_then(|secret| secret.unlock(slots)) {
            Ok(key) => return Ok(key),
            Err(error) => {
                eprintln!("{error}");
                last = Some(error);
            }
        }
    }
    Err(last.map_or_else(|| Failure::locked("Nothing was typed."), not_unlocked))
}

fn prompt(text: &str) -> Result<Zeroizing<String>, Failure> {
    rpassword::prompt_password(text)
        .map(Zeroizing::new)
        .map_err(|error| Failure::failed(format!("The passphrase could not be read: {error}.")))
}

/// A new passphrase, typed twice at the terminal or on two lines of standard input.
///
/// # Errors
/// When none is given, it is too easy to guess, or the two differ.
pub fn new_passphrase(from_stdin: bool) -> Result<Zeroizing<String>, Failure> {
    let (first, second) = if from_stdin {
        (line()?, line()?)
    } else if std::io::stdin().is_terminal() {
        eprintln!("{}", crate::auth::PASSPHRASE_HINT);
        (prompt("New passphrase of the records: ")?, prompt("Once more: ")?)
    } else {
        return Err(Failure::usage(
            "There is no terminal to type the passphrase at: give it twice, on two lines of standard input, with --passphrase-stdin.",
        ));
    };
    crate::auth::judge_passphrase(&[crate::auth::PROGRAM_WORDS], &first, &second)
        .map_err(|error| Failure::refused(error.to_string()))?;
    Ok(first)
}

fn line() -> Result<Zeroizing<String>, Failure> {
    let mut line = Zeroizing::new(String::new());
    std::io::stdin()
        .lock()
        .read_line(&mut line)
        .map_err(|error| Failure::failed(format!("The passphrase could not be read: {error}.")))?;
    Ok(Zeroizing::new(line.trim_end_matches(['\r', '\n']).to_owned()))
}

/// What can unlock the records, in words.
#[must_use]
pub fn words(slots: &KeySlots) -> Vec<String> {
    let one = |kind: KeySlotKind, label: &str| match kind {
        KeySlotKind::KeyFile if label == keyring_store::LABEL => {
            "the keyring of this computer’s system".to_owned()
        }
        KeySlotKind::KeyFile => format!("the key file “{label}”"),
        KeySlotKind::Passphrase => "the passphrase".to_owned(),
        KeySlotKind::RecoveryCode => "the recovery code on its sheet".to_owned(),
    };
    slots.list().iter().map(|slot| one(slot.kind, &slot.label)).collect()
}
