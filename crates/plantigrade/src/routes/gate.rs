//! The gate: only signed-in users, and no forms from other sites.

use crate::{
    access::AccessNeed,
    access_noting::{LackedRight, NotedRequest, decoded, query_values},
    auth::{self, SessionState, Token},
    restricted::{self, ClosedRecords},
    web::{Door, FORM_BYTES, Fail, SentForm, Shared, Visitor, work},
};
use axum::{
    Form,
    extract::{ConnectInfo, DefaultBodyLimit, FromRequest, MatchedPath, Request, State},
    http::{HeaderMap, HeaderValue, Method, header},
    middleware::Next,
    response::{IntoResponse, Redirect, Response},
};
use axum_extra::extract::cookie::{Cookie, CookieJar, SameSite};
use clinic::TokenHash;
use pages::{HelpPart, RequestError, fields::Filled};
use record::{DeviceId, Right};
use sha2::{Digest, Sha256};
use std::{
    collections::HashMap,
    net::{IpAddr, SocketAddr},
    sync::Arc,
};

/// A cookie of this program. Browsers keep cookies by machine and not by port, so that the invented clinic has
/// names of its own: signing in there does not sign out of the own clinic.
#[derive(Clone, Copy)]
enum GateCookie {
    Session,
    Form,
    /// The browser of this computer, for PINs.
    Place,
}

/// Every cookie of the gate, as the program knows them. On encrypted connections browsers know them under a prefix:
/// `cookie_names`.
pub const COOKIE_NAMES: [&str; 6] =
    ["session", "invented-session", "form", "invented-form", "place", "invented-place"];

impl GateCookie {
    fn name(self, app: &Shared) -> &'static str {
        match (self, app.mode.invented) {
            (Self::Session, false) => "session",
            (Self::Session, true) => "invented-session",
            (Self::Form, false) => "form",
            (Self::Form, true) => "invented-form",
            (Self::Place, false) => "place",
            (Self::Place, true) => "invented-place",
        }
    }
}

/// The page on which the own second factor is set up.
pub const SECOND_FACTOR: &str = "/account/second-factor";

/// A form that was answered, on its way out with the answer.
#[derive(Clone)]
pub struct AnsweredForm {
    /// Who sent it.
    pub visitor: Visitor,
    /// To which path.
    pub path: String,
    /// Its fields.
    pub filled: Filled,
    /// Whether it carried the visitor's token.
    pub is_own: bool,
}

/// What each path needs to be looked at and to be sent a form.
pub type RouteNeeds = HashMap<&'static str, (Option<AccessNeed>, Option<AccessNeed>)>;

/// Identifies the visitor, and refuses a visitor who is not allowed in.
pub async fn let_in(
    State((app, needs)): State<(Shared, Arc<RouteNeeds>)>,
    request: Request,
    next: Next,
) -> Response {
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD);
    let needed = needed(&needs, &request)
        .map(|needed| if is_open_help(request.uri().path()) { AccessNeed::Nothing } else { needed });
    if needed == Some(AccessNeed::Nothing) && !changes && is_plain(&request) {
        return next.run(request).await;
    }
    let (headers, peer) = (
        request.headers().clone(),
        request.extensions().get::<ConnectInfo<SocketAddr>>().map(|info| info.0.ip()),
    );
    let door = request.extensions().get::<Door>().cloned().unwrap_or_default();
    let by_network = matches!(door, Door::ClinicNetwork(_));
    let host = app.forwarded_host(&headers, peer).map_or_else(|| host(&request), str::to_owned);
    let visitor = match recognise(&app, &headers, peer, &door).await {
        Ok(visitor) => Visitor { host, by_network, ..visitor },
        Err(fail) => return super::request_error::answer(&app, &Visitor::default(), &fail.0),
    };
    if changes && !auth::same_origin(&visitor.host, request.headers()) {
        return super::request_error::answer(&app, &visitor, &RequestError::Stale);
    }
    if visitor.who.is_none() && needed != Some(AccessNeed::Nothing) {
        return if changes {
            unsent(&app, visitor, request).await
        } else {
            sign_in_first(&visitor, &request)
        };
    }
    let Some(needed) = needed else {
        return super::request_error::answer(&app, &visitor, &RequestError::NotFound);
    };
    if needed != AccessNeed::Nothing
        && !is_for_set_up(request.uri().path())
        && app.lacks_second_factor(&visitor)
    {
        return set_up_first(&app, &visitor, changes);
    }
    let noted = noted(&visitor, &request, needed);
    if let Some(lacking) = needed.lacking(visitor.rights()) {
        if let Some(noted) = noted {
            noted.refused(&app, lacking);
        }
        return lacks(&app, &visitor, lacking).await;
    }
    if changes
        && !saves_nothing(&request)
        && let Some(why) = app.saving_refused()
    {
        return super::request_error::answer(&app, &visitor, &RequestError::NotSavedNow(why));
    }
    let fresh = fresh_form_token(&app, &visitor, request.headers());
    let mut response = answered(&app, visitor, request, next, noted).await;
    if let Some(token) = fresh {
        set_cookie(response.headers_mut(), cookie(&app, GateCookie::Form, &token));
    }
    response
}

/// Answers a request that is let in. A closed record is refused, and what came of the request is noted.
async fn answered(
    app: &Shared,
    visitor: Visitor,
    request: Request,
    next: Next,
    noted: Option<NotedRequest>,
) -> Response {
    let (sent, path) = (SentForm::default(), request.uri().path().to_owned());
    let mut response = answer_of_route(app, &visitor, request, next, &sent).await;
    if let Some(noted) = noted {
        let answer = response.extensions();
        noted.answered(app, response.status(), answer.get::<LackedRight>().copied(), answer.get().copied());
    }
    if let Some((filled, is_own)) = sent.take() {
        response.extensions_mut().insert(AnsweredForm { visitor, path, filled, is_own });
    }
    response
}

/// The request as far as the access log is concerned.
fn noted(visitor: &Visitor, request: &Request, needed: AccessNeed) -> Option<NotedRequest> {
    let pattern = request.extensions().get::<MatchedPath>()?;
    let door = request.extensions().get::<Door>().cloned().unwrap_or_default();
    NotedRequest::of(visitor, &door, request.method(), (pattern.as_str(), request.uri().path()), needed)
}

/// Pages that a closed record does not close: there a lead restricts it and lifts that again or sees who opened it,
/// and there somebody states why it has to be opened. They show nothing of the record but its number.
const OPEN_ALL_THE_SAME: [&str; 5] = [
    "/child/{id}/restriction",
    "/child/{id}/open-restricted",
    "/access-log",
    "/access-log.csv",
    "/access-log.json",
];

/// The closed record that the address of a request names, in its path or its query.
fn closed_child(closed: &ClosedRecords, request: &Request) -> Option<record::ChildId> {
    if closed.is_empty() {
        return None;
    }
    let pattern = request.extensions().get::<MatchedPath>().map_or("", MatchedPath::as_str);
    if OPEN_ALL_THE_SAME.contains(&pattern) {
        return None;
    }
    let path: Vec<String> = request.uri().path().split('/').map(decoded).collect();
    let query: Vec<String> = query_values(request.uri().query().unwrap_or_default()).collect();
    closed.named(path.iter().chain(&query).map(String::as_str))
}

/// The refusal of a closed record; once it is open, the form leads on to what was asked for.
fn closed_refusal(request: &Request, child: record::ChildId) -> Fail {
    let looked_at = *request.method() == Method::GET;
    let then = request.uri().path_and_query().filter(|_| looked_at).map(ToString::to_string);
    Fail::restricted(child, then.unwrap_or_else(|| format!("/child/{child}")))
}

/// Refuses a form of somebody who is not signed in. What was filled in goes along with the answer: it may have been
/// filled in before the session was locked or ended.
async fn unsent(app: &Shared, visitor: Visitor, mut request: Request) -> Response {
    if request.uri().path() == pages::fields::SEARCH_PATH {
        // Nothing is lost but what was typed.
        return sign_in_first(&visitor, &request);
    }
    let (path, headers) = (request.uri().path().to_owned(), request.headers().clone());
    DefaultBodyLimit::max(FORM_BYTES).apply(&mut request);
    let form = Form::<Vec<(String, String)>>::from_request(request, &()).await;
    let mut response = super::request_error::answer(app, &visitor, &RequestError::Stale);
    // Whatever page it becomes has a form of its own, by which the person signs in.
    if let Some(token) = fresh_form_token(app, &visitor, &headers) {
        set_cookie(response.headers_mut(), cookie(app, GateCookie::Form, &token));
    }
    if let Ok(Form(pairs)) = form {
        let filled = pairs.into_iter().collect();
        response.extensions_mut().insert(AnsweredForm { visitor, path, filled, is_own: false });
    }
    response
}

/// The answer of the route, or the refusal of a record that is closed to the visitor.
async fn answer_of_route(
    app: &Shared,
    visitor: &Visitor,
    mut request: Request,
    next: Next,
    sent: &SentForm,
) -> Response {
    let closed = app.restricted.closed_to(visitor.who.as_ref().map(|who| who.user), app.clock.now());
    match closed_child(&closed, &request) {
        Some(child) => {
            let refusal = closed_refusal(&request, child);
            let answer = async { super::request_error::answer(app, visitor, &refusal.0) };
            restricted::answering(closed, answer).await
        }
        None => {
            request.extensions_mut().insert(sent.clone());
            request.extensions_mut().insert(visitor.clone());
            restricted::answering(closed, next.run(request)).await
        }
    }
}

/// Behind a proxy, answers only requests that the named proxy received encrypted: any other request would carry names
/// and passwords in clear text.
pub async fn encrypted(State(app): State<Shared>, request: Request, next: Next) -> Response {
    if !app.mode.behind_proxy || is_about_the_program(request.uri().path()) {
        return next.run(request).await;
    }
    let peer = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|info| info.0.ip());
    let scheme = app.forwarded_scheme(request.headers(), peer);
    if scheme.is_some_and(|scheme| scheme.eq_ignore_ascii_case("https")) {
        return next.run(request).await;
    }
    let why = match scheme {
        None if !app.is_from_proxy(peer) => {
            "This program answers its reverse proxy only, and this connection does not come from it. The address of the proxy is named in clinic.toml: proxy = \"address\"."
        }
        Some(_) => {
            "The proxy in front of this program received this request without encryption: open the address with https."
        }
        None => {
            "The proxy in front of this program does not state that it encrypts: configure it to set the header X-Forwarded-Proto to https."
        }
    };
    super::request_error::answer(&app, &Visitor::default(), &RequestError::Refused(why.to_owned()))
}

/// Paths to which a form is sent also while nothing can be saved: to sign in and out, and to settle the matter.
const SAVES_NOTHING: [&str; 8] = [
    "/find",
    "/sign-in",
    "/sign-in/second/{token}",
    "/sign-in/passkey",
    pages::second_factor::CHALLENGE_PATH,
    "/sign-out",
    "/records/accept",
    "/records/clock",
];

fn saves_nothing(request: &Request) -> bool {
    request.extensions().get::<MatchedPath>().is_some_and(|path| SAVES_NOTHING.contains(&path.as_str()))
}

/// What the route of a request needs; `None` where no route, or no such method of it, is declared.
fn needed(needs: &RouteNeeds, request: &Request) -> Option<AccessNeed> {
    let path = request.extensions().get::<MatchedPath>()?;
    let (look, send) = needs.get(path.as_str())?;
    match *request.method() {
        Method::GET | Method::HEAD => *look,
        Method::POST => *send,
        _ => None,
    }
}

/// The name and port under which the browser asked. Over HTTP/2 they are part of the request's address.
fn host(request: &Request) -> String {
    let named = request.headers().get(header::HOST).and_then(|value| value.to_str().ok());
    named.or_else(|| request.uri().authority().map(|host| host.as_str())).unwrap_or_default().to_owned()
}

/// Whether a path is open to who has to set up a second factor first: the page on which it is done, the manual, locking
/// the device, and signing out.
fn is_for_set_up(path: &str) -> bool {
    path == SECOND_FACTOR
        || path == "/sign-out"
        || path == "/help"
        || ["/help/", "/session/"].iter().any(|part| path.starts_with(part))
}

/// Leads to the page on which the second factor is set up.
fn set_up_first(app: &Shared, visitor: &Visitor, changes: bool) -> Response {
    if changes {
        let text = "This clinic requires a second factor of you. Set it up on the page “Second factor” first; nothing was saved.";
        return super::request_error::answer(app, visitor, &RequestError::Refused(text.to_owned()));
    }
    Redirect::to(SECOND_FACTOR).into_response()
}

/// Whether it is a part of the manual that can be read before signing in.
pub fn is_open_help(path: &str) -> bool {
    let part = path.strip_prefix("/help/").and_then(HelpPart::from_key);
    part.is_some_and(HelpPart::is_open)
}

/// Whether the answer is the same for every visitor, so that nobody has to be recognised.
fn is_plain(request: &Request) -> bool {
    let path = request.uri().path();
    // How long the session lasts is asked without using it.
    path.starts_with("/assets/") || is_about_the_program(path) || path == "/session"
}

/// Whether it is asked how the program does; whoever asks on this computer does so without a proxy.
fn is_about_the_program(path: &str) -> bool {
    matches!(path, "/health" | "/metrics")
}

/// The address from which a request comes, if it is known.
pub fn address_of(app: &Shared, request: &Request) -> Option<IpAddr> {
    let peer = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|info| info.0.ip());
    app.client_address(request.headers(), peer)
}

/// The refusal of a visitor who lacks a right.
async fn lacks(app: &Shared, visitor: &Visitor, lacking: Right) -> Response {
    let refusal = work(app, move |app| Ok(app.refusal(lacking))).await.unwrap_or_else(|fail| fail);
    super::request_error::answer(app, visitor, &refusal.0)
}

/// Leads to the sign-in, or to the lock of the device, and from there back again.
fn sign_in_first(visitor: &Visitor, request: &Request) -> Response {
    let then = request.uri().path_and_query().map_or("/", axum::http::uri::PathAndQuery::as_str);
    let page = if visitor.locked.is_some() { "/unlock" } else { "/sign-in" };
    Redirect::to(&format!("{page}?then={}", pages::parts::query_value(then))).into_response()
}

async fn recognise(
    app: &Shared,
    headers: &HeaderMap,
    peer: Option<IpAddr>,
    door: &Door,
) -> Result<Visitor, Fail> {
    // On a device that is not enrolled nobody is signed in, not even somebody who was before it was removed.
    let enrolled = !matches!(door, Door::ClinicNetwork(None));
    let (settings_changes, generation) = (app.settings_changes(), app.records.generation()?);
    let jar = CookieJar::from_headers(headers);
    let read = |name: GateCookie| jar.get(name.name(app)).and_then(|cookie| Token::read(cookie.value()));
    let token = read(GateCookie::Session).filter(|_| enrolled);
    let state = match token.clone() {
        Some(token) => match app.sessions.known(&token, app.clock.now()) {
            Some(state) => Some(state),
            None => work(app, move |app| Ok(app.sessions.state(&token, app.clock.now())?)).await?,
        },
        None => None,
    };
    let (who, locked) = match state {
        Some(SessionState::Open(who)) => (Some(who), None),
        Some(SessionState::Locked(who)) => (None, Some(who)),
        None => (None, None),
    };
    let device = if let Door::ClinicNetwork(device) = door { device.clone() } else { None };
    let place = match door {
        Door::ThisComputer => read(GateCookie::Place).map(|token| token.hash()),
        Door::ClinicNetwork(device) => device.as_ref().map(|known| place_of(known.device.id)),
    };
    let form_token = if who.is_none() { read(GateCookie::Form).or_else(|| Some(Token::new())) } else { None };
    let from = app.client_address(headers, peer);
    Ok(Visitor {
        who,
        token,
        locked,
        place,
        device,
        form_token,
        from,
        generation,
        settings_changes,
        ..Visitor::default()
    })
}

/// An enrolled device, as PINs and sessions know it.
fn place_of(device: DeviceId) -> TokenHash {
    Sha256::digest(format!("device {device}")).into()
}

/// The token of a session in the cookies of a request.
pub fn session_token(app: &Shared, headers: &HeaderMap) -> Option<Token> {
    let jar = CookieJar::from_headers(headers);
    jar.get(GateCookie::Session.name(app)).and_then(|cookie| Token::read(cookie.value()))
}

/// The token for the forms of a visitor who is not signed in, if the browser does not have it yet.
fn fresh_form_token(app: &Shared, visitor: &Visitor, headers: &HeaderMap) -> Option<Token> {
    let jar = CookieJar::from_headers(headers);
    let has = |token: &Token| {
        jar.get(GateCookie::Form.name(app)).is_some_and(|cookie| cookie.value() == token.text())
    };
    visitor.form_token.clone().filter(|token| !has(token))
}

fn cookie(app: &Shared, name: GateCookie, token: &Token) -> Cookie<'static> {
    Cookie::build((name.name(app), token.text().to_owned()))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Lax)
        .secure(app.mode.secure)
        .build()
}

fn set_cookie(headers: &mut HeaderMap, cookie: Cookie<'static>) {
    if let Ok(value) = HeaderValue::from_str(&cookie.to_string()) {
        headers.append(header::SET_COOKIE, value);
    }
}

/// Sets the session cookie.
pub fn set_session(app: &Shared, response: &mut Response, token: &Token) {
    set_cookie(response.headers_mut(), cookie(app, GateCookie::Session, token));
}

/// Sets the cookie by which the browser of this computer is known to PINs. It outlives the browser.
pub fn set_place(app: &Shared, response: &mut Response, token: &Token) {
    let mut lasting = cookie(app, GateCookie::Place, token);
    lasting.make_permanent();
    set_cookie(response.headers_mut(), lasting);
}

/// Removes the session cookie.
pub fn remove_session(app: &Shared, response: &mut Response) {
    let mut gone = cookie(app, GateCookie::Session, &Token::new());
    gone.make_removal();
    set_cookie(response.headers_mut(), gone);
}

/// The path to go to after signing in: a path of this program, otherwise that of the first page.
#[must_use]
pub fn own_path(text: &str) -> &str {
    let own = text.starts_with('/') && !text.starts_with("//") && !text.contains(['\\', '\r', '\n', '\t']);
    let loops = text.starts_with("/sign-in")
        || text.starts_with("/start")
        || text.starts_with("/demo")
        || text.starts_with("/unlock")
        || text.starts_with("/session")
        || text.starts_with("/choose-password");
    if own && !loops { text } else { "/" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_own_paths_are_followed() {
        assert_eq!(own_path("/child/1?as_of=2024-01-01"), "/child/1?as_of=2024-01-01");
        for elsewhere in [
            "//elsewhere.example",
            "https://elsewhere.example",
            "/\\elsewhere.example",
            "",
            "/sign-in",
            "/a\nb",
        ] {
            assert_eq!(own_path(elsewhere), "/", "{elsewhere:?}");
        }
    }
}
