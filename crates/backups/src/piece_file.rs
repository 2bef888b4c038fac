//! The file of a piece: a photograph with its small picture, or a part of a video, encrypted as a backup is.
//!
//! Inside are a line that says what it is, the kind (one byte), for each part its hash (BLAKE3, 32 bytes) and its length
//! (four bytes, the highest first), and then the parts. Nothing follows.

use crate::{
    error::{BackupError, damaged},
    piece_id::{PICTURE, PieceId, VIDEO},
    read::{of_age, of_reading},
};
use safekeeping::{RecordsKey, SafekeepingError};
use std::{
    io::{Read, Write},
    path::Path,
};

/// The beginning of the encrypted part.
const MAGIC: &[u8] = b"plantigrade piece 1\n";
/// A longer piece is none of ours: a kept photograph has a few megabytes at most, a piece of a video less.
pub(crate) const LONGEST_PIECE: u64 = 64 << 20;

/// The bytes of a piece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PieceContents {
    /// A picture, and the small one that belongs to it.
    Picture(Vec<u8>, Vec<u8>),
    /// A piece of a video.
    Video(Vec<u8>),
}

impl PieceContents {
    /// What identifies these bytes.
    #[must_use]
    pub fn id(&self) -> PieceId {
        let hash = |bytes: &[u8]| *blake3::hash(bytes).as_bytes();
        match self {
            Self::Picture(picture, small) => PieceId::Picture(hash(picture), hash(small)),
            Self::Video(piece) => PieceId::Video(hash(piece)),
        }
    }

    fn parts(&self) -> (u8, Vec<&[u8]>) {
        match self {
            Self::Picture(picture, small) => (PICTURE, vec![picture.as_slice(), small.as_slice()]),
            Self::Video(piece) => (VIDEO, vec![piece.as_slice()]),
        }
    }

    /// As it is written, before it is encrypted; `None` where it is too long.
    fn encoded(&self) -> Option<Vec<u8>> {
        let (kind, parts) = self.parts();
        let mut bytes = [MAGIC, [kind].as_slice()].concat();
        for part in &parts {
            bytes.extend_from_slice(blake3::hash(part).as_bytes());
            bytes.extend_from_slice(&u32::try_from(part.len()).ok()?.to_be_bytes());
        }
        parts.iter().for_each(|part| bytes.extend_from_slice(part));
        Some(bytes).filter(|bytes| bytes.len() as u64 <= LONGEST_PIECE)
    }

    /// Reads what [`PieceContents::encoded`] wrote; `None` where anything is not as it was written.
    fn decoded(bytes: &[u8]) -> Option<Self> {
        let (kind, mut rest) = bytes.strip_prefix(MAGIC)?.split_first()?;
        let count = match *kind {
            PICTURE => 2,
            VIDEO => 1,
            _ => return None,
        };
        let mut heads = Vec::with_capacity(count);
        for _ in 0..count {
            let (hash, behind) = rest.split_first_chunk::<32>()?;
            let (length, behind) = behind.split_first_chunk::<4>()?;
            heads.push((*hash, usize::try_from(u32::from_be_bytes(*length)).ok()?));
            rest = behind;
        }
        let mut parts = Vec::with_capacity(count);
        for (hash, length) in heads {
            let (part, behind) = rest.split_at_checked(length)?;
            if *blake3::hash(part).as_bytes() != hash {
                return None;
            }
            parts.push(part.to_vec());
            rest = behind;
        }
        if !rest.is_empty() {
            return None;
        }
        let last = parts.pop()?;
        match parts.pop() {
            Some(first) => Some(Self::Picture(first, last)),
            None => Some(Self::Video(last)),
        }
    }
}

/// Encrypts a piece to the recipient of the backups.
pub(crate) fn sealed(contents: &PieceContents, key: &RecordsKey) -> Result<Vec<u8>, BackupError> {
    let failed = |why: String| BackupError::Key(SafekeepingError::Failed(why));
    let plain =
        contents.encoded().ok_or_else(|| failed("a photograph is too large to be backed up".into()))?;
    let recipient = key.backup_identity()?.to_public();
    let to_all = std::iter::once(&recipient as &dyn age::Recipient);
    let encryptor = age::Encryptor::with_recipients(to_all).map_err(|error| failed(error.to_string()))?;
    let of_writing = |error: std::io::Error| failed(error.to_string());
    let mut out = encryptor.wrap_output(Vec::with_capacity(plain.len() + 1_024)).map_err(of_writing)?;
    out.write_all(&plain).map_err(of_writing)?;
    out.finish().map_err(of_writing)
}

/// Decrypts a piece and compares its parts with their hashes.
pub(crate) fn opened(sealed: &[u8], key: &RecordsKey, path: &Path) -> Result<PieceContents, BackupError> {
    let decryptor = age::Decryptor::new_buffered(sealed).map_err(|error| of_age(error, path))?;
    let identity = key.backup_identity()?;
    let plain = decryptor.decrypt(std::iter::once(&identity as &dyn age::Identity));
    let mut plain = plain.map_err(|error| of_age(error, path))?;
    let mut bytes = Vec::with_capacity(sealed.len());
    plain.read_to_end(&mut bytes).map_err(|error| of_reading(error, path))?;
    PieceContents::decoded(&bytes).ok_or_else(|| damaged(path, "it is not as it was written"))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn what_was_encoded_is_decoded_and_no_part_of_it() {
        for contents in [
            PieceContents::Picture(vec![1; 300], vec![2; 20]),
            PieceContents::Picture(Vec::new(), Vec::new()),
            PieceContents::Video(vec![3; 300]),
        ] {
            let bytes = contents.encoded().unwrap();
            assert_eq!(PieceContents::decoded(&bytes), Some(contents));
            for length in 0..bytes.len() {
                assert_eq!(PieceContents::decoded(&bytes[..length]), None, "cut at {length}");
            }
            for at in 0..bytes.len() {
                let mut changed = bytes.clone();
                changed[at] ^= 1;
                assert_eq!(PieceContents::decoded(&changed), None, "byte {at}");
            }
            assert_eq!(
                PieceContents::decoded(&[bytes.as_slice(), b"x".as_slice()].concat()),
                None,
                "something added"
            );
        }
    }

    #[test]
    fn kinds_are_told_apart_by_what_identifies_them() {
        let bytes = vec![7; 40];
        let hash = *blake3::hash(&bytes).as_bytes();
        assert_eq!(PieceContents::Video(bytes.clone()).id(), PieceId::Video(hash));
        assert_eq!(PieceContents::Picture(bytes.clone(), bytes).id(), PieceId::Picture(hash, hash));
        assert_ne!(PieceId::Video(hash).bytes(), PieceId::Picture(hash, hash).bytes());
    }
}
