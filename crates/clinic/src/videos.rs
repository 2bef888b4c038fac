//! Videos of a child: those on record, and whether a consent lets them be taken and shown.

use crate::{ChildRecord, ClinicRecords, photographs::MediaConsent};
use archive::{ArchiveError, Pictures};
use record::{Body, ConsentMatter, CorrectedLog, Day, EntryId, GaitVideo, Timestamp, UserId, VideoHash};
use uuid::Uuid;

/// A video on record, as corrected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptVideo {
    /// The entry.
    pub entry: EntryId,
    /// The day on which it was taken.
    pub on: Day,
    /// When the entry was written.
    pub written: Timestamp,
    /// Who attached it.
    pub by: UserId,
    /// What is recorded about it.
    pub video: GaitVideo,
}

impl ChildRecord {
    /// The videos that hold, corrected ones as corrected, without those withdrawn; by day, then as written.
    #[must_use]
    pub fn videos(&self, as_of: Day) -> Vec<KeptVideo> {
        let log = CorrectedLog::of(&self.entries, as_of);
        let mut kept: Vec<KeptVideo> = log
            .lines
            .iter()
            .filter(|line| line.on <= as_of && line.fate.holds())
            .filter_map(|line| {
                let Body::GaitVideo(video) = line.body else { return None };
                let (entry, written, by) = (line.entry.id, line.entry.at, line.entry.by);
                Some(KeptVideo { entry, on: line.on, written, by, video: video.clone() })
            })
            .collect();
        kept.sort_by_key(|video| video.on);
        kept
    }
}

impl ClinicRecords {
    /// Whether videos of a child may be taken and shown today.
    ///
    /// # Errors
    /// When the file of videos cannot be read.
    pub fn video_consent(
        &self,
        pictures: &Pictures,
        record: &ChildRecord,
        today: Day,
    ) -> Result<MediaConsent, ArchiveError> {
        let course = &record.outlook.course;
        let withheld = self.known_withheld().videos.since(course.child, || pictures.videos().withheld())?;
        Ok(MediaConsent::of(ConsentMatter::Videos, course, &record.entries, withheld, today))
    }

    /// Whether an entry of any child names a video.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn names_video(&self, video: VideoHash) -> Result<bool, ArchiveError> {
        Ok(self.archive().named_media()?.videos.contains(&video))
    }

    /// Forgets that a video waits to be named, and removes it where no entry names it.
    ///
    /// # Errors
    /// When the records or the file of videos cannot be read or written.
    pub fn forget_waiting_video(&self, pictures: &Pictures, upload: Uuid) -> Result<(), ArchiveError> {
        self.archive().forget_waiting_video(pictures, upload)
    }
}
