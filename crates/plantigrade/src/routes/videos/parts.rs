//! A video that comes in parts over a bad network, as pictures do ([`crate::routes::photographs::parts`]).

use super::overview::{consent_missing, drawn};
use crate::{
    photograph_uploads::disk_sentence,
    routes::photographs::parts::{PART_BYTES, PartQuery, has_token, part_answer, taken},
    video_uploads::{VIDEO_BYTES, video_of},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, to, work},
};
use axum::{
    body::Bytes,
    extract::{Path, Query, State},
    http::HeaderMap,
    response::IntoResponse,
};
use clinic::ArrivingFile;
use pages::{
    Here, RequestError,
    fields::{Filled, ONCE},
};
use record::{ChildId, UserId};
use uuid::Uuid;

fn file_of(asked: PartQuery, child: ChildId, by: UserId) -> Result<ArrivingFile, Fail> {
    asked.file_of((child, by), VIDEO_BYTES, "This is no video that is taken.")
}

/// How many bytes of the file have arrived.
pub async fn arrived(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<PartQuery>,
) -> PageResult {
    let file = file_of(asked, child, visitor.user()?)?;
    let bytes = work(&app, move |app| Ok(app.pictures().arrived(&file)?)).await?;
    Ok(bytes.to_string().into_response())
}

/// Takes a part.
pub async fn take(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<PartQuery>,
    headers: HeaderMap,
    bytes: Bytes,
) -> PageResult {
    if !has_token(&visitor, &headers) {
        return Err(Fail(RequestError::Stale));
    }
    let (file, start) = (file_of(asked, child, visitor.user()?)?, asked.start());
    if bytes.is_empty() || bytes.len() > PART_BYTES {
        return Err(Fail(RequestError::Refused("This is no part of a video.".to_owned())));
    }
    let answer = work(&app, move |app| {
        if consent_missing(app, child)? {
            return Ok(Err("No consent to videos is in force.".to_owned()));
        }
        taken(app, &file, start, &bytes)
    });
    Ok(part_answer(answer.await?))
}

/// Makes a video of a file that has arrived completely; it then waits to be named as if it had come in a form. What was
/// sent is forgotten, also where it is not taken: it has the sound and the place.
pub async fn finish(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = work(&app, move |app| {
        let refused = |why: &str| drawn(app, &frame, child, Some(why.to_owned()), Filled::default()).map(Err);
        let incomplete = "The video was not received completely. Send it again.";
        let Some(file) = sent_file(filled.value("files"), child, by) else { return refused(incomplete) };
        if consent_missing(app, child)? {
            return refused("No consent to videos is in force.");
        }
        let upload = Uuid::parse_str(filled.value(ONCE)).ok().filter(|id| id.get_version_num() == 7);
        let (upload, pictures) = (upload.unwrap_or_else(|| app.once()), app.pictures());
        if pictures.videos().waiting(upload)?.is_some() {
            return Ok(Ok(upload));
        }
        let Some(bytes) = pictures.arrived_whole(&file)? else { return refused(incomplete) };
        let made = match video_of(app, &bytes) {
            Ok(made) => made,
            Err(fault) => {
                pictures.forget_arrived(&file)?;
                return refused(&fault);
            }
        };
        if let Err(error) = app.hold_video((upload, child, by), made) {
            return refused(&disk_sentence(error)?);
        }
        pictures.forget_arrived(&file)?;
        Ok(Ok(upload))
    });
    match done.await? {
        Ok(upload) => to(&format!("/child/{child}/videos/upload/{upload}")),
        Err(page) => again(page),
    }
}

/// The one file of a form, "id:bytes".
fn sent_file(text: &str, child: ChildId, by: UserId) -> Option<ArrivingFile> {
    let (file, total) = text.trim().split_once(':')?;
    Some(ArrivingFile { file: file.parse().ok()?, child, by, total: total.parse().ok()? })
}
