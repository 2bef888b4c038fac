//! The gate: only signed-in users, and no forms from other sites.

use crate::{
    access::AccessNeed,
    auth::{self, Token},
    web::{Door, Fail, Shared, Visitor, work},
};
use axum::{
    extract::{ConnectInfo, MatchedPath, Request, State},
    http::{HeaderMap, HeaderValue, Method, header},
    middleware::Next,
    response::{IntoResponse, Redirect, Response},
};
use axum_extra::extract::cookie::{Cookie, CookieJar, SameSite};
use pages::{HelpPart, RequestError};
use record::Right;
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
}

impl GateCookie {
    fn name(self, app: &Shared) -> &'static str {
        match (self, app.mode.invented) {
            (Self::Session, false) => "session",
            (Self::Session, true) => "invented-session",
            (Self::Form, false) => "form",
            (Self::Form, true) => "invented-form",
        }
    }
}

/// The page on which the own second factor is set up.
pub const SECOND_FACTOR: &str = "/account/second-factor";

/// What each path needs to be looked at and to be sent a form.
pub type RouteNeeds = HashMap<&'static str, (Option<AccessNeed>, Option<AccessNeed>)>;

/// Identifies the visitor, and refuses a visitor who is not allowed in.
pub async fn let_in(
    State((app, needs)): State<(Shared, Arc<RouteNeeds>)>,
    mut request: Request,
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
    // On a device that is not enrolled nobody is signed in, not even somebody who was before it was removed.
    let enrolled = !matches!(request.extensions().get::<Door>(), Some(Door::ClinicNetwork(None)));
    let host = host(&request);
    let by_network = matches!(request.extensions().get::<Door>(), Some(Door::ClinicNetwork(_)));
    let visitor = match recognise(&app, &headers, peer, enrolled).await {
        Ok(visitor) => Visitor { host, by_network, ..visitor },
        Err(fail) => return super::request_error::answer(&app, &Visitor::default(), &fail.0),
    };
    if changes && !auth::same_origin(request.uri(), request.headers()) {
        return super::request_error::answer(&app, &visitor, &RequestError::Stale);
    }
    if visitor.who.is_none() && needed != Some(AccessNeed::Nothing) {
        return refused(&app, &visitor, &request, changes);
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
    if let Some(lacking) = needed.lacking(visitor.rights()) {
        return lacks(&app, &visitor, lacking).await;
    }
    if changes
        && !saves_nothing(&request)
        && let Some(why) = app.saving_refused()
    {
        return super::request_error::answer(&app, &visitor, &RequestError::NotSavedNow(why));
    }
    let fresh = fresh_form_token(&app, &visitor, request.headers());
    request.extensions_mut().insert(visitor);
    let mut response = next.run(request).await;
    if let Some(token) = fresh {
        set_cookie(response.headers_mut(), cookie(&app, GateCookie::Form, &token));
    }
    response
}

/// Behind a proxy, answers only requests that the proxy received encrypted: any other request would carry names
/// and passwords in clear text. The last value of the header is the proxy's own; the visitor may have written
/// those before it.
pub async fn encrypted(State(app): State<Shared>, request: Request, next: Next) -> Response {
    if !app.mode.behind_proxy || request.uri().path() == "/health" {
        return next.run(request).await;
    }
    let named = request.headers().get_all("x-forwarded-proto").iter().next_back();
    let last = named.and_then(|value| value.to_str().ok()).and_then(|list| list.rsplit(',').next());
    if last.is_some_and(|proto| proto.trim().eq_ignore_ascii_case("https")) {
        return next.run(request).await;
    }
    let why = match last {
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
const SAVES_NOTHING: [&str; 7] = [
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

/// Whether a path is open to who has to set up a second factor first: the page on which it is done, the manual, and
/// signing out.
fn is_for_set_up(path: &str) -> bool {
    path == SECOND_FACTOR || path == "/sign-out" || path == "/help" || path.starts_with("/help/")
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
    path.starts_with("/assets/") || path == "/health"
}

/// The refusal of a visitor who lacks a right.
async fn lacks(app: &Shared, visitor: &Visitor, lacking: Right) -> Response {
    let refusal = work(app, move |app| Ok(app.refusal(lacking))).await.unwrap_or_else(|fail| fail);
    super::request_error::answer(app, visitor, &refusal.0)
}

fn refused(app: &Shared, visitor: &Visitor, request: &Request, changes: bool) -> Response {
    if changes {
        return super::request_error::answer(app, visitor, &RequestError::Stale);
    }
    let then = request.uri().path_and_query().map_or("/", axum::http::uri::PathAndQuery::as_str);
    Redirect::to(&format!("/sign-in?then={}", escape(then))).into_response()
}

/// A path encoded as a value of a query.
fn escape(path: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/-_.".contains(&byte);
    path.bytes()
        .map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}

async fn recognise(
    app: &Shared,
    headers: &HeaderMap,
    peer: Option<IpAddr>,
    enrolled: bool,
) -> Result<Visitor, Fail> {
    let (settings_changes, generation) = (app.settings_changes(), app.records.generation()?);
    let jar = CookieJar::from_headers(headers);
    let read = |name: GateCookie| jar.get(name.name(app)).and_then(|cookie| Token::read(cookie.value()));
    let token = read(GateCookie::Session).filter(|_| enrolled);
    let who = match token.clone() {
        Some(token) => match app.sessions.known(&token, app.clock.now()) {
            Some(who) => Some(who),
            None => work(app, move |app| Ok(app.sessions.who(&token, app.clock.now())?)).await?,
        },
        None => None,
    };
    let form_token = if who.is_none() { read(GateCookie::Form).or_else(|| Some(Token::new())) } else { None };
    let from = address(app, headers, peer);
    Ok(Visitor { who, token, form_token, from, generation, settings_changes, ..Visitor::default() })
}

/// The token for the forms of a visitor who is not signed in, if the browser does not have it yet.
fn fresh_form_token(app: &Shared, visitor: &Visitor, headers: &HeaderMap) -> Option<Token> {
    let jar = CookieJar::from_headers(headers);
    let has = |token: &Token| {
        jar.get(GateCookie::Form.name(app)).is_some_and(|cookie| cookie.value() == token.text())
    };
    visitor.form_token.clone().filter(|token| !has(token))
}

/// The visitor's address. Behind a proxy it is the last address of the header; the visitor may have written
/// those before it.
fn address(app: &Shared, headers: &HeaderMap, peer: Option<IpAddr>) -> Option<IpAddr> {
    if !app.mode.behind_proxy {
        return peer;
    }
    let named = headers.get_all("x-forwarded-for").iter().next_back().and_then(|value| value.to_str().ok());
    named.and_then(|list| list.rsplit(',').next()).and_then(|last| last.trim().parse().ok()).or(peer)
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

    #[test]
    fn a_path_is_encoded_as_the_value_of_a_query() {
        assert_eq!(escape("/day?on=2024-01-01&x=ü"), "/day%3Fon%3D2024-01-01%26x%3D%C3%BC");
    }
}
