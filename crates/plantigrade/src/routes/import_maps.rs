//! The import maps that the clinic saved.

use crate::{
    saved_maps::{self, ListedMap},
    web::{Fail, PageResult, Posted, Shared, Visitor, page as shown, to, work},
};
use axum::{
    extract::{Path, Query, State},
    http::header,
    response::IntoResponse,
};
use exchange::MapFile;
use pages::{Here, ImportMapRow, ImportMapsView, Message, RequestError, fields::settings as names};
use serde::Deserialize;

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct MapsQuery {
    done: Option<String>,
}

/// The list.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(asked): Query<MapsQuery>) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Settings);
    let text = match asked.done.as_deref() {
        Some("deleted") => Some("The map is deleted. It can be restored below."),
        Some("restored") => Some("The map is restored."),
        _ => None,
    };
    frame.message = text.map(|text| Message::Done(text.to_owned()));
    let listed = work(&app, |app| saved_maps::list(&app.dir).map_err(|error| fault(&error))).await?;
    let (deleted, saved): (Vec<ListedMap>, Vec<ListedMap>) = listed.into_iter().partition(|map| map.deleted);
    let rows = |maps: Vec<ListedMap>| maps.into_iter().map(row).collect();
    shown(pages::import_maps(&frame, &ImportMapsView { saved: rows(saved), deleted: rows(deleted) }))
}

fn fault(error: &std::io::Error) -> Fail {
    Fail::fault(&format!("the import maps: {error}"))
}

fn row(map: ListedMap) -> ImportMapRow {
    let ListedMap { key, map, .. } = map;
    match MapFile::from_toml(&map.text) {
        Ok(file) => {
            let contents = file.contents();
            let (columns, answers) = (contents.columns, contents.answers);
            ImportMapRow { key, when: map.when, columns, answers, error: None }
        }
        Err(error) => {
            let error = Some(crate::exit::sentence(&error.to_string()));
            ImportMapRow { key, when: map.when, columns: Vec::new(), answers: 0, error }
        }
    }
}

/// Deletes a map or restores it.
pub async fn change(State(app): State<Shared>, Posted(filled): Posted) -> PageResult {
    let restore = filled.value(names::DO) == "restore";
    let done = work(&app, move |app| {
        saved_maps::move_map(&app.dir, filled.value(names::MAP), restore).map_err(|error| fault(&error))
    });
    match (done.await?, restore) {
        (true, true) => to("/settings/maps?done=restored"),
        (true, false) => to("/settings/maps?done=deleted"),
        (false, _) => Err(Fail(RequestError::Refused(
            "This map was deleted, restored or saved again in the meantime. Nothing was changed.".to_owned(),
        ))),
    }
}

/// A map as a file.
pub async fn file(State(app): State<Shared>, Path(key): Path<String>) -> PageResult {
    let map = work(&app, move |app| saved_maps::of_key(&app.dir, &key).map_err(|error| fault(&error)));
    let map = map.await?.ok_or_else(Fail::not_found)?;
    let headers = [
        (header::CONTENT_TYPE, "application/toml; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"sheet-map.toml\""),
    ];
    Ok((headers, map.text).into_response())
}
