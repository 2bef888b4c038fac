//! Taking a video that somebody sends: it is made safe to keep and waits to be named.

use super::overview::{consent_missing, drawn};
use crate::{
    app::App,
    photograph_uploads::disk_sentence,
    routes::photographs::sending::{SentFile, broken_form, whole},
    video_uploads::{VIDEO_BYTES, VIDEO_FORM_BYTES, video_of},
    web::{Fail, PageResult, Shared, Visitor, again, to, work},
};
use axum::extract::{Multipart, Path, State, multipart::MultipartError};
use pages::{
    Here, RequestError, VIDEO,
    fields::{CSRF, Filled, ONCE},
};
use record::ChildId;
use uuid::Uuid;
use videos::{PreparedVideo, VideoFault};

/// What was sent.
#[derive(Default)]
struct ReceivedForm {
    csrf: String,
    once: String,
    /// How many files there were, also beyond the one that is taken.
    count: usize,
    file: Option<SentFile>,
}

/// Takes the video of a form.
pub async fn send(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    form: Multipart,
) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Child));
    let sent = received(form).await?;
    if !visitor.sent(&sent.csrf) {
        return Err(Fail(RequestError::Stale));
    }
    let done = work(&app, move |app| {
        let upload = Uuid::parse_str(&sent.once).ok().filter(|id| id.get_version_num() == 7);
        let upload = upload.unwrap_or_else(|| app.once());
        let why = match taken(app, child, sent)? {
            Err(why) => why,
            Ok(made) => match app.hold_video((upload, child, by), made) {
                Ok(()) => return Ok(Ok(upload)),
                Err(error) => disk_sentence(error)?,
            },
        };
        drawn(app, &frame, child, Some(why), Filled::default()).map(Err)
    });
    match done.await? {
        Ok(upload) => to(&format!("/child/{child}/videos/upload/{upload}")),
        Err(page) => again(page),
    }
}

/// The video made safe, or why nothing is taken, one sentence.
fn taken(app: &App, child: ChildId, sent: ReceivedForm) -> Result<Result<PreparedVideo, String>, Fail> {
    if consent_missing(app, child)? {
        return Ok(Err("No consent to videos is in force.".to_owned()));
    }
    if sent.count > 1 {
        return Ok(Err(format!("{} videos were chosen, and one is taken at a time.", sent.count)));
    }
    Ok(match sent.file {
        None => Err("No video was chosen.".to_owned()),
        Some(SentFile::TooLarge) => {
            let most_mb = u64::try_from(VIDEO_BYTES >> 20).unwrap_or(u64::MAX);
            Err(VideoFault::LargeFile { most_mb }.to_string())
        }
        Some(SentFile::Whole(bytes)) => video_of(app, &bytes),
    })
}

fn broken(error: MultipartError) -> Fail {
    broken_form(&error, VIDEO_FORM_BYTES, "The video was not received completely. Nothing of it was kept.")
}

/// Reads the form. Of several files only the first stays in memory.
async fn received(mut form: Multipart) -> Result<ReceivedForm, Fail> {
    let mut sent = ReceivedForm::default();
    while let Some(field) = form.next_field().await.map_err(broken)? {
        let name = field.name().unwrap_or_default().to_owned();
        if name == VIDEO {
            let most = if sent.count == 0 { VIDEO_BYTES } else { 0 };
            let Some(file) = whole(field, most).await.map_err(broken)? else { continue };
            sent.count += 1;
            sent.file.get_or_insert(file);
            continue;
        }
        let text = String::from_utf8_lossy(&field.bytes().await.map_err(broken)?).trim().to_owned();
        match name.as_str() {
            CSRF => sent.csrf = text,
            ONCE => sent.once = text,
            _ => {}
        }
    }
    Ok(sent)
}
