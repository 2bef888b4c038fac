//! The pictures themselves. Each is asked for by its child and its entry, never by its hash alone.
//!
//! Whether a picture may be seen is asked at every request: the right of the person and a restriction by the gate, the
//! entry and the consent here. A whole picture is kept by no cache. A small one may be kept by the browser of the person,
//! which has to ask each time before it shows it (`no-cache`): asking costs no reading of the picture, and after a
//! withdrawal the answer is that there is none. What a browser has stored before lies on its disk until the browser
//! deletes it; `docs/kept-photographs.md` says so.

use super::shown::{consent_now, kept_of};
use crate::{
    app::App,
    web::{Fail, PageResult, Shared, work},
};
use axum::{
    extract::{Path, State},
    http::{HeaderMap, StatusCode, header},
    response::IntoResponse,
};
use clinic::KeptSize;
use pages::{PART_SIDE, RequestError};
use photographs::enlarged_part;
use record::{ChildId, EntryId, PictureHash};
use uuid::Uuid;

/// What a browser may do with a small picture: keep it for its person, and ask before each use.
const ASK_FIRST: &str = "private, no-cache";

/// A kept picture, small or whole. Without a consent in force there is none.
pub async fn kept(
    State(app): State<Shared>,
    Path((child, entry, size)): Path<(ChildId, EntryId, String)>,
    headers: HeaderMap,
) -> PageResult {
    let size = match size.as_str() {
        "small" => KeptSize::Thumbnail,
        "whole" => KeptSize::Whole,
        _ => return Err(Fail::not_found()),
    };
    let found = work(&app, move |app| {
        let hash = permitted(app, child, entry)?;
        let is_known = size == KeptSize::Thumbnail && names(&headers, &tag(hash));
        let bytes = if is_known { None } else { Some(read(app, hash, size)?) };
        Ok((hash, bytes))
    });
    let (hash, bytes) = found.await?;
    if size == KeptSize::Whole {
        return Ok(jpeg(bytes.unwrap_or_default()));
    }
    let kept = [(header::ETAG, tag(hash)), (header::CACHE_CONTROL, ASK_FIRST.to_owned())];
    Ok(match bytes {
        Some(bytes) => (kept, jpeg(bytes)).into_response(),
        None => (StatusCode::NOT_MODIFIED, kept).into_response(),
    })
}

/// The hash of the picture of an entry that holds, of a child whose family consents today.
fn permitted(app: &App, child: ChildId, entry: EntryId) -> Result<PictureHash, Fail> {
    let known = app.known(child, app.clock.today())?;
    let kept = kept_of(app, &known, app.clock.today())?;
    let found = kept.photographs.iter().find(|one| one.entry == entry).ok_or_else(Fail::not_found)?;
    if !consent_now(app, &known)?.is_in_force() {
        return Err(Fail::not_found());
    }
    Ok(found.photograph.picture)
}

fn read(app: &App, hash: PictureHash, size: KeptSize) -> Result<Vec<u8>, Fail> {
    app.pictures().read(hash, size)?.ok_or_else(|| {
        Fail(RequestError::Refused("This photograph is not among those that are kept.".to_owned()))
    })
}

/// The tag of a small picture, which is made from the whole one and changes only with it.
fn tag(hash: PictureHash) -> String {
    format!("\"{hash}-small\"")
}

/// Whether a browser says that it has what has this tag (RFC 9110, 13.1.2: a list of tags, each perhaps weak, or `*`).
fn names(headers: &HeaderMap, tag: &str) -> bool {
    let given = headers.get_all(header::IF_NONE_MATCH).iter().filter_map(|value| value.to_str().ok());
    given.flat_map(|list| list.split(',')).map(str::trim).any(|one| one.trim_start_matches("W/") == tag)
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
        let whole = read(app, permitted(app, child, entry)?, KeptSize::Whole)?;
        // Twice as many pixels as the screen counts, for fine screens.
        let side = 2 * u32::from(PART_SIDE);
        enlarged_part(&whole, (x.into(), y.into()), span.into(), side)
            .map_err(|fault| Fail(RequestError::Refused(fault.to_string())))
    });
    Ok(jpeg(bytes.await?))
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

/// No cache keeps it: that is the rule of every answer that names no other.
fn jpeg(bytes: Vec<u8>) -> axum::response::Response {
    ([(header::CONTENT_TYPE, "image/jpeg")], bytes).into_response()
}
