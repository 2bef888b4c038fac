//! Photographs and pieces of videos beside the backups: sealed once, listed by every backup that has them, put together
//! again by drill and restore, and removed with the last backup that lists them.

use super::{BackedUpClinic, BackupAct, BackupEvents, BackupKeys, BackupRefused};
use backups::{BackedUpPiece, BackupFile, BackupSource, PieceContents, PieceId, SealedPieces};
use clinic::{
    ArchiveError, LostPiece, MediaBytes, MediaOwner, MediaPiece, MediaRead, MediaReader, NewPicture,
    PICTURES_FILE, PICTURES_INDEX_FILE, Pictures,
};
use record::SiteId;
use safekeeping::RecordsKey;
use std::{
    collections::{HashMap, HashSet},
    path::Path,
};

/// What became of the photographs and videos of a backup.
#[derive(Debug, Default)]
pub(super) struct SealedMedia {
    /// The index of them, to be put into the backup; `None` where no picture was ever kept.
    pub index: Option<BackupSource>,
    /// The pieces that belong to the backup.
    pub pieces: Vec<BackedUpPiece>,
    /// Pieces that were not there yet.
    pub written: usize,
    /// Photographs and videos that are not as they were written, and so are not in the backup.
    pub left_out: usize,
}

/// Seals the pieces that entries of the copied records name and that are not beside the backups yet, and writes the
/// index of all of them into the work folder, in which the copy of the records is.
///
/// The index is made after the copy of the records, so that it has every picture that the copy names. A picture that is
/// erased before it is sealed is taken out of the index again.
pub(super) fn seal(
    clinic: &BackedUpClinic<'_>,
    keys: &BackupKeys,
    folder: &Path,
    (site, work): (SiteId, &Path),
) -> Result<SealedMedia, BackupRefused> {
    let named = clinic.records.open_copy_for_reading(work)?.named_media()?;
    let pictures = clinic.records.pictures_in(clinic.dir);
    let Some(index) = pictures.copy_index(work, &named)? else { return Ok(SealedMedia::default()) };
    let mut media = SealedMedia::default();
    if !index.is_empty() {
        let mut sealing = Sealing::begin(clinic, keys, folder, site)?;
        let (mut gone, mut damaged) = (HashSet::new(), HashSet::new());
        let mut reader = pictures.pieces();
        for piece in &index {
            match sealing.seal(piece, &mut reader)? {
                PieceFate::Sealed => {}
                PieceFate::Gone => gone.extend([piece.owner()]),
                PieceFate::Damaged => damaged.extend([piece.owner()]),
            }
        }
        media.left_out = damaged.len();
        gone.extend(damaged);
        pictures.take_out_of_index(work, &gone)?;
        media.written = sealing.written;
        media.pieces = sealing.finish(&index, &gone)?;
    }
    // Without pieces the index is a file of pictures as any other.
    let name = if media.pieces.is_empty() { PICTURES_FILE } else { PICTURES_INDEX_FILE };
    media.index = Some(BackupSource { name: name.to_owned(), path: work.join(PICTURES_INDEX_FILE) });
    Ok(media)
}

enum PieceFate {
    Sealed,
    Gone,
    Damaged,
}

struct Sealing {
    store: SealedPieces,
    /// Lengths of the files that are there.
    there: HashMap<String, u64>,
    /// Lengths that the newest backup lists.
    listed: HashMap<PieceId, u64>,
    /// Whether the contents of pieces that are there are compared too.
    thorough: bool,
    sealed: HashMap<PieceId, u64>,
    written: usize,
}

impl Sealing {
    fn begin(
        clinic: &BackedUpClinic<'_>,
        keys: &BackupKeys,
        folder: &Path,
        site: SiteId,
    ) -> Result<Self, BackupRefused> {
        let id = backups::clinic_id(site);
        let store = SealedPieces::beside(folder, &id, &keys.key);
        store.prepare()?;
        let drills = [BackupAct::DrillPassed, BackupAct::DrillFailed];
        let events = BackupEvents::read(clinic.dir).unwrap_or_default();
        let last = events.last_in(folder, &drills);
        Ok(Self {
            there: store.lengths()?,
            store,
            listed: listed_before(folder, &id, keys),
            // Seals anew what a drill found damaged.
            thorough: last.is_some_and(|drill| drill.act == BackupAct::DrillFailed),
            sealed: HashMap::new(),
            written: 0,
        })
    }

    fn seal(&mut self, piece: &MediaPiece, reader: &mut MediaReader) -> Result<PieceFate, BackupRefused> {
        let id = id_of(piece);
        if self.sealed.contains_key(&id) {
            return Ok(PieceFate::Sealed);
        }
        if let Some(bytes) = self.sealed_before(&id) {
            self.sealed.insert(id, bytes);
            return Ok(PieceFate::Sealed);
        }
        Ok(match reader.read(piece)? {
            MediaRead::Gone => PieceFate::Gone,
            MediaRead::Damaged => PieceFate::Damaged,
            MediaRead::Sound(bytes) => {
                let sealed = self.store.seal(&contents_of(bytes))?;
                self.sealed.insert(id, sealed.bytes);
                self.written += 1;
                PieceFate::Sealed
            }
        })
    }

    /// The length of a piece that is there already. One that has not the length that the newest backup lists, or that no
    /// backup lists, as after one that was stopped, is read and compared.
    fn sealed_before(&self, id: &PieceId) -> Option<u64> {
        let bytes = *self.there.get(&self.store.name(id))?;
        let as_listed = !self.thorough && self.listed.get(id) == Some(&bytes);
        (as_listed || matches!(self.store.read(id), Ok(Some(_)))).then_some(bytes)
    }

    /// The pieces of the index, each once, without those of what is taken out of it.
    fn finish(
        mut self,
        index: &[MediaPiece],
        gone: &HashSet<MediaOwner>,
    ) -> Result<Vec<BackedUpPiece>, BackupRefused> {
        self.store.flush()?;
        let kept = index.iter().filter(|piece| !gone.contains(&piece.owner())).map(id_of);
        // Two videos may have a piece in common.
        Ok(kept.filter_map(|id| Some(BackedUpPiece::of(&id, self.sealed.remove(&id)?))).collect())
    }
}

/// The pieces that the newest backup in a folder lists; none where it cannot be told.
fn listed_before(folder: &Path, clinic: &str, keys: &BackupKeys) -> HashMap<PieceId, u64> {
    let name = backups::pieces_folder_name(clinic, &keys.key);
    let found = backups::list(folder, Some(clinic)).unwrap_or_default();
    let mut files = found.into_iter().filter_map(|found| found.file.ok());
    let newest = files.find(|file| file.header.pieces.as_ref() == Some(&name));
    let opened = newest.and_then(|file| file.unlock(&keys.key).ok());
    let pieces = opened.iter().flat_map(|opened| &opened.manifest().pieces);
    pieces.filter_map(|piece| Some((piece.id()?, piece.bytes))).collect()
}

fn id_of(piece: &MediaPiece) -> PieceId {
    match piece {
        MediaPiece::Picture { hash, thumbnail } => PieceId::Picture(*hash.bytes(), *thumbnail),
        MediaPiece::Video { hash, .. } => PieceId::Video(*hash),
    }
}

fn contents_of(bytes: MediaBytes) -> PieceContents {
    match bytes {
        MediaBytes::Picture(NewPicture { picture, thumbnail }) => PieceContents::Picture(picture, thumbnail),
        MediaBytes::Video(bytes) => PieceContents::Video(bytes),
    }
}

fn bytes_of(contents: PieceContents) -> MediaBytes {
    match contents {
        PieceContents::Picture(picture, thumbnail) => MediaBytes::Picture(NewPicture { picture, thumbnail }),
        PieceContents::Video(bytes) => MediaBytes::Video(bytes),
    }
}

/// Puts the photographs and videos of a backup, which was written out into the work folder, together again from the
/// pieces beside it. Returns what cannot be had. Does nothing for a backup that has them in its file.
///
/// # Errors
/// When a file in the work folder cannot be read or written.
pub(crate) fn put_together(
    pictures: &Pictures,
    work: &Path,
    (file, key): (&BackupFile, &RecordsKey),
) -> Result<Vec<LostPiece>, ArchiveError> {
    let store = store_beside(file, key);
    pictures.put_together(work, &mut |piece: &MediaPiece| {
        Ok(match store.read(&id_of(piece)) {
            Ok(Some(contents)) => MediaRead::Sound(bytes_of(contents)),
            Ok(None) => MediaRead::Gone,
            Err(error) => {
                tracing::warn!("a piece beside a backup: {error}");
                MediaRead::Damaged
            }
        })
    })
}

fn store_beside(file: &BackupFile, key: &RecordsKey) -> SealedPieces {
    let folder = file.path.parent().unwrap_or(Path::new("."));
    SealedPieces::beside(folder, &file.header.clinic, key)
}

/// The name of the folder of the pieces of a backup.
pub(super) fn pieces_folder_of(file: &BackupFile, key: &RecordsKey) -> String {
    backups::pieces_folder_name(&file.header.clinic, key)
}

/// The name of the file of a piece within that folder.
pub(super) fn name_of(file: &BackupFile, key: &RecordsKey, piece: &MediaPiece) -> String {
    store_beside(file, key).name(&id_of(piece))
}

/// Removes the pieces beside the backups of a clinic that no backup lists any more, and the folders of pieces of other
/// keys that no backup names. Nothing is removed while the list of a backup cannot be read. `listed` are those of the
/// backup that was just made. Returns how many were removed.
pub(super) fn remove_unlisted(
    folder: &Path,
    site: SiteId,
    keys: &BackupKeys,
    listed: &[BackedUpPiece],
) -> Result<usize, BackupRefused> {
    let id = backups::clinic_id(site);
    let folders = backups::pieces_folders(folder, &id)?;
    let store = SealedPieces::beside(folder, &id, &keys.key);
    let only_own = folders.iter().all(|path| path == store.folder());
    // Every piece that is there is listed: nothing else has to be read.
    if folders.is_empty() || (only_own && store.lengths()?.len() == listed.len()) {
        return Ok(0);
    }
    let files = backups::list(folder, Some(&id))?.into_iter().map(|found| found.file);
    let files = files.collect::<Result<Vec<BackupFile>, _>>()?;
    let mut removed = 0;
    for path in folders {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let naming = files.iter().filter(|file| file.header.pieces.as_deref() == Some(&*name));
        let naming: Vec<&BackupFile> = naming.collect();
        if naming.is_empty() {
            removed += backups::remove_pieces_folder(&path)?;
        } else if path == store.folder() {
            let mut needed = HashSet::new();
            for file in naming {
                let opened = file.unlock(&keys.key)?;
                needed.extend(opened.manifest().pieces.iter().filter_map(BackedUpPiece::id));
            }
            removed += store.keep_only(&needed)?;
        }
    }
    Ok(removed)
}
