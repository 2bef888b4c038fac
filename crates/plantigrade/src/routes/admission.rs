//! The door to the clinic's network: it admits devices that are enrolled, and shows the others only how to
//! become so. It stands before the gate, which then asks every person to sign in.

use super::gate::is_open_help;
use crate::{
    auth::{AdmittedDevice, Token},
    web::{Door, Fail, Shared, Visitor, work},
};
use axum::{
    extract::{Request, State},
    http::{HeaderMap, HeaderValue, StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use axum_extra::extract::cookie::{Cookie, CookieJar, SameSite};
use pages::Here;
use std::sync::Arc;

/// The cookie with a device's token. The prefix makes browsers refuse one that was not set by this computer over
/// an encrypted connection.
const COOKIE: &str = "__Host-device";
/// For how long a browser keeps it without use: the longest time that browsers allow.
const COOKIE_SECONDS: &str = "34560000";

/// Whether a device that is not enrolled may see a path.
fn is_for_everybody(path: &str) -> bool {
    let is_page = path == "/enrol" || path == "/trust" || path == pages::CERTIFICATE_PATH;
    is_page || path.starts_with("/assets/") || is_open_help(path)
}

/// Admits a request from the clinic's network if its device is enrolled.
pub async fn admit(State(app): State<Shared>, mut request: Request, next: Next) -> Response {
    let admitted = match token(request.headers()) {
        Some(token) => work(&app, move |app| Ok(app.devices.admitted(&token, app.clock.now())?)).await,
        None => Ok(None),
    };
    let admitted = match admitted {
        Ok(admitted) => admitted.map(Arc::new),
        Err(fail) => return super::request_error::answer(&app, &Visitor::default(), &fail.0),
    };
    if admitted.is_none() && !is_for_everybody(request.uri().path()) {
        return refused(&app);
    }
    let fresh = admitted.as_ref().filter(|admitted| admitted.noted).and_then(|_| token(request.headers()));
    request.extensions_mut().insert(Door::ClinicNetwork(admitted));
    let mut response = next.run(request).await;
    if let Some(token) = fresh {
        give_token(&mut response, &token);
    }
    response
}

fn refused(app: &Shared) -> Response {
    let frame = app.frame(&Visitor::default(), Here::Elsewhere);
    (StatusCode::FORBIDDEN, pages::not_enrolled(&frame)).into_response()
}

fn token(headers: &HeaderMap) -> Option<Token> {
    CookieJar::from_headers(headers).get(COOKIE).and_then(|cookie| Token::read(cookie.value()))
}

/// Gives a device its token.
pub fn give_token(response: &mut Response, token: &Token) {
    let cookie = Cookie::build((COOKIE, token.text().to_owned()))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Lax)
        .secure(true)
        .build();
    if let Ok(value) = HeaderValue::from_str(&format!("{cookie}; Max-Age={COOKIE_SECONDS}")) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
}

/// The device of a request, if it came from the clinic's network.
#[must_use]
pub fn device_of(door: &Door) -> Option<&AdmittedDevice> {
    match door {
        Door::ClinicNetwork(admitted) => admitted.as_deref(),
        Door::ThisComputer => None,
    }
}

/// Refuses what only a device of the clinic's network has a use for.
///
/// # Errors
/// When the request came from this computer.
pub fn from_network(door: &Door) -> Result<(), Fail> {
    match door {
        Door::ClinicNetwork(_) => Ok(()),
        Door::ThisComputer => Err(Fail(pages::RequestError::Refused(
            "This computer needs no enrolment: only tablets and phones of the clinic's network do."
                .to_owned(),
        ))),
    }
}
