//! The routes: one file per page, the table of all of them, and the layers in front.

mod access_log;
mod account;
mod add;
mod admission;
mod assets;
mod attention;
mod backups;
mod brace_fitting;
mod brace_problems;
mod call;
mod capacity;
mod chart_files;
mod child;
mod choose_password;
mod confirm;
mod cookie_names;
mod copies;
mod day;
mod day_loads;
mod devices;
mod diary_scan;
mod document_handed;
mod document_pdf;
mod document_texts;
mod documents;
mod encryption;
mod entering;
mod entry;
mod erasure;
mod family_copy;
mod find;
mod first_steps;
mod forecasts;
mod form_drafts;
mod gate;
mod help;
mod host_check;
mod import;
mod import_maps;
mod import_pairs;
mod import_undo;
mod join;
mod late_forms;
mod letterhead;
mod letters;
mod locked;
mod move_appointment;
mod papers;
mod passkeys;
mod people;
mod photographs;
mod practice;
mod protocol;
mod put_off;
mod records;
mod register;
mod request_error;
mod request_limits;
mod restore;
mod restricted;
mod results;
mod retention;
mod second_factor;
mod second_score;
mod second_step;
mod session;
mod settings;
mod sheets;
mod siblings;
mod sign_in;
mod start;
mod steps;
pub(crate) mod stock;
mod stock_of_entry;
mod submission;
mod table;
mod tenotomy;
mod theatre;
mod videos;
mod visit;
mod visit_outcome;
mod visit_remedy;
mod watching;
mod wear;

pub use locked::{LockedRecords, router as locked_router, working_router};
pub use sign_in::{DEMO_ACCOUNT, DEMO_LINK};
pub use start::LINK as START_LINK;

pub(crate) use gate::own_path;

pub use crate::access::AccessNeed;

use crate::{
    connections::ConnectionLimits,
    headers,
    web::{FORM_BYTES, Shared},
};
use axum::{
    Router,
    extract::{DefaultBodyLimit, Multipart},
    http::Method,
    middleware::{from_fn, from_fn_with_state},
    routing::MethodRouter,
};
use record::Rights;
use std::sync::Arc;
use tower_http::{catch_panic::CatchPanicLayer, compression::CompressionLayer};

/// Every route, with the gate in front and the headers added to every response.
pub fn router(app: Shared) -> Router {
    router_with(app, Vec::new())
}

/// The same with more routes behind the same gate, such as a fixed page as a baseline for measurements.
pub fn router_with(app: Shared, more: Vec<Route>) -> Router {
    let routes = pages_router().into_iter().chain(more).collect();
    with_layers(routes, app, Entrance::ThisComputer, ConnectionLimits::default())
}

/// The same as [`router`] with other limits of time, such as a test can wait for.
pub fn router_within(app: Shared, limits: ConnectionLimits) -> Router {
    with_layers(pages_router(), app, Entrance::ThisComputer, limits)
}

/// The same routes for the devices of the clinic's network: only those that are enrolled come to the gate.
pub fn network_router(app: Shared) -> Router {
    with_layers(pages_router(), app, Entrance::ClinicNetwork, ConnectionLimits::default())
}

/// For whom the layers are.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Entrance {
    ThisComputer,
    ClinicNetwork,
}

fn with_layers(routes: Vec<Route>, app: Shared, entrance: Entrance, limits: ConnectionLimits) -> Router {
    let secure = app.mode.secure;
    let needs: gate::RouteNeeds = routes.iter().map(|route| (route.path, (route.look, route.send))).collect();
    let needs = Arc::new(needs);
    let inner = routes
        .into_iter()
        .fold(Router::new(), |router, route| router.route(route.path, route.methods))
        .fallback(|| async { crate::web::Fail::not_found() })
        .layer(DefaultBodyLimit::max(FORM_BYTES))
        .layer(CatchPanicLayer::custom(request_error::caught))
        .layer(from_fn_with_state(app.clone(), request_error::draw))
        .layer(from_fn_with_state((app.clone(), needs), gate::let_in))
        .layer(from_fn_with_state(app.clone(), late_forms::look_after))
        .layer(from_fn_with_state(app.clone(), gate::encrypted));
    let network = entrance == Entrance::ClinicNetwork;
    let inner = if network { inner.layer(from_fn_with_state(app.clone(), admission::admit)) } else { inner };
    let inner = if secure || network { inner.layer(from_fn(cookie_names::with_prefix)) } else { inner };
    let inner = inner
        .layer(from_fn_with_state((app.clone(), limits), request_limits::bodies))
        .layer(from_fn_with_state(app.clone(), request_limits::per_address))
        .layer(from_fn_with_state((app.clone(), entrance), host_check::check));
    // On this machine bytes cost nothing and compressing them does.
    let inner = if secure || network { inner.layer(CompressionLayer::new()) } else { inner };
    // Browsers of the clinic's network are not told to insist on encryption: nothing else answers there, and they
    // would offer no way to the page on trust once a certificate has to be trusted anew.
    inner
        .layer(from_fn(move |request, next| headers::add(secure, request, next)))
        .layer(CatchPanicLayer::custom(request_error::caught_late))
        .layer(from_fn_with_state(app.clone(), watching::note))
        .with_state(app)
}

/// A path with its methods and what each of them needs. A method without a declaration is not answered.
pub struct Route {
    path: &'static str,
    /// What is needed to look; `None` where there is nothing to look at.
    look: Option<AccessNeed>,
    /// What is needed to send a form; `None` where none is taken.
    send: Option<AccessNeed>,
    methods: MethodRouter<Shared>,
}

/// A path at which something is only looked at.
pub fn looks(path: &'static str, look: AccessNeed, methods: MethodRouter<Shared>) -> Route {
    Route { path, look: Some(look), send: None, methods }
}

/// A path with a form.
fn form(path: &'static str, look: AccessNeed, send: AccessNeed, methods: MethodRouter<Shared>) -> Route {
    Route { path, look: Some(look), send: Some(send), methods }
}

/// A path to which something is only sent.
fn sends(path: &'static str, send: AccessNeed, methods: MethodRouter<Shared>) -> Route {
    Route { path, look: None, send: Some(send), methods }
}

fn pages_router() -> Vec<Route> {
    table::pages().into_iter().chain(table::actions()).collect()
}

/// The paths at which a page is drawn. The accessibility test visits every one of them.
pub fn page_paths() -> Vec<&'static str> {
    table::pages().into_iter().map(|route| route.path).collect()
}

/// Every path with each method that is answered and what that needs.
pub fn declared() -> Vec<(&'static str, Method, AccessNeed)> {
    let of = |route: Route| {
        let look = route.look.map(|needs| (route.path, Method::GET, needs));
        look.into_iter().chain(route.send.map(|needs| (route.path, Method::POST, needs)))
    };
    pages_router().into_iter().flat_map(of).collect()
}

/// Whether somebody with these rights may look at a path of this program.
fn is_open_to(path: &str, rights: Rights) -> bool {
    let path = path.split(['?', '#']).next().unwrap_or_default();
    let parts: Vec<&str> = path.split('/').collect();
    let fits = |route: &&Route| {
        let pattern: Vec<&str> = route.path.split('/').collect();
        pattern.len() == parts.len()
            && pattern.iter().zip(&parts).all(|(wanted, part)| wanted.starts_with('{') || wanted == part)
    };
    let routes = pages_router();
    // Of two that fit the one with fewer parameters is meant.
    let found = routes.iter().filter(fits).min_by_key(|route| route.path.matches('{').count());
    found.and_then(|route| route.look).is_some_and(|needs| needs.lacking(rights).is_none())
}

/// The files of an upload to the import or of one from a logger, for the fuzz targets.
pub(crate) async fn uploaded(form: Multipart, of_logger: bool) -> Option<Vec<Vec<u8>>> {
    if of_logger { wear::uploaded(form).await } else { import::uploaded(form).await }
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
        routing::get,
    };
    use tower::ServiceExt;

    async fn off_the_thread(State(app): State<Shared>) -> Result<&'static str, Fail> {
        work(&app, |_| panic!("a child’s name that must not be shown")).await
    }

    async fn ask(router: &Router, path: &str) -> (StatusCode, String) {
        let request = Request::get(path).header("host", "localhost").body(Body::empty()).unwrap();
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
        async fn broken() -> &'static str {
            panic!("a child’s name that must not be shown")
        }
        let more = vec![
            looks("/broken", AccessNeed::Nothing, get(broken)),
            looks("/broken/thread", AccessNeed::Nothing, get(off_the_thread)),
        ];
        let router = router_with(app, more);
        for path in ["/broken", "/broken/thread"] {
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
