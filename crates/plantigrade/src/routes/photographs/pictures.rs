//! The pictures themselves. Each is asked for by its child and its entry, never by its hash alone.

use super::shown::consent_now;
use crate::{
    app::App,
    web::{Fail, PageResult, Shared, work},
};
use axum::{
    extract::{Path, State},
    http::header,
    response::IntoResponse,
};
use clinic::KeptSize;
use pages::{PART_SIDE, RequestError};
use photographs::enlarged_part;
use record::{ChildId, EntryId};
use uuid::Uuid;

/// A kept picture, small or whole. Without a consent in force there is none.
pub async fn kept(
    State(app): State<Shared>,
    Path((child, entry, size)): Path<(ChildId, EntryId, String)>,
) -> PageResult {
    let size = match size.as_str() {
        "small" => KeptSize::Thumbnail,
        "whole" => KeptSize::Whole,
        _ => return Err(Fail::not_found()),
    };
    Ok(jpeg(work(&app, move |app| read(app, child, entry, size)).await?))
}

/// A square part of a kept picture, enlarged: its middle and its side in pixels, "812-403-120". Without a consent in
/// force there is none.
pub async fn part(
    State(app): State<Shared>,
    Path((child, entry, part)): Path<(ChildId, EntryId, String)>,
) -> PageResult {
    let numbers: Option<Vec<u16>> = part.split('-').map(|number| number.parse().ok()).collect();
    let [x, y, span] = *numbers.as_deref().unwrap_or_default() else { return Err(Fail::not_found()) };
    let bytes = work(&app, move |app| {
        let whole = read(app, child, entry, KeptSize::Whole)?;
        // Twice as many pixels as the screen counts, for fine screens.
        let side = 2 * u32::from(PART_SIDE);
        enlarged_part(&whole, (x.into(), y.into()), span.into(), side)
            .map_err(|fault| Fail(RequestError::Refused(fault.to_string())))
    });
    Ok(jpeg(bytes.await?))
}

fn read(app: &App, child: ChildId, entry: EntryId, size: KeptSize) -> Result<Vec<u8>, Fail> {
    let known = app.known(child, app.clock.today())?;
    let found = known.photographs(app.clock.today()).into_iter().find(|one| one.entry == entry);
    let hash = found.ok_or_else(Fail::not_found)?.photograph.picture;
    if !consent_now(app, &known)?.is_in_force() {
        return Err(Fail::not_found());
    }
    app.pictures().read(hash, size)?.ok_or_else(|| {
        Fail(RequestError::Refused("This photograph is not among those that are kept.".to_owned()))
    })
}

/// The small picture of one that waits to be named.
pub async fn waiting(
    State(app): State<Shared>,
    Path((child, upload, number)): Path<(ChildId, Uuid, u16)>,
) -> PageResult {
    let bytes = work(&app, move |app| {
        let (pictures, known) = (app.pictures(), app.known(child, app.clock.today())?);
        let is_own = pictures.waiting(upload)?.is_some_and(|upload| upload.child == child);
        if !is_own || !consent_now(app, &known)?.is_in_force() {
            return Err(Fail::not_found());
        }
        let found = pictures.waiting_picture(upload, number)?.ok_or_else(Fail::not_found)?;
        Ok(found.thumbnail)
    });
    Ok(jpeg(bytes.await?))
}

/// No cache keeps it: that is the rule of every answer.
fn jpeg(bytes: Vec<u8>) -> axum::response::Response {
    ([(header::CONTENT_TYPE, "image/jpeg")], bytes).into_response()
}
