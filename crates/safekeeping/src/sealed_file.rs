//! Small files that are encrypted whole: ChaCha20-Poly1305 (RFC 8439) with a key for each file.
//!
//! A sealed file is `PLSEAL1\n`, 32 random bytes, and the encrypted text with its tag. The key of the file is the
//! BLAKE3 keyed hash of the random bytes, so that no key encrypts twice and the nonce can be zero. The name of
//! the file is authenticated with it: a sealed file under another name does not open.

use crate::error::SafekeepingError;
use ring::aead::{Aad, CHACHA20_POLY1305, LessSafeKey, Nonce, UnboundKey};
use zeroize::Zeroizing;

const MAGIC: &[u8; 8] = b"PLSEAL1\n";
const SALT: usize = 32;

/// The key with which files are sealed.
#[derive(Clone)]
pub struct SealKey {
    bytes: Zeroizing<[u8; 32]>,
}

impl SealKey {
    pub(crate) fn new(bytes: Zeroizing<[u8; 32]>) -> Self {
        Self { bytes }
    }

    fn of_file(&self, salt: &[u8; SALT]) -> Result<LessSafeKey, SafekeepingError> {
        let bytes = Zeroizing::new(*blake3::keyed_hash(&self.bytes, salt).as_bytes());
        let key = UnboundKey::new(&CHACHA20_POLY1305, bytes.as_slice());
        key.map(LessSafeKey::new).map_err(|_| SafekeepingError::Failed("no cipher".to_owned()))
    }
}

impl std::fmt::Debug for SealKey {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        to.write_str("SealKey(…)")
    }
}

/// The sealed form of a file of this name.
///
/// # Errors
/// When the cipher fails, as for a text of more than 256 GB.
pub fn seal(key: &SealKey, name: &str, plain: &[u8]) -> Result<Vec<u8>, SafekeepingError> {
    let mut salt = [0; SALT];
    rand::fill(&mut salt[..]);
    let mut text = Zeroizing::new(plain.to_vec());
    let nonce = Nonce::assume_unique_for_key([0; 12]);
    let tag = key.of_file(&salt)?.seal_in_place_separate_tag(nonce, Aad::from(name), text.as_mut_slice());
    let tag = tag.map_err(|_| SafekeepingError::Failed("too long to encrypt".to_owned()))?;
    Ok([MAGIC.as_slice(), &salt, &text, tag.as_ref()].concat())
}

/// The text of a sealed file of this name.
///
/// # Errors
/// [`SafekeepingError::NotGenuine`] when it was changed, cut, is not sealed, has another name or key.
pub fn open_sealed(key: &SealKey, name: &str, sealed: &[u8]) -> Result<Zeroizing<Vec<u8>>, SafekeepingError> {
    let rest = sealed.strip_prefix(MAGIC).ok_or(SafekeepingError::NotGenuine)?;
    let (salt, text) = rest.split_first_chunk::<SALT>().ok_or(SafekeepingError::NotGenuine)?;
    let mut text = Zeroizing::new(text.to_vec());
    let nonce = Nonce::assume_unique_for_key([0; 12]);
    let plain = key.of_file(salt)?.open_in_place(nonce, Aad::from(name), text.as_mut_slice());
    let length = plain.map_err(|_| SafekeepingError::NotGenuine)?.len();
    text.truncate(length);
    Ok(text)
}

/// Whether a file is sealed, by its first bytes.
#[must_use]
pub fn is_sealed(bytes: &[u8]) -> bool {
    bytes.starts_with(MAGIC)
}
