//! The page for a request that failed. It never shows internal details of the program.

use crate::{
    access_noting::{ClosedRefused, LackedRight},
    web::{Fail, Shared, Visitor},
};
use axum::{
    body::Body,
    extract::{Request, State},
    http::{StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use pages::{Here, RequestError};
use std::any::Any;

/// Draws the page if a route failed.
pub async fn draw(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let visitor = request.extensions().get::<Visitor>().cloned().unwrap_or_default();
    let mut response = next.run(request).await;
    match response.extensions_mut().remove::<RequestError>() {
        Some(error) => answer(&app, &visitor, &error),
        None => of_framework(&app, &visitor, response),
    }
}

/// Errors of the framework itself, such as an address that cannot be read, get a page too.
fn of_framework(app: &Shared, visitor: &Visitor, response: Response) -> Response {
    let typed = response
        .headers()
        .get(header::CONTENT_TYPE)
        .and_then(|value| value.to_str().ok())
        .unwrap_or_default();
    let ours = typed.starts_with("text/html");
    match response.status() {
        StatusCode::BAD_REQUEST | StatusCode::NOT_FOUND | StatusCode::METHOD_NOT_ALLOWED if !ours => {
            answer(app, visitor, &RequestError::NotFound)
        }
        StatusCode::PAYLOAD_TOO_LARGE if !ours => {
            answer(app, visitor, &crate::web::too_large(crate::web::FILE_BYTES).0)
        }
        _ => response,
    }
}

/// The page for an error.
pub fn answer(app: &Shared, visitor: &Visitor, error: &RequestError) -> Response {
    let status = StatusCode::from_u16(error.status()).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let page = pages::error(&app.frame(visitor, Here::Elsewhere), error);
    let mut response = (status, page).into_response();
    // For the access log.
    match error {
        RequestError::NoRight(refused) => {
            response.extensions_mut().insert(LackedRight(refused.right));
        }
        RequestError::Restricted(refused) => {
            response.extensions_mut().insert(ClosedRefused(refused.child));
        }
        _ => {}
    }
    response
}

/// A route panicked: the log names the place, and the page shows a word by which to find it in the log.
pub fn caught(_: Box<dyn Any + Send + 'static>) -> axum::http::Response<Body> {
    Fail::fault("a route panicked").into_response()
}

/// Drawing the page for the error panicked as well.
pub fn caught_late(_: Box<dyn Any + Send + 'static>) -> axum::http::Response<Body> {
    (StatusCode::INTERNAL_SERVER_ERROR, "The program made a mistake. What you sent may not have been saved.")
        .into_response()
}
