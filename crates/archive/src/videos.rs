//! The kept videos of gait, in the file of the pictures, by the hash of their bytes.
//!
//! A video is kept in pieces, each with a hash of its own, so that a browser that asks for a part of it has only that part
//! read, decrypted and checked. An entry names its video by the hash of the whole; a video that no entry names any more,
//! and that does not wait to be named, is removed.
//!
//! A file of pictures that was written before there were videos has no tables of them; they are made when it is next
//! written.

use crate::{
    error::ArchiveError,
    pictures::{PAGE, Pictures},
    withheld::{self, WithheldPictures},
};
use record::{ChildId, Timestamp, UserId, VideoHash};
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params, types::ToSqlOutput};
use std::{
    collections::{HashMap, HashSet},
    ops::Range,
};
use uuid::Uuid;

/// The length of a piece, in bytes; that of the last may be less.
pub const VIDEO_PIECE_BYTES: usize = 256 << 10;
/// The table of the children whose videos are withheld.
const WITHHELD: &str = "withheld_videos";
const PIECE: u64 = VIDEO_PIECE_BYTES as u64;

/// A video to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewVideo {
    /// The video as it is shown, without anything else.
    pub bytes: Vec<u8>,
    /// The kind of file, as the caller writes and reads it.
    pub format: String,
}

impl NewVideo {
    /// The hash by which it is kept.
    #[must_use]
    pub fn hash(&self) -> VideoHash {
        VideoHash::new(*blake3::hash(&self.bytes).as_bytes())
    }
}

/// What is known of a kept video.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AboutVideo {
    /// Its size, in bytes.
    pub size: u64,
    /// The kind of file.
    pub format: String,
}

/// A video that waits to be named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitingVideo {
    /// The id of the upload.
    pub upload: Uuid,
    /// The child for whom it was sent.
    pub child: ChildId,
    /// Who sent it.
    pub by: UserId,
    /// When.
    pub at: Timestamp,
    /// What is known of it, as the caller writes and reads it.
    pub facts: String,
    /// The kept video.
    pub video: VideoHash,
}

/// The kept videos of the records in one folder.
#[derive(Debug, Clone)]
pub struct Videos(Pictures);

impl Videos {
    pub(crate) const fn of(pictures: Pictures) -> Self {
        Self(pictures)
    }

    /// Keeps a video. One that is kept already stays as it is. When this returns it is on the disk.
    ///
    /// # Errors
    /// When the file cannot be written; then nothing of it is kept.
    pub fn keep(&self, at: Timestamp, new: &NewVideo) -> Result<VideoHash, ArchiveError> {
        let mut conn = self.0.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let hash = keep(&change, at, new)?;
        change.commit()?;
        Ok(hash)
    }

    /// Keeps a video until it is named. When this returns it is on the disk.
    ///
    /// # Errors
    /// When the file cannot be written; then nothing of it is kept.
    pub fn wait(
        &self,
        (upload, child, by, at): (Uuid, ChildId, UserId, Timestamp),
        facts: &str,
        new: &NewVideo,
    ) -> Result<(), ArchiveError> {
        let mut conn = self.0.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let hash = keep(&change, at, new)?;
        change.execute(
            "INSERT INTO waiting_videos VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                upload.as_bytes(),
                child.uuid().as_bytes(),
                by.uuid().as_bytes(),
                at.seconds(),
                facts,
                hash.bytes()
            ],
        )?;
        Ok(change.commit()?)
    }

    /// What is known of a kept video; `None` where it is not kept.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn about(&self, hash: VideoHash) -> Result<Option<AboutVideo>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(None) };
        Ok(find(&conn, hash)?.map(|(_, about)| about))
    }

    /// Some bytes of a video, or those of them that there are; `None` where it is not kept.
    ///
    /// # Errors
    /// When the file cannot be read, or a piece is missing or not as it was written.
    pub fn read(&self, hash: VideoHash, wanted: Range<u64>) -> Result<Option<Vec<u8>>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(None) };
        let Some((number, about)) = find(&conn, hash)? else { return Ok(None) };
        let end = wanted.end.min(about.size);
        let start = wanted.start.min(end);
        let mut bytes = Vec::with_capacity(usize::try_from(end - start).unwrap_or(0));
        for place in start / PIECE..end.div_ceil(PIECE) {
            let piece = piece(&conn, number, place)?;
            let within = |at: u64| usize::try_from(at.saturating_sub(place * PIECE).min(PIECE)).unwrap_or(0);
            let part = piece.get(within(start)..within(end)).ok_or_else(damaged)?;
            bytes.extend_from_slice(part);
        }
        Ok(Some(bytes))
    }

    /// The hashes of all kept videos, also of those that wait to be named.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn hashes(&self) -> Result<HashSet<VideoHash>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(HashSet::new()) };
        let mut query = conn.prepare("SELECT hash FROM videos")?;
        let hashes = query.query_map([], |row| Ok(VideoHash::new(row.get(0)?)))?;
        Ok(hashes.collect::<Result<_, _>>()?)
    }

    /// Reads a whole video and compares it with its hash.
    ///
    /// # Errors
    /// When the file cannot be read, or the video is not as it was written.
    pub fn check(&self, hash: VideoHash) -> Result<(), ArchiveError> {
        let Some(conn) = self.to_read()? else { return Err(damaged()) };
        let (number, about) = find(&conn, hash)?.ok_or_else(damaged)?;
        let mut hasher = blake3::Hasher::new();
        for place in 0..about.size.div_ceil(PIECE) {
            hasher.update(&piece(&conn, number, place)?);
        }
        if hasher.finalize().as_bytes() == hash.bytes() { Ok(()) } else { Err(damaged()) }
    }

    /// A video that waits; `None` where there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn waiting(&self, upload: Uuid) -> Result<Option<WaitingVideo>, ArchiveError> {
        Ok(self.all_waiting("upload = ?1", upload.as_bytes())?.into_iter().next())
    }

    /// The videos of a child that wait, the latest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn waiting_of(&self, child: ChildId) -> Result<Vec<WaitingVideo>, ArchiveError> {
        self.all_waiting("child = ?1", child.uuid().as_bytes())
    }

    fn all_waiting(&self, which: &str, id: &[u8; 16]) -> Result<Vec<WaitingVideo>, ArchiveError> {
        let Some(conn) = self.to_read()? else { return Ok(Vec::new()) };
        let sql = format!(
            "SELECT upload, child, by, at, facts, hash FROM waiting_videos WHERE {which} ORDER BY at DESC"
        );
        let mut query = conn.prepare(&sql)?;
        let rows = query.query_map([id], |row| {
            Ok(WaitingVideo {
                upload: Uuid::from_bytes(row.get(0)?),
                child: ChildId::new(Uuid::from_bytes(row.get(1)?)),
                by: UserId::new(Uuid::from_bytes(row.get(2)?)),
                at: Timestamp::from_seconds(row.get(3)?),
                facts: row.get(4)?,
                video: VideoHash::new(row.get(5)?),
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Withholds the videos of children. Does nothing for an empty list.
    ///
    /// # Errors
    /// When the file cannot be written; then nothing is changed.
    pub fn withhold(&self, children: &[WithheldPictures]) -> Result<(), ArchiveError> {
        if children.is_empty() { Ok(()) } else { withheld::add(&mut self.0.to_write()?, WITHHELD, children) }
    }

    /// Every child whose videos are withheld.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn withheld(&self) -> Result<Vec<WithheldPictures>, ArchiveError> {
        self.to_read()?.map_or_else(|| Ok(Vec::new()), |conn| withheld::all(&conn, WITHHELD))
    }

    /// Forgets that a video waits. The video itself stays kept.
    pub(crate) fn forget_waiting(&self, upload: Uuid) -> Result<(), ArchiveError> {
        self.0
            .forget(|conn| conn.execute("DELETE FROM waiting_videos WHERE upload = ?1", [upload.as_bytes()]))
    }

    /// Removes videos that do not wait to be named, and overwrites them. Returns how many there were.
    pub(crate) fn remove_not_waiting(
        &self,
        which: impl Fn(VideoHash, Timestamp) -> bool,
    ) -> Result<usize, ArchiveError> {
        let waiting: HashSet<VideoHash> =
            self.all_waiting("?1 IS NOT NULL", &[0; 16])?.into_iter().map(|one| one.video).collect();
        self.remove(|hash, at| !waiting.contains(&hash) && which(hash, at))
    }

    /// Removes videos and overwrites them. Returns how many there were.
    pub(crate) fn remove(&self, which: impl Fn(VideoHash, Timestamp) -> bool) -> Result<usize, ArchiveError> {
        if !self.0.is_there() {
            return Ok(0);
        }
        let mut conn = self.0.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let kept: Vec<(i64, VideoHash, Timestamp)> = {
            let mut query = change.prepare("SELECT number, hash, kept_at FROM videos")?;
            let rows = query.query_map([], |row| {
                Ok((row.get(0)?, VideoHash::new(row.get(1)?), Timestamp::from_seconds(row.get(2)?)))
            })?;
            rows.collect::<Result<_, _>>()?
        };
        let gone: Vec<i64> =
            kept.into_iter().filter(|(_, hash, at)| which(*hash, *at)).map(|(number, ..)| number).collect();
        for number in &gone {
            change.execute("DELETE FROM video_pieces WHERE video = ?1", [number])?;
            change.execute("DELETE FROM videos WHERE number = ?1", [number])?;
        }
        change.commit()?;
        self.0.overwritten(&conn, gone.len())?;
        Ok(gone.len())
    }

    /// Compares all of it with another file, and every video with its hash.
    pub(crate) fn same_as(&self, other: &Self) -> Result<(), ArchiveError> {
        let about = |of: &Self| -> Result<HashMap<VideoHash, Option<AboutVideo>>, ArchiveError> {
            of.hashes()?.into_iter().map(|hash| Ok((hash, of.about(hash)?))).collect()
        };
        if about(self)? != about(other)? || self.withheld()? != other.withheld()? {
            return Err(ArchiveError::Damaged("the encrypted copy of the videos differs from them".into()));
        }
        self.hashes()?.into_iter().try_for_each(|hash| self.check(hash))
    }

    /// `None` where no video was ever kept.
    fn to_read(&self) -> Result<Option<Connection>, ArchiveError> {
        let Some(conn) = self.0.to_read()? else { return Ok(None) };
        Ok(has_tables(&conn)?.then_some(conn))
    }
}

/// Whether a file of pictures has the tables of videos.
pub(crate) fn has_tables(conn: &Connection) -> Result<bool, ArchiveError> {
    let sql = "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'withheld_videos'";
    Ok(conn.query_row(sql, [], |row| row.get::<_, i64>(0))? > 0)
}

fn damaged() -> ArchiveError {
    ArchiveError::Damaged("a video is not as it was written".into())
}

fn keep(change: &Connection, at: Timestamp, new: &NewVideo) -> Result<VideoHash, ArchiveError> {
    let hash = new.hash();
    let known = change
        .execute("UPDATE videos SET kept_at = ?2 WHERE hash = ?1", params![hash.bytes(), at.seconds()])?;
    if known > 0 {
        return Ok(hash);
    }
    let size = i64::try_from(new.bytes.len()).unwrap_or(i64::MAX);
    change.execute(
        "INSERT INTO videos (hash, kept_at, size, format) VALUES (?1, ?2, ?3, ?4)",
        params![hash.bytes(), at.seconds(), size, new.format],
    )?;
    let number = change.last_insert_rowid();
    let margin = i64::try_from(PAGE).unwrap_or(i64::MAX);
    let mut insert = change.prepare_cached(
        "INSERT INTO video_pieces (place, margin, video, hash, bytes) VALUES (?1, zeroblob(?2), ?3, ?4, ?5)",
    )?;
    for (place, piece) in (0_i64..).zip(new.bytes.chunks(VIDEO_PIECE_BYTES)) {
        insert.execute(params![place, margin, number, blake3::hash(piece).as_bytes(), piece])?;
    }
    Ok(hash)
}

/// The number of a video and what is known of it.
fn find(conn: &Connection, hash: VideoHash) -> Result<Option<(i64, AboutVideo)>, ArchiveError> {
    let sql = "SELECT number, size, format FROM videos WHERE hash = ?1";
    let read = |row: &rusqlite::Row<'_>| {
        let size = u64::try_from(row.get::<_, i64>(1)?).unwrap_or(0);
        Ok((row.get(0)?, AboutVideo { size, format: row.get(2)? }))
    };
    Ok(conn.query_row(sql, [hash.bytes()], read).optional()?)
}

/// A piece, held against its hash.
fn piece(conn: &Connection, video: i64, place: u64) -> Result<Vec<u8>, ArchiveError> {
    let sql = "SELECT hash, bytes FROM video_pieces WHERE video = ?1 AND place = ?2";
    let place = i64::try_from(place).unwrap_or(i64::MAX);
    let read = |row: &rusqlite::Row<'_>| Ok((row.get::<_, [u8; 32]>(0)?, row.get::<_, Vec<u8>>(1)?));
    let found = conn.prepare_cached(sql)?.query_row(params![video, place], read).optional()?;
    let (expected, bytes) = found.ok_or_else(damaged)?;
    if *blake3::hash(&bytes).as_bytes() == expected { Ok(bytes) } else { Err(damaged()) }
}

/// Copies the rows of all videos and of children whose videos are withheld. What waits to be named is not copied, and its
/// video is removed later, when no entry names it.
pub(crate) fn write_rows(from: &Pictures, to: &Connection) -> Result<(), ArchiveError> {
    let Some(from) = from.videos().to_read()? else { return Ok(()) };
    for (table, columns) in [("videos", 5_usize), ("video_pieces", 5), ("withheld_videos", 2)] {
        let names = match table {
            "videos" => "number, hash, kept_at, size, format",
            "video_pieces" => "place, margin, video, hash, bytes",
            _ => "child, at",
        };
        let marks = (1..=columns).map(|n| format!("?{n}")).collect::<Vec<_>>().join(", ");
        let mut query = from.prepare(&format!("SELECT {names} FROM {table}"))?;
        let mut insert = to.prepare(&format!("INSERT INTO {table} ({names}) VALUES ({marks})"))?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            for column in 0..columns {
                insert.raw_bind_parameter(column + 1, ToSqlOutput::Borrowed(row.get_ref(column)?))?;
            }
            insert.raw_execute()?;
        }
    }
    Ok(())
}
