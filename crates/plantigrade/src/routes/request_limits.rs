//! Limits of every request: how often one address may ask, how slowly a body may come, and how many files come at a
//! time.

use crate::{
    connections::{ConnectionLimits, PacedBody},
    web::{Shared, Visitor},
};
use axum::{
    body::Body,
    extract::{ConnectInfo, Request, State},
    http::{HeaderValue, Method, header},
    middleware::Next,
    response::Response,
};
use pages::RequestError;
use std::{
    net::SocketAddr,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
};

/// Refuses an address that asks too often. What comes from this computer itself is not counted: whoever sits at it has
/// other ways, and the pages of one screen ask for much at once.
pub async fn per_address(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let peer = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|info| info.0.ip());
    let from = app.client_address(request.headers(), peer).filter(|from| !from.to_canonical().is_loopback());
    if from.is_none_or(|from| app.request_rate.allows(from)) {
        return next.run(request).await;
    }
    let mut response = super::request_error::answer(&app, &Visitor::default(), &RequestError::TooMany);
    response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from_static("5"));
    response
}

/// Ends a body that comes too slowly, and lets only a few files come at a time.
pub async fn bodies(
    State((app, limits)): State<(Shared, ConnectionLimits)>,
    request: Request,
    next: Next,
) -> Response {
    if matches!(*request.method(), Method::GET | Method::HEAD) {
        return next.run(request).await;
    }
    let kind = request.headers().get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok());
    let is_file = kind.is_some_and(|kind| kind.trim_start().starts_with("multipart/"));
    let turn = app.uploads.try_acquire();
    if is_file && turn.is_err() {
        let text = "Several files are being read at this moment.".to_owned();
        return super::request_error::answer(&app, &Visitor::default(), &RequestError::Crowded(text));
    }
    let turn = turn.ok().filter(|_| is_file);
    let too_slow = Arc::new(AtomicBool::new(false));
    let (parts, body) = request.into_parts();
    let body = Body::new(PacedBody::new(body, limits, Arc::clone(&too_slow)));
    let mut response = next.run(Request::from_parts(parts, body)).await;
    drop(turn);
    if too_slow.load(Ordering::Acquire) {
        response = super::request_error::answer(&app, &Visitor::default(), &RequestError::TooSlow);
        response.headers_mut().insert(header::CONNECTION, HeaderValue::from_static("close"));
    }
    response
}
