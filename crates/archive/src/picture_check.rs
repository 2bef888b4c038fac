//! The check of the kept pictures: whether each that an entry names is there and as it was written, and how many are
//! there that no entry names.

use crate::{archive::Archive, error::ArchiveError, media::media_entries, pictures::Pictures};
use record::{ChildId, PictureHash};
use rusqlite::{Connection, ErrorCode, Statement};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What a check of the kept pictures found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PictureCheck {
    /// How many pictures the entries name.
    pub named: usize,
    /// How many of each child are not kept.
    pub missing: BTreeMap<ChildId, usize>,
    /// How many of each child, or their thumbnails, are not as they were written.
    pub changed: BTreeMap<ChildId, usize>,
    /// How many are kept that no entry names: those whose entry is about to be saved, and those that are left where the
    /// program was ended in between, which are removed later.
    pub unnamed: usize,
    /// Why the file of pictures cannot be read, one sentence.
    pub unreadable: Option<String>,
}

impl PictureCheck {
    /// Whether every picture that an entry names is kept as it was written.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.missing.is_empty() && self.changed.is_empty() && self.unreadable.is_none()
    }
}

/// What became of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PictureFate {
    Sound,
    Changed,
}

/// Who is named with each picture. Two records may name one picture, as where two records of one child were kept.
type Naming = HashMap<PictureHash, BTreeSet<ChildId>>;

impl Archive {
    /// Checks the kept pictures against the entries; reads every one. It may run during other work.
    ///
    /// # Errors
    /// When the entries cannot be read; what is wrong with the pictures is in the result.
    pub fn check_pictures(&self, pictures: &Pictures) -> Result<PictureCheck, ArchiveError> {
        let named = self.naming_pictures()?;
        // After the entries: a picture is kept before the entry that names it.
        let fates = match pictures.fates() {
            Ok(fates) => fates,
            Err(error) => {
                return Ok(PictureCheck {
                    named: named.len(),
                    unreadable: Some(error.to_string()),
                    ..PictureCheck::default()
                });
            }
        };
        let is_lost = |hash: &PictureHash| fates.get(hash) != Some(&PictureFate::Sound);
        // What was erased meanwhile is no longer named, and not missed.
        let still = if named.keys().any(is_lost) { self.naming_pictures()? } else { Naming::new() };
        let mut check = PictureCheck { named: named.len(), ..PictureCheck::default() };
        for (hash, children) in &still {
            let count = match fates.get(hash) {
                Some(PictureFate::Sound) => continue,
                Some(PictureFate::Changed) => &mut check.changed,
                // Named only since the pictures were looked at.
                None if !named.contains_key(hash) => continue,
                None => &mut check.missing,
            };
            for child in children {
                *count.entry(*child).or_default() += 1;
            }
        }
        check.unnamed = fates.keys().filter(|hash| !named.contains_key(*hash)).count();
        Ok(check)
    }

    fn naming_pictures(&self) -> Result<Naming, ArchiveError> {
        self.read(|conn| {
            let mut named = Naming::new();
            media_entries(conn, |entry| {
                if let Some(hash) = entry.body.picture() {
                    named.entry(hash).or_default().insert(entry.child);
                }
            })?;
            Ok(named)
        })
    }
}

impl Pictures {
    /// Reads every kept picture and its thumbnail, and compares each with its hash. One that cannot be read does not
    /// keep the others from being read.
    fn fates(&self) -> Result<HashMap<PictureHash, PictureFate>, ArchiveError> {
        let mut left: Vec<PictureHash> = self.hashes()?.into_iter().collect();
        let mut fates = HashMap::with_capacity(left.len());
        while !left.is_empty() {
            let Some(conn) = self.to_read()? else { break };
            let mut query = bytes_of(&conn)?;
            while let Some(hash) = left.pop() {
                let fate = match is_as_written(&mut query, hash) {
                    // Removed meanwhile.
                    Ok(None) => continue,
                    Ok(Some(true)) => PictureFate::Sound,
                    Ok(Some(false)) => PictureFate::Changed,
                    Err(error) if is_busy(&error) => return Err(error.into()),
                    Err(_) => {
                        fates.insert(hash, PictureFate::Changed);
                        // After a damaged page of an encrypted file a connection reads nothing more.
                        break;
                    }
                };
                fates.insert(hash, fate);
            }
        }
        Ok(fates)
    }
}

/// Whether somebody else writes, which says nothing about a picture.
pub(crate) fn is_busy(error: &rusqlite::Error) -> bool {
    matches!(error.sqlite_error_code(), Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked))
}

fn bytes_of(conn: &Connection) -> Result<Statement<'_>, ArchiveError> {
    Ok(conn.prepare("SELECT thumb_hash, picture, thumbnail FROM pictures WHERE hash = ?1")?)
}

fn is_as_written(query: &mut Statement<'_>, hash: PictureHash) -> rusqlite::Result<Option<bool>> {
    let mut rows = query.query([hash.bytes()])?;
    let Some(row) = rows.next()? else { return Ok(None) };
    let of = |column: usize| -> rusqlite::Result<blake3::Hash> {
        Ok(blake3::hash(row.get_ref(column)?.as_blob().map_err(rusqlite::Error::from)?))
    };
    let (small, picture, thumbnail) = (row.get::<_, [u8; 32]>(0)?, of(1)?, of(2)?);
    Ok(Some(picture.as_bytes() == hash.bytes() && *thumbnail.as_bytes() == small))
}
