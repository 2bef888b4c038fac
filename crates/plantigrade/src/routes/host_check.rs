//! Answers only requests that name this computer, in front of everything else.

use super::Entrance;
use crate::{
    hosts::{AskedHost, DoorNames, answers},
    settings::Settings,
    web::Shared,
};
use axum::{
    extract::{ConnectInfo, Request, State},
    http::{StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use std::{net::SocketAddr, sync::Arc};

/// The longest name that is repeated in the refusal, in characters.
const NAME_SHOWN: usize = 60;

/// Refuses a request for a name that is not one of this program.
pub async fn check(
    State((app, entrance)): State<(Shared, Entrance)>,
    request: Request,
    next: Next,
) -> Response {
    let peer = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|info| info.0.ip());
    let by_network = entrance == Entrance::ClinicNetwork;
    let named = named(&request);
    // Behind the proxy the visitor's own word is what the proxy passes on.
    let forwarded = app.forwarded_host(request.headers(), peer).filter(|_| !by_network);
    let all: Vec<&str> = forwarded.map_or(named, |host| vec![host]);
    match refused(&all, |asked| app.answers_host(asked, by_network)) {
        None => next.run(request).await,
        Some(refusal) => refusal,
    }
}

/// The same while the records are locked, at the door of this computer. What a proxy says is not believed yet.
pub async fn check_locked(
    State((door, settings)): State<(DoorNames, Arc<Settings>)>,
    request: Request,
    next: Next,
) -> Response {
    match refused(&named(&request), |asked| answers(&door, &settings, asked)) {
        None => next.run(request).await,
        Some(refusal) => refusal,
    }
}

/// The refusal of a request that names something else, or nothing.
fn refused(all: &[&str], answers: impl Fn(&AskedHost) -> bool) -> Option<Response> {
    let is_own = |text: &&&str| AskedHost::read(text).is_some_and(|asked| answers(&asked));
    match all.iter().find(|text| !is_own(text)) {
        None if !all.is_empty() => None,
        None => Some(refusal("(none)")),
        Some(other) => Some(refusal(other)),
    }
}

/// Every host that a request names: in its address, as over HTTP/2, and in each header `Host`. A header that is no
/// text counts as one without a name.
fn named(request: &Request) -> Vec<&str> {
    let headers = request.headers().get_all(header::HOST).iter();
    let headers = headers.map(|value| value.to_str().unwrap_or_default());
    request.uri().authority().map(|host| host.as_str()).into_iter().chain(headers).collect()
}

/// The refusal names nothing of the clinic: a page of another site can read it.
fn refusal(asked: &str) -> Response {
    let plain = |char: &char| char.is_ascii_alphanumeric() || "-_.:[]()".contains(*char);
    let shown: String = asked.chars().filter(plain).take(NAME_SHOWN).collect();
    let text = format!(
        "This program does not answer under the name {shown}. Open it by the address that it shows at its start. \
         Whoever looks after the computer can add a name to host_names in clinic.toml.\n"
    );
    (StatusCode::MISDIRECTED_REQUEST, [(header::CONTENT_TYPE, "text/plain; charset=utf-8")], text)
        .into_response()
}
