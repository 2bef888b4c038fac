//! A video that somebody sends: read on trial, made safe to keep, and held until view and day are named.

use crate::{
    app::App,
    trial_reading::{TrialError, TrialKind},
};
use clinic::{ArchiveError, NewVideo, Videos};
use record::{ChildId, Day, UserId};
use serde::{Deserialize, Serialize};
use uuid::Uuid;
use videos::{PreparedVideo, VideoFormat, VideoLimits, prepare};

/// The largest video, in bytes.
pub const VIDEO_BYTES: usize = VideoLimits::USUAL.most_bytes;
/// The longest video, in seconds.
pub const VIDEO_SECONDS: u32 = VideoLimits::USUAL.most_seconds;
/// The largest form with a video, in bytes.
pub const VIDEO_FORM_BYTES: usize = VIDEO_BYTES + (1 << 20);

/// What is known of a video that waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct VideoFacts {
    /// Its size as it is kept, in bytes.
    pub size_bytes: u32,
    /// Its length, in milliseconds.
    pub duration_ms: u32,
    /// When the file says that it was taken, in seconds since 1970.
    pub taken_at: Option<i64>,
    /// What is to be told about it, in sentences.
    pub findings: Vec<String>,
}

impl VideoFacts {
    fn of(prepared: &PreparedVideo) -> Self {
        let mut findings = Vec::new();
        if prepared.sound_removed {
            findings.push("The sound was removed.".to_owned());
        }
        if prepared.position_removed {
            findings.push("The file said where it was taken; that was removed.".to_owned());
        }
        Self {
            size_bytes: u32::try_from(prepared.bytes.len()).unwrap_or(u32::MAX),
            duration_ms: prepared.duration_ms,
            taken_at: prepared.taken_at,
            findings,
        }
    }

    /// The facts as they were written; `None` where they cannot be read.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    /// Day and time of day at which it was taken by the file, in the machine's time zone.
    #[must_use]
    pub fn file_says(&self) -> Option<(Day, String)> {
        let instant = jiff::Timestamp::from_second(self.taken_at?).ok()?;
        let local = instant.to_zoned_datetime(jiff::tz::TimeZone::system());
        Some((Day::from_date(local.date()), format!("{:02}:{:02}", local.hour(), local.minute())))
    }
}

/// The media type in which a video of a kept format is answered; `None` for one that is not known.
#[must_use]
pub fn media_type(format: &str) -> Option<&'static str> {
    VideoFormat::ALL.into_iter().map(VideoFormat::media_type).find(|kind| *kind == format)
}

/// Makes a video of what was sent, in a child process first.
///
/// # Errors
/// Why it is not taken, one sentence.
pub fn video_of(app: &App, bytes: &[u8]) -> Result<PreparedVideo, String> {
    app.trial.read(TrialKind::Video, &[bytes]).map_err(|error| match error {
        TrialError::TooLong(_) | TrialError::Ended => {
            "This video cannot be read: it is damaged, or reading it needs more time or memory than is allowed. Take or send it again.".to_owned()
        }
        TrialError::NotStarted(_) => error.to_string(),
    })?;
    prepare(bytes, &VideoLimits::USUAL).map_err(|fault| fault.to_string())
}

/// A video that was made safe, as it is kept.
#[must_use]
pub fn new_video(prepared: PreparedVideo) -> (VideoFacts, NewVideo) {
    let facts = VideoFacts::of(&prepared);
    (facts, NewVideo { format: prepared.format.media_type().to_owned(), bytes: prepared.bytes })
}

impl App {
    /// The videos kept beside the records.
    #[must_use]
    pub fn videos(&self) -> Videos {
        self.pictures().videos()
    }

    /// Holds a video until it is named, and forgets what waited too long. An upload that was sent before is left as it is.
    ///
    /// # Errors
    /// When it cannot be written; then nothing of it is held.
    pub fn hold_video(
        &self,
        (upload, child, by): (Uuid, ChildId, UserId),
        made: PreparedVideo,
    ) -> Result<(), ArchiveError> {
        let videos = self.videos();
        if videos.waiting(upload)?.is_some() {
            return Ok(());
        }
        crate::photograph_uploads::tidy_pictures(self);
        let (facts, new) = new_video(made);
        let facts = serde_json::to_string(&facts).unwrap_or_default();
        videos.wait((upload, child, by, self.clock.now()), &facts, &new)
    }

    /// Forgets a video that waits, and removes it where no entry names it.
    ///
    /// # Errors
    /// When the records or the file cannot be read or written.
    pub fn forget_video(&self, upload: Uuid) -> Result<(), ArchiveError> {
        self.records.forget_waiting_video(&self.pictures(), upload)
    }
}
