//! A key in the keyring of the operating system: Secret Service on Linux, Keychain on macOS, Credential Manager on
//! Windows. Asked only where the records have a slot for it.

use safekeeping::{KeySlotKind, KeySlots};
use std::path::Path;
use zeroize::Zeroizing;

/// The label of its slot.
pub const LABEL: &str = "keyring";

/// Whether records can be unlocked by the keyring.
#[must_use]
pub fn is_used(slots: &KeySlots) -> bool {
    slots.list().iter().any(|slot| slot.kind == KeySlotKind::KeyFile && slot.label == LABEL)
}

/// The key file text for a folder from the keyring.
///
/// # Errors
/// A sentence, when there is no keyring, it does not answer, or it has no such entry.
pub fn read(dir: &Path) -> Result<Zeroizing<String>, String> {
    store::answered(dir, |entry| entry.get_password().map(Zeroizing::new))
}

/// Saves the key file text for a folder.
///
/// # Errors
/// As [`read`].
pub fn save(dir: &Path, text: &str) -> Result<(), String> {
    let text = Zeroizing::new(text.trim().to_owned());
    store::answered(dir, move |entry| entry.set_password(&text))
}

/// Deletes the entry of a folder.
///
/// # Errors
/// As [`read`].
pub fn delete(dir: &Path) -> Result<(), String> {
    store::answered(dir, |entry| entry.delete_credential())
}

#[cfg(feature = "encryption")]
mod store {
    use keyring::{Entry, Error};
    use std::{path::Path, sync::mpsc, time::Duration};

    /// The name under which the entries are listed.
    const SERVICE: &str = "Plantigrade";
    /// A keyring may ask the person first.
    const LONGEST: Duration = Duration::from_secs(60);

    /// Asks on a thread of its own, because the library waits by itself, and a keyring may never answer.
    pub fn answered<T: Send + 'static>(
        dir: &Path,
        ask: impl FnOnce(&Entry) -> Result<T, Error> + Send + 'static,
    ) -> Result<T, String> {
        let folder = dir.canonicalize().unwrap_or_else(|_| dir.to_owned()).display().to_string();
        let (answer, answered) = mpsc::channel();
        std::thread::spawn(move || {
            let done = Entry::new(SERVICE, &folder).and_then(|entry| ask(&entry));
            // Whoever asked may have given up.
            let _ = answer.send(done.map_err(|error| sentence(&error)));
        });
        answered.recv_timeout(LONGEST).unwrap_or_else(|_| Err("it did not answer.".to_owned()))
    }

    fn sentence(error: &Error) -> String {
        match error {
            Error::NoEntry => "it is locked, or has no key for this folder.".to_owned(),
            Error::NoDefaultStore => "this system has no keyring that can be reached.".to_owned(),
            other => format!("{other}."),
        }
    }
}

#[cfg(not(feature = "encryption"))]
mod store {
    use std::path::Path;

    /// Stands for an entry: this build has none.
    pub enum NoEntry {}

    impl NoEntry {
        pub fn get_password(&self) -> Result<String, ()> {
            match *self {}
        }

        pub fn set_password(&self, _: &str) -> Result<(), ()> {
            match *self {}
        }

        pub fn delete_credential(&self) -> Result<(), ()> {
            match *self {}
        }
    }

    pub fn answered<T>(_: &Path, _: impl FnOnce(&NoEntry) -> Result<T, ()>) -> Result<T, String> {
        Err("this build of the program has no encryption.".to_owned())
    }
}
