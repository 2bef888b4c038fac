//! For whoever looks after the computer: whether the program lives, its figures, and the log of requests.

use super::gate;
use crate::{
    figures,
    metrics::{OPEN_METRICS, RequestClass},
    web::{Fail, Shared, work},
};
use axum::{
    extract::{MatchedPath, Request, State},
    http::{Method, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use std::time::Instant;

/// Whether the program lives. From this computer, or an address that the settings name, also whether it can save.
pub async fn health(State(app): State<Shared>, request: Request) -> &'static str {
    if is_for(&app, &request) && app.saving_refused().is_some() { "reading only" } else { "ok" }
}

/// The figures, for this computer and the addresses that the settings name; everybody else finds nothing.
///
/// # Errors
/// "Not found" for everybody else.
pub async fn figures(State(app): State<Shared>, request: Request) -> Result<Response, Fail> {
    if !is_for(&app, &request) {
        return Err(Fail::not_found());
    }
    let text = work(&app, |app| Ok(figures::text(app))).await?;
    Ok(([(header::CONTENT_TYPE, OPEN_METRICS)], text).into_response())
}

fn is_for(app: &Shared, request: &Request) -> bool {
    gate::address_of(app, request).is_some_and(|from| {
        let from = from.to_canonical();
        from.is_loopback() || app.settings().metrics_from.contains(&from)
    })
}

/// Counts each request and logs it: method, pattern of the route, status and time. Neither the path nor the query is
/// logged, because they may name a child.
pub async fn note(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let (method, began) = (request.method().clone(), Instant::now());
    let pattern = request.extensions().get::<MatchedPath>().cloned();
    let pattern = pattern.as_ref().map(MatchedPath::as_str);
    let response = next.run(request).await;
    let (status, took) = (response.status(), began.elapsed());
    app.metrics.note(RequestClass::of(&method, pattern), status, took);
    let method = match method {
        Method::GET => "GET",
        Method::HEAD => "HEAD",
        Method::POST => "POST",
        // A method may be any word.
        _ => "other",
    };
    let route = pattern.unwrap_or("none");
    tracing::info!(method, route, status = status.as_u16(), ms = took.as_millis() as u64, "request");
    response
}
