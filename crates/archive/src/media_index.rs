//! The index of kept pictures and videos that a backup has instead of them: a file of the same layout without the bytes,
//! which lie beside the backups, each piece sealed once ([`crate::MediaPiece`]). A restore fills them in again.

use crate::{
    error::{ArchiveError, of_io},
    media::NamedMedia,
    media_pieces::{LostPiece, MediaBytes, MediaOwner, MediaPiece, MediaRead},
    pictures::{PAGE, Pictures},
    videos,
};
use record::{PictureHash, VideoHash};
use rusqlite::{Connection, Params, TransactionBehavior, params};
use std::{collections::HashSet, path::Path};

/// The name of the index in a backup.
pub const PICTURES_INDEX_FILE: &str = "photographs-index.sqlite";
/// After so many bytes what was put back is saved, so that the write-ahead log does not grow as large as all pictures.
const SAVED_AFTER: usize = 32 << 20;

impl Pictures {
    /// Writes the index of those pictures and videos that are named into a folder, also while they are in use, with
    /// the children whose pictures or videos are withheld; encrypted as they are. What waits to be named is not in it.
    /// Returns the pieces, or `None` and writes nothing where no picture was ever kept.
    ///
    /// # Errors
    /// When a file cannot be read or written.
    pub fn copy_index(
        &self,
        folder: &Path,
        named: &NamedMedia,
    ) -> Result<Option<Vec<MediaPiece>>, ArchiveError> {
        let Some(from) = self.to_read()? else { return Ok(None) };
        // One moment of the file: a video in the index has all its pieces there.
        let from = from.unchecked_transaction()?;
        let index = self.in_file(folder.join(PICTURES_INDEX_FILE));
        let mut to = index.to_write()?;
        let change = to.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut pieces = Vec::new();
        index_pictures(&from, &change, named, &mut pieces)?;
        if videos::has_tables(&from)? {
            index_videos(&from, &change, named, &mut pieces)?;
        }
        change.commit()?;
        index.withhold(&self.withheld()?)?;
        index.videos().withhold(&self.videos().withheld()?)?;
        index.settled(to)?;
        Ok(Some(pieces))
    }

    /// Takes pictures and videos out of the index in a folder, because their bytes could not be had.
    ///
    /// # Errors
    /// When the index cannot be written.
    pub fn take_out_of_index(&self, folder: &Path, gone: &HashSet<MediaOwner>) -> Result<(), ArchiveError> {
        if gone.is_empty() {
            return Ok(());
        }
        let index = self.in_file(folder.join(PICTURES_INDEX_FILE));
        let mut conn = index.to_write()?;
        let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        for owner in gone {
            match owner {
                MediaOwner::Picture(hash) => {
                    change.execute("DELETE FROM pictures WHERE hash = ?1", [hash.bytes()])?;
                }
                MediaOwner::Video(hash) => {
                    let of = "video = (SELECT number FROM videos WHERE hash = ?1)";
                    change.execute(&format!("DELETE FROM video_pieces WHERE {of}"), [hash.bytes()])?;
                    change.execute("DELETE FROM videos WHERE hash = ?1", [hash.bytes()])?;
                }
            }
        }
        change.commit()?;
        index.settled(conn)
    }

    /// Puts the pictures and videos of the index in a folder together again, in the file of this folder, and removes the
    /// index. `find` gives the bytes of a piece; each is compared with its hashes, and a video as a whole too. What
    /// cannot be had is left out and returned. Does nothing where there is no index.
    ///
    /// # Errors
    /// When a file cannot be read or written, or `find` fails.
    pub fn put_together(
        &self,
        folder: &Path,
        find: &mut dyn FnMut(&MediaPiece) -> Result<MediaRead, ArchiveError>,
    ) -> Result<Vec<LostPiece>, ArchiveError> {
        let index = self.in_file(folder.join(PICTURES_INDEX_FILE));
        let Some(from) = index.to_read()? else { return Ok(Vec::new()) };
        let mut filled = Filled { to: self.to_write()?, unsaved: 0, lost: Vec::new() };
        filled.put_pictures(&from, find)?;
        filled.put_videos(&from, find)?;
        filled.save()?;
        self.withhold(&index.withheld()?)?;
        self.videos().withhold(&index.videos().withheld()?)?;
        self.settled(filled.to)?;
        drop(from);
        std::fs::remove_file(&index.file.path).map_err(|error| of_io(&error, &index.file.path))?;
        Ok(filled.lost)
    }
}

fn index_pictures(
    from: &Connection,
    to: &Connection,
    named: &NamedMedia,
    pieces: &mut Vec<MediaPiece>,
) -> Result<(), ArchiveError> {
    let mut query = from.prepare("SELECT hash, kept_at, thumb_hash FROM pictures ORDER BY number")?;
    let mut rows = query.query([])?;
    let mut insert = to.prepare(
        "INSERT INTO pictures (margin, hash, kept_at, thumb_hash, picture, thumbnail)
         VALUES (x'', ?1, ?2, ?3, x'', x'')",
    )?;
    while let Some(row) = rows.next()? {
        let (hash, kept_at) = (PictureHash::new(row.get(0)?), row.get::<_, i64>(1)?);
        let thumbnail: [u8; 32] = row.get(2)?;
        if named.pictures.contains(&hash) {
            insert.execute(params![hash.bytes(), kept_at, thumbnail])?;
            pieces.push(MediaPiece::Picture { hash, thumbnail });
        }
    }
    Ok(())
}

fn index_videos(
    from: &Connection,
    to: &Connection,
    named: &NamedMedia,
    pieces: &mut Vec<MediaPiece>,
) -> Result<(), ArchiveError> {
    let mut query = from.prepare("SELECT number, hash, kept_at, size, format FROM videos ORDER BY number")?;
    let mut rows = query.query([])?;
    let mut pieces_of =
        from.prepare("SELECT place, hash FROM video_pieces WHERE video = ?1 ORDER BY place")?;
    let mut insert = to.prepare("INSERT INTO videos VALUES (?1, ?2, ?3, ?4, ?5)")?;
    let mut insert_piece = to.prepare(
        "INSERT INTO video_pieces (place, margin, video, hash, bytes) VALUES (?1, x'', ?2, ?3, x'')",
    )?;
    while let Some(row) = rows.next()? {
        let (number, video) = (row.get::<_, i64>(0)?, VideoHash::new(row.get(1)?));
        if !named.videos.contains(&video) {
            continue;
        }
        let (kept_at, size, format): (i64, i64, String) = (row.get(2)?, row.get(3)?, row.get(4)?);
        insert.execute(params![number, video.bytes(), kept_at, size, format])?;
        let mut found = pieces_of.query([number])?;
        while let Some(piece) = found.next()? {
            let (place, hash): (i64, [u8; 32]) = (piece.get(0)?, piece.get(1)?);
            insert_piece.execute(params![place, number, hash])?;
            pieces.push(MediaPiece::Video { video, place, hash });
        }
    }
    Ok(())
}

/// A row of the table of videos.
struct VideoRow {
    number: i64,
    hash: VideoHash,
    kept_at: i64,
    size: i64,
    format: String,
}

/// A file that is being filled from an index.
struct Filled {
    to: Connection,
    unsaved: usize,
    lost: Vec<LostPiece>,
}

type Find<'a> = &'a mut dyn FnMut(&MediaPiece) -> Result<MediaRead, ArchiveError>;

impl Filled {
    fn put_pictures(&mut self, from: &Connection, find: Find<'_>) -> Result<(), ArchiveError> {
        let mut query = from.prepare("SELECT hash, kept_at, thumb_hash FROM pictures ORDER BY number")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let (hash, kept_at) = (PictureHash::new(row.get(0)?), row.get::<_, i64>(1)?);
            let piece = MediaPiece::Picture { hash, thumbnail: row.get(2)? };
            let Some(MediaBytes::Picture(new)) = self.found(piece, find)? else { continue };
            let sql = "INSERT INTO pictures (margin, hash, kept_at, thumb_hash, picture, thumbnail)
                       VALUES (zeroblob(?1), ?2, ?3, ?4, ?5, ?6)";
            let (small, bytes) = (blake3::hash(&new.thumbnail), new.picture.len() + new.thumbnail.len());
            self.put(
                sql,
                params![margin(), hash.bytes(), kept_at, small.as_bytes(), new.picture, new.thumbnail],
                bytes,
            )?;
        }
        Ok(())
    }

    fn put_videos(&mut self, from: &Connection, find: Find<'_>) -> Result<(), ArchiveError> {
        let mut query =
            from.prepare("SELECT number, hash, kept_at, size, format FROM videos ORDER BY number")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let (number, hash) = (row.get(0)?, VideoHash::new(row.get(1)?));
            let (kept_at, size, format) = (row.get(2)?, row.get(3)?, row.get(4)?);
            self.put_video(from, &VideoRow { number, hash, kept_at, size, format }, find)?;
        }
        Ok(())
    }

    /// Puts a video back whole or not at all.
    fn put_video(&mut self, from: &Connection, video: &VideoRow, find: Find<'_>) -> Result<(), ArchiveError> {
        let lost_before = self.lost.len();
        let mut query =
            from.prepare_cached("SELECT place, hash FROM video_pieces WHERE video = ?1 ORDER BY place")?;
        let mut rows = query.query([video.number])?;
        let (mut hasher, mut pieces) = (blake3::Hasher::new(), Vec::new());
        while let Some(row) = rows.next()? {
            let (place, hash): (i64, [u8; 32]) = (row.get(0)?, row.get(1)?);
            let piece = MediaPiece::Video { video: video.hash, place, hash };
            if let Some(MediaBytes::Video(bytes)) = self.found(piece, find)? {
                hasher.update(&bytes);
                pieces.push((place, hash, bytes));
            }
        }
        if self.lost.len() > lost_before {
            return Ok(());
        }
        if hasher.finalize().as_bytes() != video.hash.bytes() {
            // Each piece is as it was written, and one is not listed.
            let piece = MediaPiece::Video { video: video.hash, place: 0, hash: *video.hash.bytes() };
            self.lost.push(LostPiece { piece, damaged: true });
            return Ok(());
        }
        let VideoRow { number, hash, kept_at, size, format } = video;
        let insert = "INSERT INTO videos VALUES (?1, ?2, ?3, ?4, ?5)";
        self.put(insert, params![number, hash.bytes(), kept_at, size, format], 0)?;
        let sql = "INSERT INTO video_pieces (place, margin, video, hash, bytes)
                   VALUES (?1, zeroblob(?2), ?3, ?4, ?5)";
        for (place, hash, bytes) in &pieces {
            self.put(sql, params![place, margin(), number, hash, bytes], bytes.len())?;
        }
        Ok(())
    }

    /// The bytes of a piece; `None`, and noted as lost, where they cannot be had.
    fn found(&mut self, piece: MediaPiece, find: Find<'_>) -> Result<Option<MediaBytes>, ArchiveError> {
        let damaged = match find(&piece)? {
            MediaRead::Sound(bytes) if piece.is(&bytes) => return Ok(Some(bytes)),
            MediaRead::Sound(_) | MediaRead::Damaged => true,
            MediaRead::Gone => false,
        };
        self.lost.push(LostPiece { piece, damaged });
        Ok(None)
    }

    fn put(&mut self, sql: &str, values: impl Params, bytes: usize) -> Result<(), ArchiveError> {
        if self.to.is_autocommit() {
            self.to.execute_batch("BEGIN IMMEDIATE")?;
        }
        self.to.prepare_cached(sql)?.execute(values)?;
        self.unsaved += bytes;
        if self.unsaved >= SAVED_AFTER { self.save() } else { Ok(()) }
    }

    fn save(&mut self) -> Result<(), ArchiveError> {
        self.unsaved = 0;
        if self.to.is_autocommit() { Ok(()) } else { Ok(self.to.execute_batch("COMMIT")?) }
    }
}

/// The length of the column before the others of a row, as in every file of pictures.
fn margin() -> i64 {
    i64::try_from(PAGE).unwrap_or(i64::MAX)
}
