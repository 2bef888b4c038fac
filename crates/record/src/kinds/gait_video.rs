//! A video of how a child walks, runs or squats, kept beside the record and named by its hash.

use crate::{
    Day, Finding, VideoHash,
    field::{KindHooks, KindSpec, field, kept, long, time},
};

choice! {
    /// From where a gait is filmed.
    GaitView {
        /// The child comes towards the camera.
        Front = "front", "from the front";
        /// The child goes away from the camera.
        Behind = "behind", "from behind";
        /// The child passes the camera.
        Side = "side", "from the side";
        /// There and back in one film.
        FrontAndBehind = "front-and-behind", "from the front and from behind";
    }
}

choice! {
    /// What the child does in a video.
    GaitActivity {
        /// It walks.
        Walking = "walking", "walking";
        /// It runs.
        Running = "running", "running";
        /// It squats down and gets up.
        Squatting = "squatting", "squatting";
    }
}

entry! {
    with hooks;
    /// A video of both feet in motion, taken on the entry's day. The entry names the video and never holds it; without a
    /// consent to videos in force it is not shown. It is about no single foot: both are seen.
    #[derive(Eq)]
    GaitVideo = KindSpec::new("gait_video", "video of gait").since(10).day_label("Taken on")
        .first(&["activity", "view"]);

    /// What the child does.
    required activity: GaitActivity => field("What the child does");
    /// From where it was taken.
    required view: GaitView => field("View");
    /// The kept video.
    required video: VideoHash => kept("Video");
    /// Its size as it is kept, in bytes.
    required size_bytes: u32 => kept("Size of the video");
    /// Its length, in milliseconds.
    required duration_ms: u32 => kept("Length of the video");
    /// The time of day at which it was taken, if somebody said so or confirmed that of the file.
    optional taken_at: Option<String> => time("Taken at (time of day)");
    /// Anything else.
    optional note: Option<String> => long("Anything else");
}

impl GaitVideo {
    /// Whether this is the same kept video: a correction never exchanges it.
    #[must_use]
    pub fn is_same_video(&self, other: &Self) -> bool {
        (self.video, self.size_bytes, self.duration_ms) == (other.video, other.size_bytes, other.duration_ms)
    }

    /// "walking, from the side".
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}, {}", self.activity.words(), self.view.words())
    }

    /// "12 seconds": to the nearest second, at least one.
    #[must_use]
    pub fn length_words(&self) -> String {
        match (self.duration_ms.saturating_add(500) / 1000).max(1) {
            1 => "1 second".to_owned(),
            seconds => format!("{seconds} seconds"),
        }
    }
}

impl KindHooks for GaitVideo {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        if self.size_bytes == 0 {
            findings.push(Finding::refuse("size_bytes", "A video has at least one byte."));
        }
        if self.duration_ms == 0 {
            findings.push(Finding::refuse("duration_ms", "A video lasts at least a millisecond."));
        }
    }

    fn sentence(&self) -> Option<String> {
        let mut sentence = format!("video of both feet, {}, {}", self.words(), self.length_words());
        if let Some(time) = self.taken_at.as_deref().map(str::trim).filter(|time| !time.is_empty()) {
            sentence.push_str(&format!(", taken at {time}"));
        }
        if let Some(note) = self.note.as_deref().map(str::trim).filter(|note| !note.is_empty()) {
            sentence.push_str(&format!("; {note}"));
        }
        Some(sentence)
    }
}

impl crate::Body {
    /// The kept video that an entry names, also as what a correction brings.
    #[must_use]
    pub fn video(&self) -> Option<VideoHash> {
        match self {
            Self::GaitVideo(video) => Some(video.video),
            Self::Correction(correction) => correction.body.video(),
            _ => None,
        }
    }
}
