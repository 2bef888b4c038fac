//! The family's full copy of a record, as a download.

use crate::web::{Fail, PageResult, Shared, work};
use axum::{
    extract::{Path, State},
    http::header,
    response::IntoResponse,
};
use record::ChildId;

/// The zip with the page and the data.
pub async fn download(State(app): State<Shared>, Path(child): Path<ChildId>) -> PageResult {
    let made = work(&app, move |app| {
        app.family_copy(child)
            .map_err(|failure| Fail::fault(&failure.to_string()))?
            .ok_or_else(Fail::not_found)
    });
    let copy = made.await?;
    let headers = [
        (header::CONTENT_TYPE, "application/zip".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{}\"", copy.file_name)),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    Ok((headers, copy.bytes).into_response())
}
