//! Kept pictures and videos together: what entries name of both, what is removed of both, and both with another key.

use crate::{
    archive::Archive,
    database_key::DatabaseKey,
    error::ArchiveError,
    pictures::{self, KeptSize, Pictures},
    videos::{self, Videos},
};
use record::{Body, ChildId, Entry, PictureHash, Timestamp, VideoHash};
use rusqlite::Connection;
use std::{collections::HashSet, path::Path};
use uuid::Uuid;

impl Pictures {
    /// The videos in the same file.
    #[must_use]
    pub fn videos(&self) -> Videos {
        Videos::of(self.clone())
    }

    /// Writes all of it into a new folder with another key, and compares it. Nothing is written where there is nothing.
    ///
    /// # Errors
    /// When a file cannot be read or written, or a picture was written otherwise than it is.
    pub fn write_with_key(&self, folder: &Path, key: &DatabaseKey) -> Result<(), ArchiveError> {
        let Some(from) = self.to_read()? else { return Ok(()) };
        let new = Self::beside(folder, Some(key));
        if new.file.path.exists() {
            return Err(ArchiveError::Exists(new.file.path));
        }
        let mut to = new.to_write()?;
        let change = to.transaction()?;
        pictures::write_rows(&from, &change)?;
        videos::write_rows(self, &change)?;
        change.commit()?;
        new.settled(to)?;
        let same = new.hashes()? == self.hashes()? && new.withheld()? == self.withheld()?;
        if !same {
            return Err(ArchiveError::Damaged(
                "the encrypted copy of the photographs differs from them".into(),
            ));
        }
        for hash in self.hashes()? {
            // Reading compares with the hash.
            for size in [KeptSize::Whole, KeptSize::Thumbnail] {
                new.read(hash, size)?;
            }
        }
        new.videos().same_as(&self.videos())
    }

    /// Removes every picture but these, while nobody keeps one, and all that waits to be named.
    pub(crate) fn remove_all_but(&self, named: &NamedMedia) -> Result<usize, ArchiveError> {
        self.forget(|conn| {
            Ok(conn.execute("DELETE FROM waiting", [])?
                + conn.execute("DELETE FROM arriving", [])?
                + conn.execute("DELETE FROM waiting_videos", [])?)
        })?;
        let videos = self.videos().remove(|hash, _| !named.videos.contains(&hash))?;
        Ok(videos + self.remove(|hash, _| !named.pictures.contains(&hash))?)
    }
}

/// The kept pictures and videos that entries name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NamedMedia {
    /// The pictures.
    pub pictures: HashSet<PictureHash>,
    /// The videos.
    pub videos: HashSet<VideoHash>,
}

impl NamedMedia {
    /// Adds what an entry names.
    pub(crate) fn add(&mut self, body: &Body) {
        self.pictures.extend(body.picture());
        self.videos.extend(body.video());
    }

    /// Whether there is nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.pictures.is_empty() && self.videos.is_empty()
    }
}

impl Archive {
    /// The pictures and videos that entries name, corrected and withdrawn ones included, without those erased.
    ///
    /// # Errors
    /// When the file cannot be read, or an entry in it; then it cannot be told which are named.
    pub fn named_media(&self) -> Result<NamedMedia, ArchiveError> {
        self.read(named_media)
    }

    /// The children with an entry whose wire form has a text, without those erased.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn children_with(&self, text: &str) -> Result<Vec<ChildId>, ArchiveError> {
        self.read(|conn| {
            let sql = "SELECT DISTINCT c.id FROM entries e JOIN children c ON c.number = e.child
                       WHERE instr(e.wire, ?1) > 0";
            let mut query = conn.prepare_cached(sql)?;
            let children = query.query_map([text], |row| Ok(ChildId::new(Uuid::from_bytes(row.get(0)?))))?;
            Ok(children.collect::<Result<_, _>>()?)
        })
    }

    /// Removes the pictures and videos that no entry names, of those kept before a moment, and that do not wait to be
    /// named. Returns how many there were.
    ///
    /// # Errors
    /// When it cannot be told which are named, or the file cannot be written.
    pub fn remove_unnamed_media(
        &self,
        pictures: &Pictures,
        before: Timestamp,
    ) -> Result<usize, ArchiveError> {
        if !pictures.is_there() {
            return Ok(0);
        }
        let named = self.named_media()?;
        let videos =
            pictures.videos().remove_not_waiting(|hash, at| !named.videos.contains(&hash) && at < before)?;
        Ok(videos + pictures.remove(|hash, at| !named.pictures.contains(&hash) && at < before)?)
    }

    /// Forgets that a video waits, and removes and overwrites it where no entry names it.
    ///
    /// # Errors
    /// When it cannot be told which are named, or the file cannot be written.
    pub fn forget_waiting_video(&self, pictures: &Pictures, upload: Uuid) -> Result<(), ArchiveError> {
        let videos = pictures.videos();
        let Some(waiting) = videos.waiting(upload)? else { return Ok(()) };
        videos.forget_waiting(upload)?;
        let named = self.named_media()?;
        if !named.videos.contains(&waiting.video) {
            videos.remove_not_waiting(|hash, _| hash == waiting.video)?;
        }
        Ok(())
    }

    /// Removes those of some pictures and videos that no entry names any more: what erased entries named.
    pub(crate) fn remove_erased_media(&self, erased: &NamedMedia) -> Result<(), ArchiveError> {
        if erased.is_empty() {
            return Ok(());
        }
        let (named, pictures) = (self.named_media()?, Pictures::beside(self.dir(), self.key()));
        let is_gone =
            |hash: PictureHash, _| erased.pictures.contains(&hash) && !named.pictures.contains(&hash);
        let removed = pictures.remove(is_gone).and_then(|_| {
            pictures.videos().remove(|hash, _| erased.videos.contains(&hash) && !named.videos.contains(&hash))
        });
        removed.map(|_| ()).map_err(|error| ArchiveError::WordsRemain(error.to_string()))
    }
}

impl Archive {
    /// Forgets pictures and videos that were sent for a child and never named.
    pub(crate) fn forget_sent_media(&self, child: ChildId) -> Result<(), ArchiveError> {
        let (id, pictures) = (child.uuid(), Pictures::beside(self.dir(), self.key()));
        let forgotten = pictures.forget(|conn| {
            Ok(conn.execute("DELETE FROM waiting WHERE child = ?1", [id.as_bytes()])?
                + conn.execute("DELETE FROM arriving WHERE child = ?1", [id.as_bytes()])?
                + conn.execute("DELETE FROM waiting_videos WHERE child = ?1", [id.as_bytes()])?)
        });
        let named = self.named_media()?;
        let removed = forgotten
            .and_then(|()| pictures.videos().remove_not_waiting(|hash, _| !named.videos.contains(&hash)));
        removed.map(|_| ()).map_err(|error| ArchiveError::WordsRemain(error.to_string()))
    }
}

/// The pictures and videos that entries name.
pub(crate) fn named_media(conn: &Connection) -> Result<NamedMedia, ArchiveError> {
    let mut named = NamedMedia::default();
    media_entries(conn, |entry| named.add(&entry.body))?;
    Ok(named)
}

/// Every entry that names a picture or a video. A text within an entry has its quotation marks escaped, so that only a
/// kind of entry can be found so.
pub(crate) fn media_entries(conn: &Connection, mut each: impl FnMut(&Entry)) -> Result<(), ArchiveError> {
    let mut query = conn.prepare(
        "SELECT wire FROM entries WHERE instr(wire, '\"kind\":\"photograph\"') > 0
         OR instr(wire, '\"kind\":\"gait_video\"') > 0",
    )?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let wire: String = row.get(0)?;
        let entry = Entry::from_json(&wire)
            .map_err(|error| ArchiveError::Damaged(format!("an entry cannot be read: {error}")))?;
        each(&entry);
    }
    Ok(())
}
