//! The page of a child’s videos, and the family’s answer about them.

use crate::{
    app::App,
    clock::local_words,
    forms,
    routes::{
        photographs::consent_words,
        submission::{Draft, Submission},
    },
    video_uploads::{VIDEO_BYTES, VIDEO_SECONDS},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::{ChildRecord, KeptVideo, MediaConsent};
use maud::Markup;
use pages::{
    Frame, Here, Message, VideoShown, VideosView, WaitingShown,
    fields::{Filled, ON},
};
use record::{ChildId, ConsentMatter, Kind};
use serde::Deserialize;

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct VideosQuery {
    done: Option<String>,
}

fn message(done: &str) -> Option<Message> {
    Some(Message::Done(
        match done {
            "saved" => "The video is saved.",
            "forgotten" => "The video is forgotten. Nothing of it was kept.",
            "given" => "The consent to videos is recorded.",
            "refused" => "Recorded: the family does not consent to videos.",
            "withdrawn" => "Recorded: the family took its consent back. No video is shown from now on.",
            _ => return None,
        }
        .to_owned(),
    ))
}

/// Whether videos may be taken and shown today, whatever the day as of which a page is shown.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn consent_now(app: &App, known: &ChildRecord) -> Result<MediaConsent, Fail> {
    let today = app.clock.today();
    let now = app.known(known.outlook.course.child, today)?;
    Ok(app.records.video_consent(&app.pictures(), &now, today)?)
}

/// Whether no consent to videos of a child is in force.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn consent_missing(app: &App, child: ChildId) -> Result<bool, Fail> {
    let known = app.known(child, app.clock.today())?;
    Ok(!consent_now(app, &known)?.is_in_force())
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<VideosQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Child);
    frame.message = asked.done.as_deref().and_then(message);
    show(work(&app, move |app| drawn(app, &frame, child, None, Filled::default())).await?)
}

/// The page with why nothing was taken, or with what is wrong in the form of the answer.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn drawn(
    app: &App,
    frame: &Frame,
    child: ChildId,
    error: Option<String>,
    answer: Filled,
) -> Result<Markup, Fail> {
    let today = app.clock.today();
    let known = app.known(child, today)?;
    let consent = consent_words(consent_now(app, &known)?, ConsentMatter::Videos.words());
    let mut on_record = known.videos(today);
    on_record.reverse();
    let kept = app.videos().hashes()?;
    let hidden = if consent.in_force { 0 } else { on_record.len() };
    on_record.retain(|_| consent.in_force);
    let shown = |one: KeptVideo| shown(app, kept.contains(&one.video.video), one);
    let waiting = app.videos().waiting_of(child)?.into_iter().map(|one| WaitingShown {
        href: format!("/child/{child}/videos/upload/{}", one.upload),
        words: format!("A video, sent by {}, {}", app.name_of(one.by), local_words(one.at)),
    });
    let view = VideosView {
        who: app.who(&known.outlook.course),
        consent,
        videos: on_record.into_iter().map(shown).collect(),
        hidden,
        waiting: waiting.collect(),
        answer,
        error,
        most_bytes: VIDEO_BYTES,
        most_seconds: VIDEO_SECONDS,
        once: app.once().to_string(),
    };
    Ok(pages::videos(frame, &view))
}

fn shown(app: &App, is_kept: bool, one: KeptVideo) -> VideoShown {
    let KeptVideo { entry, on, written, by, video } = one;
    VideoShown {
        entry,
        on,
        what: video.words(),
        length: video.length_words(),
        size: megabytes(video.size_bytes),
        taken_at: video.taken_at,
        note: video.note,
        attached: format!("Attached by {}, {}", app.name_of(by), local_words(written)),
        fault: (!is_kept).then(|| "This video is not among those that are kept.".to_owned()),
    }
}

/// "8.1 MB", rounded up.
fn megabytes(bytes: u32) -> String {
    let tenths = bytes.div_ceil(100_000);
    format!("{}.{} MB", tenths / 10, tenths % 10)
}

/// Records the answer of the family.
pub async fn answer(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = match filled.value("answer") {
        "given" => "given",
        "refused" => "refused",
        "withdrawn" => "withdrawn",
        _ => return Err(Fail::not_found()),
    };
    let saved = work(&app, move |app| {
        let today = app.clock.today();
        let whole = filled.clone().with("matter", ConsentMatter::Videos.key()).with(ON, today.to_string());
        let body = match forms::body_of(Kind::Consent, &whole, today) {
            Ok(body) => body,
            Err(errors) => {
                let form = Filled { errors, ..filled.clone() };
                return drawn(app, &frame, child, None, form).map(Some);
            }
        };
        let submission = Submission::of_form(app, child, by, &filled);
        match submission.save(app, vec![Draft::new(body, today)])?.or_form(&filled) {
            Ok(()) => Ok(None),
            Err(form) => drawn(app, &frame, child, None, form).map(Some),
        }
    });
    match saved.await? {
        None => to(&format!("/child/{child}/videos?done={done}")),
        Some(form) => again(form),
    }
}
