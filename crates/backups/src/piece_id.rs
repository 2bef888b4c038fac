//! What identifies a photograph or a part of a video beside the backups, and how the list of a backup names it.

use serde::{Deserialize, Serialize};

pub(crate) const PICTURE: u8 = 1;
pub(crate) const VIDEO: u8 = 2;

/// What identifies a piece: the hashes (BLAKE3) of its parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PieceId {
    /// A picture, and the small one that belongs to it.
    Picture([u8; 32], [u8; 32]),
    /// A piece of a video.
    Video([u8; 32]),
}

impl PieceId {
    /// Kind and hashes in one row of bytes.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        match self {
            Self::Picture(picture, small) => [[PICTURE].as_slice(), picture, small].concat(),
            Self::Video(piece) => [[VIDEO].as_slice(), piece].concat(),
        }
    }
}

/// A piece as the list of a backup names it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BackedUpPiece {
    /// The hash of its bytes (BLAKE3, hexadecimal).
    pub hash: String,
    /// The hash of the small picture that belongs to it; `None` for a piece of a video.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub small: Option<String>,
    /// The length of the sealed file, bytes.
    pub bytes: u64,
}

impl BackedUpPiece {
    /// A piece whose sealed file has this length.
    #[must_use]
    pub fn of(id: &PieceId, bytes: u64) -> Self {
        let text = |hash: &[u8; 32]| blake3::Hash::from_bytes(*hash).to_hex().to_string();
        match id {
            PieceId::Picture(picture, small) => Self { hash: text(picture), small: Some(text(small)), bytes },
            PieceId::Video(piece) => Self { hash: text(piece), small: None, bytes },
        }
    }

    /// What identifies it; `None` where a hash is none.
    #[must_use]
    pub fn id(&self) -> Option<PieceId> {
        let hash = |text: &str| blake3::Hash::from_hex(text).ok().map(|hash| *hash.as_bytes());
        match &self.small {
            Some(small) => Some(PieceId::Picture(hash(&self.hash)?, hash(small)?)),
            None => Some(PieceId::Video(hash(&self.hash)?)),
        }
    }
}
