//! The style sheet and the script, cached by the browser until their hash changes.

use crate::web::Fail;
use axum::{
    extract::{Path, RawQuery},
    http::header,
    response::{IntoResponse, Response},
};

/// One file.
pub async fn file(Path(file): Path<String>, RawQuery(query): RawQuery) -> Response {
    let (text, kind, hash) = match file.as_str() {
        "app.css" => (pages::APP_CSS, "text/css; charset=utf-8", pages::assets::CSS_HASH),
        "app.js" => (pages::APP_JS, "text/javascript; charset=utf-8", pages::assets::JS_HASH),
        // Of documents for families, which are pages of their own.
        "letters.css" => (letters::html::STYLE, "text/css; charset=utf-8", 0),
        _ => return Fail::not_found().into_response(),
    };
    let current = query.is_some_and(|query| query == format!("v={hash:016x}"));
    let keep = if current { "public, max-age=31536000, immutable" } else { "no-cache" };
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, keep)], text).into_response()
}
