//! Videos of gait: the page with and without consent, naming one, one that was not taken.

use super::{frame, in_casts, today};
use maud::Markup;
use pages::{
    ConsentShown, Here, VideoNamesView, VideoShown, VideosView, WaitingShown,
    fields::{Filled, SURE},
};
use record::EntryId;
use uuid::Uuid;

fn shown(number: u128, days_ago: i32) -> VideoShown {
    VideoShown {
        entry: EntryId::new(Uuid::from_u128(number)),
        on: today() - days_ago,
        what: "walking, from the side".to_owned(),
        length: "15 seconds".to_owned(),
        size: "8.1 MB".to_owned(),
        taken_at: (number == 1).then(|| "09:10".to_owned()),
        note: (number == 1).then(|| "barefoot".to_owned()),
        attached: "Attached by Dr Invented, 3 March 2025, 09:12".to_owned(),
        fault: (number == 2).then(|| "This video is not among those that are kept.".to_owned()),
    }
}

/// Every page about videos.
pub fn every(given: &str) -> Vec<(&'static str, Markup)> {
    vec![("videos", page(given, true)), ("videos-refused", page(given, false)), ("video-names", names(given))]
}

fn page(given: &str, in_force: bool) -> Markup {
    let words = if in_force {
        "The family consents to videos since 1 February 2025."
    } else {
        "No answer of the family about videos is recorded."
    };
    let view = VideosView {
        who: in_casts(given).who(),
        consent: ConsentShown { in_force, words: words.to_owned() },
        videos: if in_force { vec![shown(1, 7), shown(2, 21)] } else { Vec::new() },
        hidden: if in_force { 0 } else { 2 },
        waiting: vec![WaitingShown {
            href: "/child/x/videos/upload/y".into(),
            words: "A video, sent by Dr Invented, 3 March 2025, 09:12".into(),
        }],
        answer: Filled::default(),
        error: in_force.then(|| "3 videos were chosen, and one is taken at a time.".to_owned()),
        most_bytes: 60 << 20,
        most_seconds: 60,
        once: "once".into(),
    };
    pages::videos(&frame(Here::Child), &view)
}

fn names(given: &str) -> Markup {
    let filled = Filled::default()
        .with("view", "side")
        .wrong("activity", "Say what the child does.")
        .wrong(SURE, "The file says that it was taken on 3 March 2025.");
    let view = VideoNamesView {
        who: in_casts(given).who(),
        href: "/child/x/videos/upload/y".into(),
        findings: vec!["The sound was removed.".to_owned()],
        file_says: Some("3 March 2025, 09:10".to_owned()),
        file_time: Some("09:10".to_owned()),
        filled,
        once: "once".into(),
    };
    pages::video_names(&frame(Here::Child), &view)
}
