//! The pages of a file that SQLCipher 4 encrypted, decrypted without SQLCipher, so that a damaged page costs no other.
//!
//! After the description of its format (zetetic.net/sqlcipher/design, “Security Design”, with the settings of
//! version 4): AES-256 in CBC mode for each page; at the end of a page 80 bytes, the first 16 of them the
//! initialisation vector, then 64 of HMAC-SHA512 over the encrypted bytes, the vector and the number of the page
//! (four bytes, little end first). The key of the HMAC is PBKDF2-HMAC-SHA512 of the key in two rounds, salted with
//! the salt of the file, each byte of it changed by 0x3a. The salt is the first 16 bytes of the file, which are not
//! encrypted. Pages in the write-ahead log are encrypted alike. Compared with SQLCipher itself by the tests below and
//! those of salvage.

use crate::database_key::{DatabaseKey, PLAIN_START};
use aes::Aes256;
use cbc::cipher::{BlockDecryptMut, KeyIvInit, block_padding::NoPadding};
use ring::{hmac, pbkdf2};
use std::{io::Read, num::NonZeroU32, path::Path};
use zeroize::Zeroizing;

/// The size of a page, which this program never changes.
pub(crate) const PAGE: usize = 4_096;
/// Bytes at the end of a page that hold no data.
pub(crate) const RESERVED: usize = 80;
const VECTOR: usize = 16;
const SALT: usize = 16;
const SALT_CHANGE: u8 = 0x3a;
const ROUNDS: NonZeroU32 = NonZeroU32::MIN.saturating_add(1);
/// Pages that are looked at to tell a wrong key from damage.
const LOOKED_AT: usize = 64;

/// What is needed to decrypt the pages of one file.
pub(crate) struct PageCipher {
    key: DatabaseKey,
    mac: hmac::Key,
    /// Whether the salt is the one with which the pages were written. If its bytes are damaged no page passes the
    /// check, though the key fits; pages are then taken unchecked, as in a file that is not encrypted.
    checks: bool,
}

impl PageCipher {
    /// For a file, and the frames of its log. `newer` are pages from the log.
    pub(crate) fn of(key: &DatabaseKey, bytes: &[u8], newer: &[(usize, &[u8])]) -> Self {
        let of_salt = |salt: &[u8]| Self { key: key.clone(), mac: mac_key(key, salt), checks: true };
        // The first page of the log has the salt too.
        let first = newer.iter().find(|(number, _)| *number == 1).map(|(_, page)| *page);
        let salts = [Some(bytes), first].into_iter().flatten().filter_map(|page| page.get(..SALT));
        let pages = || {
            let of_file = bytes.chunks_exact(PAGE).enumerate().map(|(at, page)| (at + 1, page));
            of_file.chain(newer.iter().copied())
        };
        for salt in salts {
            let cipher = of_salt(salt);
            if pages().any(|(number, page)| cipher.is_whole(number, page)) {
                return cipher;
            }
        }
        Self { checks: false, ..of_salt(bytes.get(..SALT).unwrap_or_default()) }
    }

    fn is_whole(&self, number: usize, page: &[u8]) -> bool {
        let from = if number == 1 { SALT } else { 0 };
        let Some((data, code)) = page.get(from..).and_then(|page| page.split_at_checked(PAGE - from - 64))
        else {
            return false;
        };
        let Ok(number) = u32::try_from(number) else { return false };
        let mut covered = data.to_vec();
        covered.extend_from_slice(&number.to_le_bytes());
        hmac::verify(&self.mac, &covered, code).is_ok()
    }

    /// A page as SQLite has it, with 80 unused bytes at its end; `None` if it is not as it was written.
    pub(crate) fn decrypt(&self, number: usize, page: &[u8]) -> Option<Vec<u8>> {
        if page.len() != PAGE || (self.checks && !self.is_whole(number, page)) {
            return None;
        }
        let from = if number == 1 { SALT } else { 0 };
        let end = PAGE - RESERVED;
        let vector = page.get(end..end + VECTOR)?;
        let mut plain = page.get(from..end)?.to_vec();
        let cipher = cbc::Decryptor::<Aes256>::new_from_slices(self.key.bytes(), vector).ok()?;
        cipher.decrypt_padded_mut::<NoPadding>(&mut plain).ok()?;
        let start = if number == 1 { &PLAIN_START[..] } else { &[] };
        Some([start, &plain, &[0; RESERVED]].concat())
    }
}

fn mac_key(key: &DatabaseKey, salt: &[u8]) -> hmac::Key {
    let salt: Vec<u8> = salt.iter().map(|byte| byte ^ SALT_CHANGE).collect();
    let mut derived = Zeroizing::new([0; 32]);
    pbkdf2::derive(pbkdf2::PBKDF2_HMAC_SHA512, ROUNDS, &salt, key.bytes(), &mut *derived);
    hmac::Key::new(hmac::HMAC_SHA512, &*derived)
}

/// Whether a file that does not open was written with this key, so that it is damaged, or with another. Where its
/// first bytes are damaged too, the pages tell: decrypted with another key they begin with any byte, with their own
/// with one of a few (sqlite.org/fileformat2.html, section 1.6).
pub(crate) fn fits(path: &Path, key: &DatabaseKey) -> bool {
    let mut bytes = Vec::new();
    let most = (PAGE * LOOKED_AT) as u64;
    if std::fs::File::open(path).and_then(|file| file.take(most).read_to_end(&mut bytes)).is_err() {
        return false;
    }
    let cipher = PageCipher::of(key, &bytes, &[]);
    if cipher.checks {
        return true;
    }
    let pages = bytes.chunks_exact(PAGE).enumerate().skip(1);
    let kinds: Vec<u8> =
        pages.filter_map(|(at, page)| cipher.decrypt(at + 1, page)?.first().copied()).collect();
    let known = kinds.iter().filter(|kind| [0, 2, 5, 10, 13].contains(*kind)).count();
    kinds.len() >= 4 && known * 2 > kinds.len()
}
