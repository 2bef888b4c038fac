//! Pictures that somebody sends: read on trial, made safe to keep, and held until foot, view and day are named.

use crate::{
    app::App,
    request::Fail,
    trial_reading::{TrialError, TrialKind},
};
use clinic::{ArchiveError, NewPicture, Pictures, WaitingPicture};
use photographs::{PictureLimits, PreparedPhotograph, prepare};
use record::{ChildId, Day, Timestamp, UserId};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The most pictures that are taken at once.
pub const PICTURES_AT_ONCE: usize = 24;
/// The largest picture, in bytes.
pub const PICTURE_BYTES: usize = PictureLimits::USUAL.most_bytes;
/// The largest form with pictures, in bytes.
pub const PICTURES_BYTES: usize = 320 << 20;
/// How long what was sent waits to be named, in seconds.
const WAITS_SECONDS: i64 = 2 * 24 * 3600;
/// A picture that no entry names is left alone for so long: its entry may be about to be saved.
const UNNAMED_SECONDS: i64 = 3600;

/// What is known of a picture that waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PictureFacts {
    /// Width of the kept picture, in pixels.
    pub width: u16,
    /// Height of the kept picture, in pixels.
    pub height: u16,
    /// Day and time by the clock of the camera, "2024-05-03T10:12".
    pub camera: Option<String>,
    /// What is to be told about it, in sentences.
    pub findings: Vec<String>,
    /// Why it was not taken, one sentence.
    pub fault: Option<String>,
}

impl PictureFacts {
    fn refused(fault: String) -> Self {
        Self { width: 0, height: 0, camera: None, findings: Vec::new(), fault: Some(fault) }
    }

    fn of(prepared: &PreparedPhotograph) -> Self {
        let mut findings: Vec<String> = prepared.findings.iter().map(|finding| finding.sentence()).collect();
        if prepared.position_removed {
            findings.push("The file said where it was taken; that was removed.".to_owned());
        }
        let pixels = |side: u32| u16::try_from(side).unwrap_or(u16::MAX);
        Self {
            width: pixels(prepared.width),
            height: pixels(prepared.height),
            camera: prepared.taken_at.map(|at| at.strftime("%Y-%m-%dT%H:%M").to_string()),
            findings,
            fault: None,
        }
    }

    /// The facts as they were written; `None` where they cannot be read.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    /// Day and time of day by the clock of the camera.
    #[must_use]
    pub fn camera(&self) -> Option<(Day, &str)> {
        let (day, time) = self.camera.as_deref()?.split_once('T')?;
        Some((day.parse().ok()?, time))
    }
}

/// Makes a picture of what was sent, in a child process first, or says why it is not taken.
pub fn picture_of(app: &App, number: u16, bytes: &[u8]) -> WaitingPicture {
    let tried = app.trial.read(TrialKind::Photograph, &[bytes]).map_err(|error| match error {
        TrialError::TooLong(_) | TrialError::Ended => {
            "This picture cannot be read: it is damaged, or reading it needs more time or memory than is allowed. Take or send it again.".to_owned()
        }
        TrialError::NotStarted(_) => error.to_string(),
    });
    let made = tried.and_then(|()| prepare(bytes, &PictureLimits::USUAL).map_err(|fault| fault.to_string()));
    match made {
        Ok(prepared) => taken(number, prepared),
        Err(fault) => refused(number, fault),
    }
}

/// A picture that was made safe to keep.
#[must_use]
pub fn taken(number: u16, prepared: PreparedPhotograph) -> WaitingPicture {
    waiting(number, &PictureFacts::of(&prepared), Some(prepared))
}

/// In the place of a picture, why it is not taken.
#[must_use]
pub fn refused(number: u16, fault: String) -> WaitingPicture {
    waiting(number, &PictureFacts::refused(fault), None)
}

fn waiting(number: u16, facts: &PictureFacts, prepared: Option<PreparedPhotograph>) -> WaitingPicture {
    let picture = prepared.map(|made| NewPicture { picture: made.jpeg, thumbnail: made.thumbnail });
    WaitingPicture { number, facts: serde_json::to_string(facts).unwrap_or_default(), picture }
}

impl App {
    /// The pictures kept beside the records.
    #[must_use]
    pub fn pictures(&self) -> Pictures {
        self.records.pictures_in(&self.dir).with_most_pages(self.most_picture_pages)
    }

    /// Holds the pictures of an upload until they are named, and forgets what waited too long. An upload that was sent
    /// before is left as it is.
    ///
    /// # Errors
    /// When they cannot be written; then none of them is held.
    pub fn hold_pictures(
        &self,
        (upload, child, by): (Uuid, ChildId, UserId),
        pictures: &[WaitingPicture],
    ) -> Result<(), ArchiveError> {
        let (kept, now) = (self.pictures(), self.clock.now());
        if kept.waiting(upload)?.is_some() {
            return Ok(());
        }
        forget_waiting(&kept, now);
        kept.wait((upload, child, by, now), pictures)
    }
}

fn seconds_before(now: Timestamp, seconds: i64) -> Timestamp {
    Timestamp::from_seconds(now.seconds() - seconds)
}

/// Forgets what waited too long. What cannot be forgotten now is the next time.
fn forget_waiting(pictures: &Pictures, now: Timestamp) {
    if let Err(error) = pictures.forget_sent_before(seconds_before(now, WAITS_SECONDS)) {
        tracing::warn!("photographs that nobody named are not forgotten yet: {error}");
    }
}

/// Forgets what waited too long and removes pictures and videos without an entry, once a day with the check of the records: to find
/// those the whole log is read, which no upload should wait for.
pub fn tidy_pictures(app: &App) {
    let (pictures, now) = (app.pictures(), app.clock.now());
    forget_waiting(&pictures, now);
    let before = seconds_before(now, UNNAMED_SECONDS);
    if let Err(error) = app.records.remove_unnamed_media(&pictures, before) {
        tracing::warn!("photographs and videos without an entry are removed later: {error}");
    }
}

/// One sentence for the person who sent pictures, where the disk did not take them.
///
/// # Errors
/// What is no fault of the disk.
pub fn disk_sentence(error: ArchiveError) -> Result<String, Fail> {
    match error {
        ArchiveError::Full | ArchiveError::Disk(_) | ArchiveError::ReadOnly(_) => {
            Ok(crate::exit::sentence(&error.to_string()))
        }
        other => Err(other.into()),
    }
}
