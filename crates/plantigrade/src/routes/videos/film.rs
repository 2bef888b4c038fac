//! The videos themselves. Each is asked for by its child and its entry, never by its hash alone, and whether it may be
//! shown is asked for each part.

use super::{overview::consent_now, ranges::WantedBytes};
use crate::{
    app::App,
    video_uploads::media_type,
    web::{Fail, PageResult, Shared, work},
};
use axum::{
    extract::{Path, State},
    http::HeaderMap,
    response::Response,
};
use pages::RequestError;
use record::{ChildId, EntryId, VideoHash};
use uuid::Uuid;

/// A kept video, or a part of it. Without a consent in force there is none.
pub async fn kept(
    State(app): State<Shared>,
    Path((child, entry)): Path<(ChildId, EntryId)>,
    headers: HeaderMap,
) -> PageResult {
    let answered = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let found = known.videos(today).into_iter().find(|one| one.entry == entry);
        let hash = found.ok_or_else(Fail::not_found)?.video.video;
        if !consent_now(app, &known)?.is_in_force() {
            return Err(Fail::not_found());
        }
        answer(app, hash, &headers)
    });
    answered.await
}

/// A video that waits to be named, or a part of it.
pub async fn waiting(
    State(app): State<Shared>,
    Path((child, upload)): Path<(ChildId, Uuid)>,
    headers: HeaderMap,
) -> PageResult {
    let answered = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let waiting = app.videos().waiting(upload)?.filter(|upload| upload.child == child);
        if !consent_now(app, &known)?.is_in_force() {
            return Err(Fail::not_found());
        }
        let hash = waiting.ok_or_else(Fail::not_found)?.video;
        answer(app, hash, &headers)
    });
    answered.await
}

fn answer(app: &App, hash: VideoHash, headers: &HeaderMap) -> Result<Response, Fail> {
    let missing = || Fail(RequestError::Refused("This video is not among those that are kept.".to_owned()));
    let videos = app.videos();
    let about = videos.about(hash)?.ok_or_else(missing)?;
    let media_type = media_type(&about.format).ok_or_else(missing)?;
    let wanted = WantedBytes::of(headers, about.size);
    let bytes = videos.read(hash, wanted.range(about.size))?.ok_or_else(missing)?;
    Ok(wanted.answer(bytes, about.size, media_type))
}
