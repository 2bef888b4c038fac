//! The routes: one file per page, and what stands before all of them.

mod add;
mod assets;
mod attention;
mod bench;
mod capacity;
mod child;
mod confirm;
mod day;
mod entry;
mod find;
mod forecasts;
mod gate;
mod import;
mod protocol;
mod put_off;
mod register;
mod results;
mod second_score;
mod sign_in;
mod start;
pub(crate) mod stock;
mod trouble;
mod troubles;
mod visit;
mod wear;
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
    router_with(app, Router::new())
}

/// The same with more routes behind the same gate, such as a fixed page to measure others against.
pub fn router_with(app: Shared, more: Router<Shared>) -> Router {
    dressed(pages_router().merge(more), app)
}

fn dressed(pages: Router<Shared>, app: Shared) -> Router {
    let secure = app.mode.secure;
    let inner = pages
        .fallback(|| async { crate::web::Fail::not_found() })
        .layer(DefaultBodyLimit::max(FORM_BYTES))
        .layer(CatchPanicLayer::custom(trouble::caught))
        .layer(from_fn_with_state(app.clone(), trouble::draw))
        .layer(from_fn_with_state(app.clone(), gate::let_in))
        .layer(from_fn_with_state(app.clone(), gate::encrypted));
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
        .route("/child/{id}/wear/logger", post(wear::logger))
        .layer(DefaultBodyLimit::max(FILE_BYTES))
        .layer(from_fn(import::not_too_large));
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
        .route("/attention/lost", get(attention::lost))
        .route("/child/{id}/put-off", get(put_off::form).post(put_off::save))
        .route("/find", get(find::page))
        .route("/register", get(register::form).post(register::register))
        .route("/child/{id}", get(child::page))
        .route("/child/{id}/wear", get(wear::page).post(wear::save))
        .route("/child/{id}/wear/logged", post(wear::keep))
        .route("/child/{id}/visit", get(visit::form).post(visit::save))
        .route("/child/{id}/visit/preview", post(visit::preview))
        .route("/child/{id}/second-score/{first}", get(second_score::form).post(second_score::save))
        .route("/child/{id}/both-scores/{second}", get(second_score::both))
        .route("/child/{id}/brace", get(bench::form))
        .route("/child/{id}/brace/measure", post(bench::measure))
        .route("/child/{id}/brace/fit", post(bench::fit))
        .route("/child/{id}/brace/sheet", get(bench::sheet))
        .route("/child/{id}/trouble", get(troubles::of_child).post(troubles::save))
        .route("/stock", get(stock::page).post(stock::keep))
        .route("/stock/text", post(stock::keep_text))
        .route("/stock/count", post(stock::count))
        .route("/trouble", get(troubles::page))
        .route("/child/{id}/add/{kind}", get(add::form).post(add::save))
        .route("/child/{id}/entry/{entry}", get(entry::page))
        .route("/child/{id}/entry/{entry}/correct", post(entry::correct))
        .route("/child/{id}/entry/{entry}/withdraw", post(entry::withdraw))
        .route("/capacity", get(capacity::page))
        .route("/capacity/compare", post(capacity::compare))
        .route("/capacity/keep", post(capacity::keep))
        .route("/protocol", get(protocol::page))
        .route("/results", get(results::page))
        .route("/results/definitions", get(results::definitions))
        .route("/results/year", get(results::year))
        .route("/results/agreement", get(results::agreement))
        .route("/results/agreement.csv", get(results::agreement_table))
        .route("/results/{measure}", get(results::measure))
        .route("/forecasts", get(forecasts::page))
        .route("/import/confirm", post(import::confirm))
        .route("/import/refused", get(import::refused))
        .route("/assets/{file}", get(assets::file))
        .route("/health", get(|| async { "ok" }))
        .merge(upload)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;
    use crate::{
        app::{App, Mode},
        clock::Clock,
        web::{Fail, work},
    };
    use axum::{
        body::{Body, to_bytes},
        extract::State,
        http::{Request, StatusCode},
    };
    use std::sync::Arc;
    use tower::ServiceExt;

    async fn off_the_thread(State(app): State<Shared>) -> Result<&'static str, Fail> {
        work(&app, |_| panic!("a child’s name that must not be shown")).await
    }

    async fn ask(router: &Router, path: &str) -> (StatusCode, String) {
        let request = Request::get(path).body(Body::empty()).unwrap();
        let response = router.clone().oneshot(request).await.unwrap();
        let status = response.status();
        let bytes = to_bytes(response.into_body(), 1 << 20).await.unwrap();
        (status, String::from_utf8(bytes.to_vec()).unwrap())
    }

    /// A mistake in a route costs that request and nothing else: a page in words, and the next one works.
    #[tokio::test]
    async fn a_route_that_panics_gives_a_page_and_the_server_lives_on() {
        let dir = tempfile::tempdir().unwrap();
        let app = Arc::new(App::open(dir.path(), Clock::new(None), Mode::default()).unwrap());
        // Under a path that is open, so that the gate lets it through without signing in.
        async fn broken() -> &'static str {
            panic!("a child’s name that must not be shown")
        }
        let pages =
            pages_router().route("/start/a/panic", get(broken)).route("/start/a/thread", get(off_the_thread));
        let router = dressed(pages, app);
        for path in ["/start/a/panic", "/start/a/thread"] {
            let (status, text) = ask(&router, path).await;
            assert_eq!(status, StatusCode::INTERNAL_SERVER_ERROR, "{path}");
            assert!(text.contains("<h1>The program made a mistake</h1>"), "{path}: {text}");
            assert!(
                text.contains("may not have been saved") && !text.contains("must not be shown"),
                "{text}"
            );
        }
        assert_eq!(ask(&router, "/sign-in").await.0, StatusCode::OK);
        assert_eq!(ask(&router, "/health").await.1, "ok");
    }
}
