//! Kept pictures and videos piece by piece, as a backup seals them: a picture with its small one, and each piece of a
//! video by itself.

use crate::{
    error::ArchiveError,
    picture_check::is_busy,
    pictures::{NewPicture, Pictures},
};
use record::{PictureHash, VideoHash};
use rusqlite::{Connection, OptionalExtension, params};

/// A picture or a piece of a video, by its hashes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MediaPiece {
    /// A picture.
    Picture {
        /// Its hash.
        hash: PictureHash,
        /// The hash of the small one that belongs to it.
        thumbnail: [u8; 32],
    },
    /// A piece of a video.
    Video {
        /// The video.
        video: VideoHash,
        /// Which piece of it, from 0.
        place: i64,
        /// The hash of the piece.
        hash: [u8; 32],
    },
}

/// To what a piece belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MediaOwner {
    /// A picture is a piece by itself.
    Picture(PictureHash),
    /// A video.
    Video(VideoHash),
}

/// The bytes of a piece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MediaBytes {
    /// A picture with its small one.
    Picture(NewPicture),
    /// A piece of a video.
    Video(Vec<u8>),
}

/// What became of a piece that was to be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MediaRead {
    /// It is as it was written.
    Sound(MediaBytes),
    /// It is not there.
    Gone,
    /// It is not as it was written, or cannot be read.
    Damaged,
}

/// A piece without which a picture or a video cannot be put back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LostPiece {
    /// The piece.
    pub piece: MediaPiece,
    /// Whether it is there and not as it was written; otherwise it is missing.
    pub damaged: bool,
}

impl MediaPiece {
    /// To what it belongs.
    #[must_use]
    pub const fn owner(&self) -> MediaOwner {
        match self {
            Self::Picture { hash, .. } => MediaOwner::Picture(*hash),
            Self::Video { video, .. } => MediaOwner::Video(*video),
        }
    }

    /// Whether bytes are those of this piece.
    #[must_use]
    pub fn is(&self, bytes: &MediaBytes) -> bool {
        match (self, bytes) {
            (Self::Picture { hash, thumbnail }, MediaBytes::Picture(new)) => {
                new.hash() == *hash && blake3::hash(&new.thumbnail).as_bytes() == thumbnail
            }
            (Self::Video { hash, .. }, MediaBytes::Video(bytes)) => blake3::hash(bytes).as_bytes() == hash,
            _ => false,
        }
    }
}

/// Reads pieces one by one, while others keep and remove pictures.
pub struct MediaReader {
    pictures: Pictures,
    conn: Option<Connection>,
}

impl Pictures {
    /// A reader of single pieces.
    #[must_use]
    pub fn pieces(&self) -> MediaReader {
        MediaReader { pictures: self.clone(), conn: None }
    }
}

impl MediaReader {
    /// Reads a piece and compares it with its hashes.
    ///
    /// # Errors
    /// When the file cannot be opened, or somebody writes for too long; a damaged piece is in the result.
    pub fn read(&mut self, piece: &MediaPiece) -> Result<MediaRead, ArchiveError> {
        if self.conn.is_none() {
            self.conn = self.pictures.to_read()?;
        }
        let Some(conn) = &self.conn else { return Ok(MediaRead::Gone) };
        match bytes_of(conn, piece) {
            Ok(None) => Ok(MediaRead::Gone),
            Ok(Some(bytes)) if piece.is(&bytes) => Ok(MediaRead::Sound(bytes)),
            Ok(Some(_)) => Ok(MediaRead::Damaged),
            Err(error) if is_busy(&error) => Err(error.into()),
            Err(_) => {
                // After a damaged page of an encrypted file a connection reads nothing more.
                self.conn = None;
                Ok(MediaRead::Damaged)
            }
        }
    }
}

fn bytes_of(conn: &Connection, piece: &MediaPiece) -> rusqlite::Result<Option<MediaBytes>> {
    match piece {
        MediaPiece::Picture { hash, thumbnail } => {
            let sql = "SELECT picture, thumbnail FROM pictures WHERE hash = ?1 AND thumb_hash = ?2";
            let picture = |row: &rusqlite::Row<'_>| {
                Ok(MediaBytes::Picture(NewPicture { picture: row.get(0)?, thumbnail: row.get(1)? }))
            };
            conn.prepare_cached(sql)?.query_row(params![hash.bytes(), thumbnail], picture).optional()
        }
        MediaPiece::Video { video, place, hash } => {
            let sql = "SELECT p.bytes FROM videos v JOIN video_pieces p ON p.video = v.number
                       WHERE v.hash = ?1 AND p.place = ?2 AND p.hash = ?3";
            let bytes = |row: &rusqlite::Row<'_>| Ok(MediaBytes::Video(row.get(0)?));
            conn.prepare_cached(sql)?.query_row(params![video.bytes(), place, hash], bytes).optional()
        }
    }
}
