//! What the folder beside a backup does not have of its photographs and videos, in words.

use super::pieces::{name_of, pieces_folder_of};
use backups::BackupFile;
use clinic::{LostPiece, MediaOwner, NamedMedia};
use safekeeping::RecordsKey;
use std::collections::HashSet;

/// What is missing or damaged beside a backup.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MissingPieces {
    /// The name of the folder that belongs beside the backup.
    pub folder: String,
    /// Photographs of which nothing could be had.
    pub photographs: usize,
    /// Pieces of videos that could not be had.
    pub video_pieces: usize,
    /// Videos that are not whole without them.
    pub videos: usize,
    /// Files that are not there, of both.
    pub missing: usize,
    /// Files that are not as they were written, or were sealed with another key.
    pub damaged: usize,
    /// The name of the first of these files within the folder. It tells nothing about a child.
    pub first: String,
}

impl MissingPieces {
    /// Of what could not be had for a backup, that which entries name; `None` where that is nothing.
    pub(crate) fn of(
        (file, key): (&BackupFile, &RecordsKey),
        lost: &[LostPiece],
        named: &NamedMedia,
    ) -> Option<Self> {
        let is_named = |lost: &&LostPiece| match lost.piece.owner() {
            MediaOwner::Picture(hash) => named.pictures.contains(&hash),
            MediaOwner::Video(hash) => named.videos.contains(&hash),
        };
        let lost: Vec<&LostPiece> = lost.iter().filter(is_named).collect();
        let first = lost.first()?;
        let is_picture = |lost: &&&LostPiece| matches!(lost.piece.owner(), MediaOwner::Picture(_));
        let photographs = lost.iter().filter(is_picture).count();
        let damaged = lost.iter().filter(|lost| lost.damaged).count();
        let owners: HashSet<MediaOwner> = lost.iter().map(|lost| lost.piece.owner()).collect();
        Some(Self {
            folder: pieces_folder_of(file, key),
            photographs,
            video_pieces: lost.len() - photographs,
            videos: owners.len() - photographs,
            missing: lost.len() - damaged,
            damaged,
            first: name_of(file, key, &first.piece),
        })
    }

    /// For whoever restores the backup, and for everybody afterwards.
    #[must_use]
    pub fn restored_words(&self) -> String {
        format!(
            "In the folder {}, which belongs beside the backup, {}: {} could not be restored. Copy that folder whole beside the backup, and restore it again.",
            self.folder,
            self.files(),
            self.what()
        )
    }

    /// For a drill.
    #[must_use]
    pub fn drill_words(&self) -> String {
        format!(
            "In the folder {} beside the backup {}, without which {} cannot be restored. The first: {}.",
            self.folder,
            self.files(),
            self.what(),
            self.first
        )
    }

    fn files(&self) -> String {
        let of = |count: usize, what: &str| match count {
            0 => None,
            1 => Some(format!("1 file is {what}")),
            more => Some(format!("{more} files are {what}")),
        };
        let parts = [of(self.missing, "missing"), of(self.damaged, "damaged or of another key")];
        parts.into_iter().flatten().collect::<Vec<_>>().join(" and ")
    }

    fn what(&self) -> String {
        let of = |count: usize, one: &str| match count {
            0 => None,
            1 => Some(format!("1 {one}")),
            more => Some(format!("{more} {one}s")),
        };
        let videos = of(self.video_pieces, "piece").zip(of(self.videos, "video"));
        let videos = videos.map(|(pieces, videos)| format!("{pieces} of {videos}"));
        [of(self.photographs, "photograph"), videos].into_iter().flatten().collect::<Vec<_>>().join(" and ")
    }
}

#[cfg(test)]
mod tests {
    use super::MissingPieces;

    #[test]
    fn the_words_count_what_is_missing_and_name_the_folder() {
        let one = MissingPieces {
            folder: "plantigrade-0a1b2c3d-01234567.pictures".into(),
            photographs: 1,
            video_pieces: 0,
            videos: 0,
            missing: 1,
            damaged: 0,
            first: "ab/abcd".into(),
        };
        assert_eq!(
            one.restored_words(),
            "In the folder plantigrade-0a1b2c3d-01234567.pictures, which belongs beside the backup, 1 file is missing: 1 photograph could not be restored. Copy that folder whole beside the backup, and restore it again."
        );
        // Two photographs and three pieces are five files.
        let both =
            MissingPieces { photographs: 2, video_pieces: 3, videos: 1, missing: 4, damaged: 1, ..one };
        assert_eq!(
            both.drill_words(),
            "In the folder plantigrade-0a1b2c3d-01234567.pictures beside the backup 4 files are missing and 1 file is damaged or of another key, without which 2 photographs and 3 pieces of 1 video cannot be restored. The first: ab/abcd."
        );
    }
}
