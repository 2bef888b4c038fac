//! The routes: one file per page, and the layers in front of all of them.
//!
//! Long because it declares every route with what it needs in one place.

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
    access::first_page,
    access_noting::{PARTS_PATH, VIDEO_PARTS_PATH},
    connections::ConnectionLimits,
    headers,
    photograph_uploads::PICTURES_BYTES,
    video_uploads::VIDEO_FORM_BYTES,
    web::{FILE_BYTES, FORM_BYTES, Shared, Visitor},
};
use axum::{
    Router,
    extract::{DefaultBodyLimit, Multipart},
    http::Method,
    middleware::{from_fn, from_fn_with_state},
    response::Redirect,
    routing::{MethodRouter, get, post},
};
use record::{Right, Rights};
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
    pages()
        .into_iter()
        .chain(actions())
        .chain(actions_of_photographs())
        .chain([answer_of_practice()])
        .collect()
}

/// The paths at which a page is drawn. The accessibility test visits every one of them.
pub fn page_paths() -> Vec<&'static str> {
    pages().into_iter().map(|route| route.path).collect()
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

const OPEN: AccessNeed = AccessNeed::Nothing;
const SIGNED_IN: AccessNeed = AccessNeed::SignIn;
const CHILDREN: AccessNeed = AccessNeed::Right(Right::SeeChildren);
const CONTACT: AccessNeed = AccessNeed::Right(Right::RecordContact);
const CLINICAL: AccessNeed = AccessNeed::Right(Right::SeeClinical);
const RECORD: AccessNeed = AccessNeed::Right(Right::RecordClinical);
const STOCK: AccessNeed = AccessNeed::Right(Right::KeepStock);
const CAPACITY: AccessNeed = AccessNeed::Right(Right::SeeCapacity);
const THEATRE: AccessNeed = AccessNeed::Right(Right::SeeTheatreList);
const RESULTS: AccessNeed = AccessNeed::Right(Right::SeeResults);
const RECORDS: AccessNeed = AccessNeed::Right(Right::CareForRecords);
const PEOPLE: AccessNeed = AccessNeed::Right(Right::ManagePeople);
const SETTINGS: AccessNeed = AccessNeed::Right(Right::ChangeSettings);
const ACCESS_LOG: AccessNeed = AccessNeed::Right(Right::SeeAccessLog);
const PROTECT: AccessNeed = AccessNeed::Right(Right::ProtectRecords);

fn pages() -> Vec<Route> {
    let mut routes = pages_of_children();
    routes.extend(pages_of_the_service());
    routes.extend(pages_of_encryption());
    routes.extend(pages_of_photographs());
    routes.extend(pages_of_practice());
    routes
}

fn pages_of_photographs() -> Vec<Route> {
    vec![
        form(
            "/child/{id}/photographs",
            CLINICAL,
            RECORD,
            takes_pictures(get(photographs::page).post(photographs::send)),
        ),
        form(
            "/child/{id}/photographs/upload/{upload}",
            RECORD,
            RECORD,
            get(photographs::names_form).post(photographs::save_names),
        ),
        looks("/child/{id}/photographs/view/{feet}/{view}", CLINICAL, get(photographs::pair)),
        form(
            "/child/{id}/photographs/{entry}/measure",
            RECORD,
            RECORD,
            get(photographs::measure_form).post(photographs::measure),
        ),
        form(
            "/child/{id}/letters/{key}/photographs",
            RECORD,
            RECORD,
            get(photographs::letter_form).post(photographs::save_letter),
        ),
        form(
            "/child/{id}/photographs/{entry}/length",
            RECORD,
            RECORD,
            get(photographs::length_form).post(photographs::length),
        ),
        form("/child/{id}/videos", CLINICAL, RECORD, takes_video(get(videos::page).post(videos::send))),
        form(
            "/child/{id}/videos/upload/{upload}",
            RECORD,
            RECORD,
            get(videos::names_form).post(videos::save_names),
        ),
    ]
}

/// What is sent about photographs and videos, and the pictures and videos themselves.
fn actions_of_photographs() -> Vec<Route> {
    vec![
        sends("/child/{id}/photographs/consent", RECORD, post(photographs::answer)),
        form(PARTS_PATH, RECORD, RECORD, get(photographs::arrived).post(photographs::take)),
        sends("/child/{id}/photographs/arrived", RECORD, post(photographs::finish)),
        looks("/child/{id}/photographs/{entry}/{size}", CLINICAL, get(photographs::kept_picture)),
        looks("/child/{id}/photographs/{entry}/part/{part}", CLINICAL, get(photographs::picture_part)),
        looks("/child/{id}/letters/{key}/with/{entry}", CLINICAL, get(photographs::letter_with_photographs)),
        looks("/child/{id}/letters/{key}/with/{entry}/pdf", CLINICAL, get(photographs::letter_pdf)),
        looks(
            "/child/{id}/letters/{key}/with/{entry}/letter/pdf",
            CLINICAL,
            get(photographs::whole_letter_pdf),
        ),
        looks("/child/{id}/photographs/upload/{upload}/{number}", RECORD, get(photographs::waiting_picture)),
        sends("/child/{id}/videos/consent", RECORD, post(videos::answer)),
        form(VIDEO_PARTS_PATH, RECORD, RECORD, get(videos::arrived).post(videos::take)),
        sends("/child/{id}/videos/arrived", RECORD, post(videos::finish)),
        looks("/child/{id}/videos/{entry}/film", CLINICAL, get(videos::kept)),
        looks("/child/{id}/videos/upload/{upload}/film", RECORD, get(videos::waiting)),
    ]
}

/// A drawn foot is no child, so that everybody who signs in may practise; answers are seen by their person alone.
fn pages_of_practice() -> Vec<Route> {
    vec![
        looks(pages::practice::LEARN_PATH, SIGNED_IN, get(practice::learn)),
        looks("/practice/sign/{sign}", SIGNED_IN, get(practice::exercise)),
        looks("/practice/answer/{number}", SIGNED_IN, get(practice::stored)),
        looks(pages::practice::LEVELS_PATH, SIGNED_IN, get(practice::levels)),
        form(
            "/practice/levels/{sign}/{level}",
            SETTINGS,
            SETTINGS,
            get(practice::level).post(practice::change_level),
        ),
        looks(pages::practice::PROGRESS_PATH, SIGNED_IN, get(practice::own_progress)),
        looks(pages::practice::RECORD_PATH, SIGNED_IN, get(practice::own_record)),
        looks(pages::practice::PHOTOGRAPHS_PATH, CLINICAL, get(practice::photographs)),
        form(
            "/child/{id}/photographs/{entry}/score/{sign}",
            CLINICAL,
            CLINICAL,
            get(practice::photograph).post(practice::save_photograph),
        ),
        // Names children, the class of their last score, and people.
        looks(pages::practice::TOGETHER_PATH, CLINICAL, get(practice::together)),
    ]
}

fn answer_of_practice() -> Route {
    sends(pages::practice::ANSWER_PATH, SIGNED_IN, post(practice::answer))
}

fn pages_of_encryption() -> Vec<Route> {
    vec![
        form(
            pages::encryption::ENCRYPTION_PATH,
            RECORDS,
            RECORDS,
            get(encryption::page).post(encryption::change),
        ),
        form(
            pages::encryption::SHEET_PATH,
            RECORDS,
            RECORDS,
            get(encryption::sheet).post(encryption::confirm),
        ),
        form(
            pages::encryption::FIRST_PATH,
            RECORDS,
            RECORDS,
            get(encryption::first).post(encryption::first_change),
        ),
    ]
}

fn pages_of_children() -> Vec<Route> {
    vec![
        looks("/day", CHILDREN, get(day::page)),
        looks("/calls", CHILDREN, get(call::list)),
        looks("/attention", CLINICAL, get(attention::page)),
        looks("/attention/lost", CHILDREN, get(attention::lost)),
        form("/find", CHILDREN, CHILDREN, get(find::page).post(find::search)),
        looks("/theatre", THEATRE, get(theatre::page)),
        looks("/theatre/day", THEATRE, get(theatre::day)),
        form("/register", CONTACT, CONTACT, get(register::form).post(register::register)),
        looks("/child/{id}", CHILDREN, get(child::page)),
        form("/child/{id}/put-off", RECORD, RECORD, get(put_off::form).post(put_off::save)),
        form("/child/{id}/call", CONTACT, CONTACT, get(call::form).post(call::save)),
        looks("/child/{id}/join", RECORD, get(join::find)),
        form("/child/{id}/join/{other}", RECORD, RECORD, get(join::form).post(join::save)),
        form(
            "/child/{id}/appointment/{entry}/move",
            CONTACT,
            CONTACT,
            get(move_appointment::form).post(move_appointment::save),
        ),
        form(
            "/child/{id}/visit/{on}/change",
            RECORD,
            RECORD,
            get(visit_remedy::form).post(visit_remedy::save),
        ),
        form("/child/{id}/wear", CLINICAL, RECORD, get(wear::page).post(wear::save)),
        form(
            "/child/{id}/wear/scan",
            RECORD,
            RECORD,
            takes_file(get(diary_scan::form).post(diary_scan::read)),
        ),
        sends("/child/{id}/wear/logger", RECORD, takes_file(post(wear::logger))),
        form("/child/{id}/family", CHILDREN, CONTACT, get(siblings::page).post(siblings::save)),
        form("/child/{id}/visit", RECORD, RECORD, get(visit::form).post(visit::save)),
        form(
            "/child/{id}/second-score/{first}",
            RECORD,
            RECORD,
            get(second_score::form).post(second_score::save),
        ),
        looks("/child/{id}/both-scores/{second}", CLINICAL, get(second_score::both)),
        looks("/child/{id}/brace", RECORD, get(brace_fitting::form)),
        looks("/child/{id}/brace/sheet", CLINICAL, get(brace_fitting::sheet)),
        looks("/child/{id}/documents", CLINICAL, get(documents::list)),
        looks("/child/{id}/tenotomy", CLINICAL, get(tenotomy::page)),
        form(
            "/child/{id}/handed-over",
            RECORD,
            RECORD,
            get(document_handed::form).post(document_handed::save),
        ),
        looks("/child/{id}/letters", CLINICAL, get(letters::list)),
        form(
            "/child/{id}/trouble",
            CLINICAL,
            RECORD,
            get(brace_problems::of_child).post(brace_problems::save),
        ),
        // Judged by the kind of the entry as well.
        form("/child/{id}/add/{kind}", CONTACT, CONTACT, get(add::form).post(add::save)),
        looks("/child/{id}/entry/{entry}", CHILDREN, get(entry::page)),
        form("/child/{id}/erasure", PROTECT, PROTECT, get(erasure::form).post(erasure::ask)),
        form("/child/{id}/restriction", PROTECT, PROTECT, get(restricted::form).post(restricted::save)),
    ]
}

fn pages_of_the_service() -> Vec<Route> {
    vec![
        form("/start/{token}", OPEN, OPEN, get(start::form).post(start::set_up)),
        form("/start/{token}/restore", OPEN, OPEN, get(restore::form).post(restore::send)),
        looks("/help", SIGNED_IN, get(help::contents)),
        // The part on signing in is open; the gate knows which.
        looks("/help/{part}", SIGNED_IN, get(help::part)),
        form("/sign-in", OPEN, OPEN, get(sign_in::form).post(sign_in::sign_in)),
        form("/sign-in/second/{token}", OPEN, OPEN, get(second_step::form).post(second_step::send)),
        form("/choose-password/{token}", OPEN, OPEN, get(choose_password::form).post(choose_password::save)),
        form("/stock", STOCK, STOCK, get(stock::page).post(stock::save)),
        looks("/trouble", CLINICAL, get(brace_problems::page)),
        looks("/capacity", CAPACITY, get(capacity::page)),
        sends("/capacity/compare", CAPACITY, post(capacity::compare)),
        looks("/protocol", SIGNED_IN, get(protocol::page)),
        looks("/protocol/history", SIGNED_IN, get(protocol::history)),
        form("/protocol/value/{key}", SIGNED_IN, SETTINGS, get(protocol::value).post(protocol::change)),
        form("/settings", SETTINGS, SETTINGS, get(settings::page).post(settings::save)),
        looks("/settings/history", SETTINGS, get(settings::history)),
        form(
            pages::document_texts::LANGUAGES_PATH,
            SETTINGS,
            SETTINGS,
            get(document_texts::languages).post(document_texts::save_language),
        ),
        looks(pages::document_texts::TEXTS_PATH, SETTINGS, get(document_texts::list)),
        form(
            "/documents/texts/{lang}/{message}",
            SETTINGS,
            SETTINGS,
            get(document_texts::one).post(document_texts::change),
        ),
        form("/settings/letterhead", SETTINGS, SETTINGS, get(letterhead::page).post(letterhead::save)),
        looks("/sheets", SIGNED_IN, get(sheets::list)),
        form("/settings/maps", SETTINGS, SETTINGS, get(import_maps::page).post(import_maps::change)),
        form("/settings/copies", RECORDS, RECORDS, get(copies::page).post(copies::make)),
        looks("/backups", RECORDS, get(backups::page)),
        looks("/records", SIGNED_IN, get(records::page)),
        looks("/first-steps", SETTINGS, get(first_steps::page)),
        form("/first-steps/clinic", SETTINGS, SETTINGS, get(first_steps::clinic).post(first_steps::save)),
        looks("/results", RESULTS, get(results::page)),
        looks("/results/definitions", RESULTS, get(results::definitions)),
        looks("/results/year", RESULTS, get(results::year)),
        looks("/results/agreement", RESULTS, get(results::agreement)),
        looks("/results/{measure}", RESULTS, get(results::measure)),
        looks("/forecasts", RESULTS, get(forecasts::page)),
        form("/import", RECORDS, RECORDS, takes_file(get(import::form).post(import::upload))),
        looks("/import/look", RECORDS, get(import::look_again)),
        sends("/import/confirm", RECORDS, post(import::confirm)),
        looks("/import/pairs", RECORDS, get(import_pairs::part)),
        looks("/import/past", RECORDS, get(import_undo::past)),
        form("/import/past/{id}", RECORDS, RECORDS, get(import_undo::form).post(import_undo::undo)),
        form("/access-log", ACCESS_LOG, ACCESS_LOG, get(access_log::page).post(access_log::check)),
        looks("/erasures", PROTECT, get(erasure::list)),
        form("/erasures/{number}", PROTECT, PROTECT, get(erasure::one).post(erasure::decide)),
        looks("/retention", PROTECT, get(retention::page)),
        form("/restricted", PROTECT, PROTECT, get(restricted::list).post(restricted::acknowledge)),
        form("/people", PEOPLE, PEOPLE, get(people::list).post(people::add)),
        form("/people/{id}", PEOPLE, PEOPLE, get(people::one).post(people::change)),
        form("/account", SIGNED_IN, SIGNED_IN, get(account::page).post(account::change_password)),
        form(
            "/account/second-factor",
            SIGNED_IN,
            SIGNED_IN,
            get(second_factor::page).post(second_factor::change),
        ),
        // Who sees and does what there follows from the locked session and the PIN or password.
        form("/unlock", OPEN, OPEN, get(session::form).post(session::unlock)),
        looks("/drafts", SIGNED_IN, get(form_drafts::list)),
        form("/devices", PEOPLE, PEOPLE, get(devices::list).post(devices::expect)),
        // Which devices may come to them is asked before: `admission`.
        form("/enrol", OPEN, OPEN, get(devices::enrol_form).post(devices::enrol)),
        looks("/trust", OPEN, get(devices::trust)),
    ]
}

/// Paths that save, redirect or return a file, and draw a page only if something is refused.
fn actions() -> Vec<Route> {
    vec![
        looks("/", SIGNED_IN, get(first)),
        looks("/demo/{token}", OPEN, get(sign_in::by_link)),
        sends("/sign-in/passkey", OPEN, post(passkeys::sign_in)),
        sends(pages::second_factor::CHALLENGE_PATH, OPEN, post(passkeys::challenge)),
        sends("/sign-out", SIGNED_IN, post(sign_in::sign_out)),
        sends("/day/arrived", CONTACT, post(day::arrived)),
        sends("/day/missed", CONTACT, post(day::missed)),
        sends("/day/undo", CONTACT, post(day::undo)),
        looks("/child/{id}/documents/{key}", CLINICAL, get(documents::one)),
        looks("/child/{id}/letters/{key}", CLINICAL, get(letters::one)),
        looks("/child/{id}/letters/{key}/pdf", CLINICAL, get(letters::pdf)),
        looks("/child/{id}/record-file/{file}", RECORD, get(letters::record_file)),
        looks("/child/{id}/chart/{file}", CLINICAL, get(chart_files::of_child)),
        looks("/results/{measure}/chart/{file}", RESULTS, get(chart_files::of_results)),
        looks("/sheets/{key}", SIGNED_IN, get(sheets::one)),
        sends("/settings/logo", SETTINGS, takes_file(post(letterhead::logo))),
        sends("/settings/logo/remove", SETTINGS, post(letterhead::remove_logo)),
        looks("/child/{id}/documents/{key}/pdf", CLINICAL, get(document_pdf::one)),
        looks("/child/{id}/family-copy", RECORD, get(family_copy::download)),
        sends("/child/{id}/hold", PROTECT, post(erasure::hold)),
        sends("/child/{id}/open-restricted", CHILDREN, post(restricted::open)),
        looks("/access-log.csv", ACCESS_LOG, get(access_log::csv)),
        looks("/access-log.json", ACCESS_LOG, get(access_log::json)),
        sends("/child/{id}/wear/logged", RECORD, post(wear::save_logged)),
        sends("/child/{id}/visit/preview", RECORD, post(visit::preview)),
        sends("/child/{id}/brace/measure", RECORD, post(brace_fitting::measure)),
        sends("/child/{id}/brace/fit", RECORD, post(brace_fitting::fit)),
        // Judged by the kind of the amended entry as well.
        sends("/child/{id}/entry/{entry}/correct", CONTACT, post(entry::correct)),
        sends("/child/{id}/entry/{entry}/withdraw", CONTACT, post(entry::withdraw)),
        sends("/child/{id}/entry/{entry}/take-back", RECORD, post(entry::take_back)),
        sends("/child/{id}/entry/{entry}/stock", RECORD, post(stock_of_entry::save)),
        sends("/stock/text", STOCK, post(stock::save_text)),
        sends("/stock/count", STOCK, post(stock::count)),
        sends("/capacity/keep", SETTINGS, post(capacity::save)),
        sends("/capacity/undo", SETTINGS, post(capacity::undo)),
        sends("/backups/passphrase", RECORDS, post(backups::passphrase)),
        sends("/backups/recovery-code", RECORDS, post(backups::recovery_code)),
        sends("/backups/settings", RECORDS, post(backups::save)),
        sends("/backups/make", RECORDS, post(backups::make)),
        sends("/backups/drill", RECORDS, post(backups::drill)),
        sends("/records/accept", RECORDS, post(records::accept)),
        sends("/records/clock", RECORD, post(records::confirm_clock)),
        sends("/settings/closures", SETTINGS, post(settings::closures)),
        sends("/settings/second-factor", SETTINGS, post(settings::second_factor)),
        looks("/settings/maps/{key}", SETTINGS, get(import_maps::file)),
        looks("/results/agreement.csv", RESULTS, get(results::agreement_table)),
        sends("/import/settle", RECORDS, post(import::settle)),
        sends("/import/forget", RECORDS, post(import::forget)),
        looks("/import/map", RECORDS, get(import::map_file)),
        looks("/import/refused", RECORDS, get(import::refused)),
        sends("/account/end", SIGNED_IN, post(account::end_session)),
        sends("/account/language", SIGNED_IN, post(account::change_language)),
        sends("/account/pin", SIGNED_IN, post(account::change_pin)),
        // Tells nothing but how long the own session lasts.
        looks("/session", OPEN, get(session::state)),
        sends("/session/stay", SIGNED_IN, post(session::stay)),
        sends("/session/lock", SIGNED_IN, post(session::lock)),
        // Takes a form for the person whose token it carries, and shows nothing.
        sends("/draft", OPEN, post(form_drafts::save)),
        sends("/drafts/discard", SIGNED_IN, post(form_drafts::discard)),
        sends("/devices/{id}/remove", PEOPLE, post(devices::remove)),
        looks(pages::CERTIFICATE_PATH, OPEN, get(devices::certificate)),
        looks("/assets/{file}", OPEN, get(assets::file)),
        // What they tell depends on the address from which they are asked.
        looks("/health", OPEN, get(watching::health)),
        looks("/metrics", OPEN, get(watching::figures)),
    ]
}

/// The files of an upload to the import or of one from a logger, for the fuzz targets.
pub(crate) async fn uploaded(form: Multipart, of_logger: bool) -> Option<Vec<Vec<u8>>> {
    if of_logger { wear::uploaded(form).await } else { import::uploaded(form).await }
}

/// The first page, by what the visitor may see.
async fn first(visitor: Visitor) -> Redirect {
    Redirect::to(first_page(visitor.rights()))
}

/// A path that accepts several pictures.
fn takes_pictures(methods: MethodRouter<Shared>) -> MethodRouter<Shared> {
    let not_too_large = |request, next| import::at_most(PICTURES_BYTES, request, next);
    methods.layer(DefaultBodyLimit::max(PICTURES_BYTES)).layer(from_fn(not_too_large))
}

/// A path that accepts a video.
fn takes_video(methods: MethodRouter<Shared>) -> MethodRouter<Shared> {
    let not_too_large = |request, next| import::at_most(VIDEO_FORM_BYTES, request, next);
    methods.layer(DefaultBodyLimit::max(VIDEO_FORM_BYTES)).layer(from_fn(not_too_large))
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
        let more =
            vec![looks("/broken", OPEN, get(broken)), looks("/broken/thread", OPEN, get(off_the_thread))];
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
