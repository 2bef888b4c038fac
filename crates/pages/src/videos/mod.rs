//! Videos of a child's gait: the consent, what is on record by day, attaching one, naming what was sent.

mod names;

pub use names::{VideoNamesView, video_names};

use crate::{
    Frame, HelpTopic,
    fields::{self, Filled},
    frame,
    parts::{self, Who},
    photographs::{ConsentShown, MediaConsentView, WaitingShown, consent},
    words,
};
use maud::{Markup, html};
use record::{ConsentMatter, Day, EntryId, Right};

/// The form field with the file.
pub const VIDEO: &str = "video";

/// A video on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VideoShown {
    /// The entry.
    pub entry: EntryId,
    /// The day on which it was taken.
    pub on: Day,
    /// "walking, from the side".
    pub what: String,
    /// "12 seconds".
    pub length: String,
    /// "8.1 MB".
    pub size: String,
    /// The time of day, if it is recorded.
    pub taken_at: Option<String>,
    /// Anything else.
    pub note: Option<String>,
    /// "Attached by Dr Invented, 3 May 2024, 10:12".
    pub attached: String,
    /// Why it cannot be shown, one sentence: it is not among those that are kept.
    pub fault: Option<String>,
}

/// The page.
#[derive(Debug, Clone)]
pub struct VideosView {
    /// The child.
    pub who: Who,
    /// The consent to videos.
    pub consent: ConsentShown,
    /// What is on record, the latest first; empty without a consent in force.
    pub videos: Vec<VideoShown>,
    /// How many are on record and not shown, for want of a consent.
    pub hidden: usize,
    /// What waits to be named.
    pub waiting: Vec<WaitingShown>,
    /// The form of the family's answer.
    pub answer: Filled,
    /// Why what was just sent was not taken.
    pub error: Option<String>,
    /// The largest file, in bytes.
    pub most_bytes: usize,
    /// The longest video, in seconds.
    pub most_seconds: u32,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn videos(frame: &Frame, view: &VideosView) -> Markup {
    let (who, may) = (&view.who, frame.may(Right::RecordClinical));
    let answer = MediaConsentView {
        matter: ConsentMatter::Videos,
        who,
        consent: &view.consent,
        answer: &view.answer,
        uses: &[],
        once: &view.once,
    };
    let hidden = i64::try_from(view.hidden).unwrap_or(i64::MAX);
    let body = html! {
        (parts::band(who, "videos of gait", frame.today))
        @if let Some(error) = &view.error { div.errors role="alert" { p { strong { "Nothing was kept. " } (error) } } }
        (consent(frame, &answer))
        @if view.consent.in_force && may { (waiting(view)) (send_form(frame, view)) }
        @if view.consent.in_force { (on_record(view)) }
        @else if view.hidden > 0 { p.message.warning { (words::count(hidden, "video is", "videos are")) " on record and not shown." } }
        p.actions {
            a.button href=(who.href()) { "Back to " (who.shown_name()) } " "
            a.button href={ (who.href()) "/photographs" } { "Photographs of " (who.shown_name()) }
        }
    };
    frame::page(frame, HelpTopic::Videos, "Videos of gait", &body)
}

fn waiting(view: &VideosView) -> Markup {
    html! {
        @if !view.waiting.is_empty() {
            section.card aria-labelledby="waiting-head" {
                h2 id="waiting-head" { "Sent and not named yet" }
                p { "Such a video belongs to no day until somebody names it. After two days it is forgotten." }
                ul.plain-list { @for one in &view.waiting { li { a href=(one.href) { (one.words) } } } }
            }
        }
    }
}

fn send_form(frame: &Frame, view: &VideosView) -> Markup {
    let most_mb = view.most_bytes >> 20;
    html! {
        section.card aria-labelledby="send-head" {
            h2 id="send-head" { "Attach a video" }
            p { "One video at a time, MP4, MOV or WebM, of at most " strong { (view.most_seconds) " seconds and " (most_mb) " MB" } "." }
            p { "The sound is removed, because it may hold names; so are the place, the device, the time and every other note in the file. " strong { "Faces are not hidden" } ": film from the hips down." }
            form.photograph-send method="post" action={ (view.who.href()) "/videos" } enctype="multipart/form-data" data-one="Video" data-arrived="The video has arrived." {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                div.field {
                    label for="f-video" { "Video of the gait of " (view.who.shown_name()) }
                    input id="f-video" type="file" name=(VIDEO) accept="video/mp4,video/quicktime,video/webm,video/*" required data-most="1" data-bytes=(view.most_bytes);
                }
                p.actions { button.primary type="submit" { "Send the video of " (view.who.shown_name()) } }
                p.photograph-progress role="status" {}
            }
            (guide())
        }
    }
}

/// How a gait is filmed. Common practice, no source.
fn guide() -> Markup {
    html! {
        details.more {
            summary { "How it is filmed" }
            ul {
                li { "Barefoot and without the brace, trousers above the knees, on a firm, even floor." }
                li { "Hold the telephone sideways, at the height of the child’s knees, at least two metres away; do not follow the child with it." }
                li { "From the front and from behind: the child comes towards the camera and goes away from it. From the side: it passes by, once in each direction." }
                li { "Both feet are in the picture the whole time, from the floor to the hips. Leave faces and other people out." }
            }
        }
    }
}

fn on_record(view: &VideosView) -> Markup {
    html! {
        @if view.videos.is_empty() { p.hint { "No video is on record." } }
        @for one in &view.videos { (shown(&view.who, one)) }
    }
}

fn shown(who: &Who, one: &VideoShown) -> Markup {
    let (head, title) = (format!("video-{}", one.entry), words::capital(&one.what));
    html! {
        section.card.gait-video aria-labelledby=(head) {
            h2 id=(head) { (words::day(one.on)) ": " (title) }
            @if let Some(fault) = &one.fault { p.message.warning { (fault) } }
            @else { (player(&format!("{}/videos/{}/film", who.href(), one.entry), &format!("{title}, {}, {}", one.on.words(), who.age(one.on)))) }
            p {
                "Both feet, " (one.what) ", " (one.length) ", " (who.age(one.on))
                @if let Some(time) = &one.taken_at { ", taken at " (time) }
                "."
                @if let Some(note) = &one.note { " " (note) }
            }
            p.hint { (one.attached) ", " (one.size) ". " a href={ (who.href()) "/entry/" (one.entry) } { "Wrong day or view, or wrong child" } }
        }
    }
}

/// A film without sound. The script adds half speed and single pictures.
fn player(src: &str, label: &str) -> Markup {
    html! {
        div.gait-player {
            video controls playsinline muted preload="metadata" src=(src) aria-label=(label) {}
            p.message.warning hidden { "This browser does not play this video. Another browser or another computer of the clinic may." }
        }
    }
}
