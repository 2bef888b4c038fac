//! The routes: one file per page, and the layers in front of all of them.

mod add;
mod admission;
mod assets;
mod attention;
mod brace_fitting;
mod brace_problems;
mod call;
mod capacity;
mod child;
mod confirm;
mod day;
mod day_loads;
mod devices;
mod entry;
mod find;
mod forecasts;
mod gate;
mod import;
mod import_pairs;
mod import_undo;
mod join;
mod move_appointment;
mod protocol;
mod put_off;
mod register;
mod request_error;
mod results;
mod second_score;
mod siblings;
mod sign_in;
mod start;
mod steps;
pub(crate) mod stock;
mod submission;
mod visit;
mod visit_outcome;
mod visit_remedy;
mod wear;

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
    routing::{MethodRouter, get, post},
};
use tower_http::{catch_panic::CatchPanicLayer, compression::CompressionLayer};

/// Every route, with the gate in front and the headers added to every response.
pub fn router(app: Shared) -> Router {
    router_with(app, Router::new())
}

/// The same with more routes behind the same gate, such as a fixed page as a baseline for measurements.
pub fn router_with(app: Shared, more: Router<Shared>) -> Router {
    with_layers(pages_router().merge(more), app, Entrance::ThisComputer)
}

/// The same routes for the devices of the clinic's network: only those that are enrolled come to the gate.
pub fn network_router(app: Shared) -> Router {
    with_layers(pages_router(), app, Entrance::ClinicNetwork).layer(from_fn(admission::secure_cookies))
}

/// For whom the layers are.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Entrance {
    ThisComputer,
    ClinicNetwork,
}

fn with_layers(pages: Router<Shared>, app: Shared, entrance: Entrance) -> Router {
    let secure = app.mode.secure;
    let inner = pages
        .fallback(|| async { crate::web::Fail::not_found() })
        .layer(DefaultBodyLimit::max(FORM_BYTES))
        .layer(CatchPanicLayer::custom(request_error::caught))
        .layer(from_fn_with_state(app.clone(), request_error::draw))
        .layer(from_fn_with_state(app.clone(), gate::let_in))
        .layer(from_fn_with_state(app.clone(), gate::encrypted));
    let network = entrance == Entrance::ClinicNetwork;
    let inner = if network { inner.layer(from_fn_with_state(app.clone(), admission::admit)) } else { inner };
    // On this machine bytes cost nothing and compressing them does.
    let inner = if secure || network { inner.layer(CompressionLayer::new()) } else { inner };
    // Browsers of the clinic's network are not told to insist on encryption: nothing else answers there, and they
    // would offer no way to the page on trust once a certificate has to be trusted anew.
    inner
        .layer(from_fn(move |request, next| headers::add(secure, request, next)))
        .layer(CatchPanicLayer::custom(request_error::caught_late))
        .with_state(app)
}

type Route = (&'static str, MethodRouter<Shared>);

fn pages_router() -> Router<Shared> {
    let all = pages().into_iter().chain(actions());
    all.fold(Router::new(), |router, (path, methods)| router.route(path, methods))
}

/// The paths at which a page is drawn. The accessibility test visits every one of them.
pub fn page_paths() -> Vec<&'static str> {
    pages().into_iter().map(|(path, _)| path).collect()
}

fn pages() -> Vec<Route> {
    vec![
        ("/start/{token}", get(start::form).post(start::set_up)),
        ("/sign-in", get(sign_in::form).post(sign_in::sign_in)),
        ("/day", get(day::page)),
        ("/calls", get(call::list)),
        ("/attention", get(attention::page)),
        ("/attention/lost", get(attention::lost)),
        ("/find", get(find::page)),
        ("/register", get(register::form).post(register::register)),
        ("/child/{id}", get(child::page)),
        ("/child/{id}/put-off", get(put_off::form).post(put_off::save)),
        ("/child/{id}/call", get(call::form).post(call::save)),
        ("/child/{id}/join", get(join::find)),
        ("/child/{id}/join/{other}", get(join::form).post(join::save)),
        ("/child/{id}/appointment/{entry}/move", get(move_appointment::form).post(move_appointment::save)),
        ("/child/{id}/visit/{on}/change", get(visit_remedy::form).post(visit_remedy::save)),
        ("/child/{id}/wear", get(wear::page).post(wear::save)),
        ("/child/{id}/wear/logger", takes_file(post(wear::logger))),
        ("/child/{id}/family", get(siblings::page).post(siblings::save)),
        ("/child/{id}/visit", get(visit::form).post(visit::save)),
        ("/child/{id}/second-score/{first}", get(second_score::form).post(second_score::save)),
        ("/child/{id}/both-scores/{second}", get(second_score::both)),
        ("/child/{id}/brace", get(brace_fitting::form)),
        ("/child/{id}/brace/sheet", get(brace_fitting::sheet)),
        ("/child/{id}/trouble", get(brace_problems::of_child).post(brace_problems::save)),
        ("/child/{id}/add/{kind}", get(add::form).post(add::save)),
        ("/child/{id}/entry/{entry}", get(entry::page)),
        ("/stock", get(stock::page).post(stock::save)),
        ("/trouble", get(brace_problems::page)),
        ("/capacity", get(capacity::page)),
        ("/capacity/compare", post(capacity::compare)),
        ("/protocol", get(protocol::page)),
        ("/results", get(results::page)),
        ("/results/definitions", get(results::definitions)),
        ("/results/year", get(results::year)),
        ("/results/agreement", get(results::agreement)),
        ("/results/{measure}", get(results::measure)),
        ("/forecasts", get(forecasts::page)),
        ("/import", takes_file(get(import::form).post(import::upload))),
        ("/import/look", get(import::look_again)),
        ("/import/confirm", post(import::confirm)),
        ("/import/pairs", get(import_pairs::part)),
        ("/import/past", get(import_undo::past)),
        ("/import/past/{id}", get(import_undo::form).post(import_undo::undo)),
        ("/devices", get(devices::list).post(devices::expect)),
        ("/enrol", get(devices::enrol_form).post(devices::enrol)),
        ("/trust", get(devices::trust)),
    ]
}

/// Paths that save, redirect or return a file, and draw a page only if something is refused.
fn actions() -> Vec<Route> {
    vec![
        ("/", get(|| async { Redirect::to("/day") })),
        ("/demo/{token}", get(sign_in::by_link)),
        ("/sign-out", post(sign_in::sign_out)),
        ("/day/arrived", post(day::arrived)),
        ("/day/missed", post(day::missed)),
        ("/day/undo", post(day::undo)),
        ("/child/{id}/wear/logged", post(wear::save_logged)),
        ("/child/{id}/visit/preview", post(visit::preview)),
        ("/child/{id}/brace/measure", post(brace_fitting::measure)),
        ("/child/{id}/brace/fit", post(brace_fitting::fit)),
        ("/child/{id}/entry/{entry}/correct", post(entry::correct)),
        ("/child/{id}/entry/{entry}/withdraw", post(entry::withdraw)),
        ("/child/{id}/entry/{entry}/take-back", post(entry::take_back)),
        ("/stock/text", post(stock::save_text)),
        ("/stock/count", post(stock::count)),
        ("/capacity/keep", post(capacity::save)),
        ("/capacity/undo", post(capacity::undo)),
        ("/results/agreement.csv", get(results::agreement_table)),
        ("/import/settle", post(import::settle)),
        ("/import/forget", post(import::forget)),
        ("/import/map", get(import::map_file)),
        ("/import/refused", get(import::refused)),
        ("/devices/{id}/remove", post(devices::remove)),
        (pages::CERTIFICATE_PATH, get(devices::certificate)),
        ("/assets/{file}", get(assets::file)),
        ("/health", get(|| async { "ok" })),
    ]
}

/// A path that accepts a file.
fn takes_file(methods: MethodRouter<Shared>) -> MethodRouter<Shared> {
    methods.layer(DefaultBodyLimit::max(FILE_BYTES)).layer(from_fn(import::not_too_large))
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

    /// A panic in a route affects that request only: it returns a page in words, and the next request works.
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
        let router = with_layers(pages, app, Entrance::ThisComputer);
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
