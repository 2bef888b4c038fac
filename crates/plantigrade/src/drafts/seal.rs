//! Sealing of drafts: ChaCha20-Poly1305 (RFC 8439) under a key that HKDF with SHA-256 (RFC 5869) derives from the
//! clinic's secret, a new random salt and the person. Person and form are authenticated with the contents, so that a
//! draft that was moved to another person or another form does not open.

use crate::folder_key;
use record::UserId;
use ring::{
    aead::{Aad, CHACHA20_POLY1305, LessSafeKey, NONCE_LEN, Nonce, UnboundKey},
    hkdf::{HKDF_SHA256, Salt},
    hmac,
};
use safekeeping::{SealKey, is_sealed, open_sealed, seal};
use std::{
    fs::OpenOptions,
    io::{Error, ErrorKind, Read as _, Result, Write as _},
    path::{Path, PathBuf},
    sync::{Mutex, PoisonError},
};

/// The file with the secret within the data folder. Its ending keeps it out of the copies that the program makes.
pub const SECRET_FILE: &str = "drafts.key";

const SALT_BYTES: usize = 32;
/// More than the file ever has.
const MOST_BYTES: u64 = 256;

type Secret = [u8; 32];

/// The secret in its file, decrypted where it is encrypted.
fn plain(bytes: Vec<u8>, key: Option<&SealKey>) -> Result<Secret> {
    let bytes = match key {
        Some(key) if is_sealed(&bytes) => {
            open_sealed(key, SECRET_FILE, &bytes).map_err(Error::other)?.to_vec()
        }
        _ => bytes,
    };
    bytes.try_into().map_err(|_| Error::new(ErrorKind::InvalidData, "it has not 32 bytes"))
}

/// The file as it is with another key of the records.
///
/// # Errors
/// When it cannot be decrypted with the old one.
pub fn with_key(bytes: Vec<u8>, old: Option<&SealKey>, new: &SealKey) -> Result<Vec<u8>> {
    seal(new, SECRET_FILE, &plain(bytes, old)?).map_err(Error::other)
}

/// The clinic's secret, from which every person's key is derived. It is made when it is first needed.
pub struct DraftSecret {
    file: PathBuf,
    secret: Mutex<Option<Secret>>,
}

impl DraftSecret {
    /// The secret in a data folder.
    #[must_use]
    pub fn of(dir: &Path) -> Self {
        Self { file: dir.join(SECRET_FILE), secret: Mutex::default() }
    }

    /// Seals the contents of a form for its person.
    ///
    /// # Errors
    /// When the secret cannot be read or made.
    pub fn seal(&self, person: UserId, form: &str, contents: &[u8]) -> Result<Vec<u8>> {
        let (mut salt, mut nonce) = ([0; SALT_BYTES], [0; NONCE_LEN]);
        rand::fill(&mut salt[..]);
        rand::fill(&mut nonce[..]);
        let key = key(&self.secret()?, &salt, person).ok_or(ErrorKind::Other)?;
        let mut sealed = contents.to_vec();
        let nonce_used = Nonce::assume_unique_for_key(nonce);
        key.seal_in_place_append_tag(nonce_used, Aad::from(about(person, form)), &mut sealed)
            .map_err(|_| ErrorKind::Other)?;
        Ok([&salt[..], &nonce[..], &sealed[..]].concat())
    }

    /// Opens what was sealed for a person and a form; `None` if it was sealed for another, with another secret, or
    /// was changed since.
    ///
    /// # Errors
    /// When the secret cannot be read or made.
    pub fn open(&self, person: UserId, form: &str, sealed: &[u8]) -> Result<Option<Vec<u8>>> {
        let secret = self.secret()?;
        let opened = || {
            let (salt, rest) = sealed.split_first_chunk::<SALT_BYTES>()?;
            let (nonce, rest) = rest.split_first_chunk::<NONCE_LEN>()?;
            let key = key(&secret, salt, person)?;
            let mut contents = rest.to_vec();
            let nonce = Nonce::assume_unique_for_key(*nonce);
            let opened = key.open_in_place(nonce, Aad::from(about(person, form)), &mut contents);
            Some(opened.ok()?.to_vec())
        };
        Ok(opened())
    }

    /// What is hashed for a PIN instead of its few digits: it cannot be computed without the secret, so that a PIN
    /// cannot be found from the records alone.
    ///
    /// # Errors
    /// When the secret cannot be read or made.
    pub fn pin_text(&self, person: UserId, place: &[u8; 32], pin: &str) -> Result<String> {
        let key = hmac::Key::new(hmac::HMAC_SHA256, &self.secret()?);
        let person = person.uuid();
        let parts = [&b"plantigrade pin"[..], person.as_bytes(), place, pin.as_bytes()];
        let tag = hmac::sign(&key, &parts.concat());
        Ok(tag.as_ref().iter().map(|byte| format!("{byte:02x}")).collect())
    }

    /// The key of the hashes by which attempts to sign in are counted.
    ///
    /// # Errors
    /// When the secret cannot be read or made.
    pub fn attempts_key(&self) -> Result<[u8; 32]> {
        let key = hmac::Key::new(hmac::HMAC_SHA256, &self.secret()?);
        let tag = hmac::sign(&key, b"plantigrade sign-in attempts");
        tag.as_ref().try_into().map_err(|_| Error::from(ErrorKind::Other))
    }

    fn secret(&self) -> Result<Secret> {
        let mut known = self.secret.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(secret) = *known {
            return Ok(secret);
        }
        let secret = match read(&self.file) {
            Err(error) if error.kind() == ErrorKind::NotFound => made(&self.file)?,
            read => read?,
        };
        *known = Some(secret);
        Ok(secret)
    }
}

/// The key of a person. `None` only if the library refuses its length.
fn key(secret: &Secret, salt: &[u8; SALT_BYTES], person: UserId) -> Option<LessSafeKey> {
    let id = person.uuid();
    let info = [&b"plantigrade form draft"[..], id.as_bytes()];
    let derived = Salt::new(HKDF_SHA256, salt).extract(secret);
    let derived = derived.expand(&info, &CHACHA20_POLY1305).ok()?;
    Some(LessSafeKey::new(UnboundKey::from(derived)))
}

fn about(person: UserId, form: &str) -> Vec<u8> {
    [person.uuid().as_bytes(), form.as_bytes()].concat()
}

fn key_of_folder(file: &Path) -> Result<Option<SealKey>> {
    file.parent().map_or(Ok(None), folder_key::seal_key)
}

fn read(file: &Path) -> Result<Secret> {
    let mut bytes = Vec::new();
    OpenOptions::new().read(true).open(file)?.take(MOST_BYTES).read_to_end(&mut bytes)?;
    plain(bytes, key_of_folder(file)?.as_ref())
}

/// Makes the file, readable by its owner only. When this returns it is on the disk.
fn made(file: &Path) -> Result<Secret> {
    let mut secret: Secret = [0; 32];
    rand::fill(&mut secret[..]);
    let written = match key_of_folder(file)? {
        Some(key) => seal(&key, SECRET_FILE, &secret).map_err(Error::other)?,
        None => secret.to_vec(),
    };
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut made = options.open(file)?;
    made.write_all(&written)?;
    made.sync_all()?;
    file.parent().map_or(Ok(()), crate::kept_file::sync_folder)?;
    Ok(secret)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use uuid::Uuid;

    fn person(n: u128) -> UserId {
        UserId::new(Uuid::from_u128(n))
    }

    #[test]
    fn a_draft_opens_for_its_person_and_its_form_alone() {
        let dir = tempfile::tempdir().unwrap();
        let secret = DraftSecret::of(dir.path());
        let sealed = secret.seal(person(1), "/register", b"family_name=Vesterholt").unwrap();
        assert!(!sealed.windows(10).any(|part| part == b"Vesterholt"));
        let open = |who, form| secret.open(person(who), form, &sealed).unwrap();
        assert_eq!(open(1, "/register").as_deref(), Some(&b"family_name=Vesterholt"[..]));
        assert_eq!(open(2, "/register"), None, "moved to another person");
        assert_eq!(open(1, "/register2"), None, "moved to another form");
        let again = DraftSecret::of(dir.path());
        assert!(again.open(person(1), "/register", &sealed).unwrap().is_some(), "after a restart");
        let elsewhere = tempfile::tempdir().unwrap();
        let other = DraftSecret::of(elsewhere.path());
        assert_eq!(other.open(person(1), "/register", &sealed).unwrap(), None, "another clinic's secret");
    }

    #[test]
    fn no_byte_of_a_draft_can_be_changed_or_left_out() {
        let dir = tempfile::tempdir().unwrap();
        let secret = DraftSecret::of(dir.path());
        let sealed = secret.seal(person(1), "/register", b"x").unwrap();
        for at in 0..sealed.len() {
            let mut changed = sealed.clone();
            changed[at] ^= 1;
            assert_eq!(secret.open(person(1), "/register", &changed).unwrap(), None, "byte {at}");
            assert_eq!(secret.open(person(1), "/register", &sealed[..at]).unwrap(), None, "cut at {at}");
        }
        assert_ne!(sealed, secret.seal(person(1), "/register", b"x").unwrap(), "salt and nonce are new");
    }

    #[test]
    fn the_secret_is_for_its_owner_and_a_broken_one_is_not_replaced() {
        let dir = tempfile::tempdir().unwrap();
        DraftSecret::of(dir.path()).seal(person(1), "/register", b"x").unwrap();
        let file = dir.path().join(SECRET_FILE);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
        }
        std::fs::write(&file, b"short").unwrap();
        assert!(DraftSecret::of(dir.path()).seal(person(1), "/register", b"x").is_err());
        assert_eq!(std::fs::read(&file).unwrap(), b"short");
    }

    #[test]
    fn a_pin_is_another_text_for_every_person_and_device() {
        let dir = tempfile::tempdir().unwrap();
        let secret = DraftSecret::of(dir.path());
        let text = |who, place: u8| secret.pin_text(person(who), &[place; 32], "4071").unwrap();
        assert_eq!(text(1, 1), text(1, 1));
        assert!(text(1, 1) != text(2, 1) && text(1, 1) != text(1, 2) && !text(1, 1).contains("4071"));
    }
}
