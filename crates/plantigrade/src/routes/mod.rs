//! The routes: one file per page, and what stands before all of them.

mod add;
mod assets;
mod attention;
mod child;
mod day;
mod entry;
mod find;
mod gate;
mod import;
mod protocol;
mod register;
mod sign_in;
mod start;
mod trouble;
mod visit;
mod write;

pub use sign_in::{DEMO_ACCOUNT, DEMO_LINK};
pub use start::LINK as START_LINK;

use crate::{
    headers,
    web::{FILE_BYTES, FORM_BYTES, Shared},
};
use axum::{
    Router,
    extract::DefaultBodyLimit,
    middleware::{from_fn, from_fn_with_state},
    response::Redirect,
    routing::{get, post},
};
use tower_http::{catch_panic::CatchPanicLayer, compression::CompressionLayer};

/// Every route, with the gate before it and the headers after it.
pub fn router(app: Shared) -> Router {
    let secure = app.mode.secure;
    let inner = pages_router()
        .fallback(|| async { crate::web::Fail::not_found() })
        .layer(DefaultBodyLimit::max(FORM_BYTES))
        .layer(CatchPanicLayer::custom(trouble::caught))
        .layer(from_fn_with_state(app.clone(), trouble::draw))
        .layer(from_fn_with_state(app.clone(), gate::let_in));
    // On this machine the bytes cost nothing and squeezing them does.
    let inner = if secure { inner.layer(CompressionLayer::new()) } else { inner };
    inner
        .layer(from_fn(move |request, next| headers::add(secure, request, next)))
        .layer(CatchPanicLayer::custom(trouble::caught_late))
        .with_state(app)
}

fn pages_router() -> Router<Shared> {
    let upload = Router::new()
        .route("/import", get(import::form).post(import::upload))
        .layer(DefaultBodyLimit::max(FILE_BYTES));
    Router::new()
        .route("/", get(|| async { Redirect::to("/day") }))
        .route("/start/{token}", get(start::form).post(start::set_up))
        .route("/demo/{token}", get(sign_in::by_link))
        .route("/sign-in", get(sign_in::form).post(sign_in::sign_in))
        .route("/sign-out", post(sign_in::sign_out))
        .route("/day", get(day::page))
        .route("/day/arrived", post(day::arrived))
        .route("/day/missed", post(day::missed))
        .route("/attention", get(attention::page))
        .route("/find", get(find::page))
        .route("/register", get(register::form).post(register::register))
        .route("/child/{id}", get(child::page))
        .route("/child/{id}/visit", get(visit::form).post(visit::save))
        .route("/child/{id}/visit/preview", post(visit::preview))
        .route("/child/{id}/add/{kind}", get(add::form).post(add::save))
        .route("/child/{id}/entry/{entry}", get(entry::page))
        .route("/child/{id}/entry/{entry}/correct", post(entry::correct))
        .route("/child/{id}/entry/{entry}/withdraw", post(entry::withdraw))
        .route("/protocol", get(protocol::page))
        .route("/import/confirm", post(import::confirm))
        .route("/import/refused", get(import::refused))
        .route("/assets/{file}", get(assets::file))
        .route("/health", get(|| async { "ok" }))
        .merge(upload)
}
