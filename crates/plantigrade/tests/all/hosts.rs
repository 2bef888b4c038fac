//! Only requests that name this computer are answered, a proxy is believed only if it is the one named, and cookies
//! on encrypted connections are those of this host alone.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, NAME, PASSWORD, Page, TODAY, day};
use axum::{
    Router,
    body::Body,
    extract::ConnectInfo,
    http::{Request, StatusCode, header},
};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    network::{ClinicNetwork, NetworkPlace},
    routes,
};
use std::{net::SocketAddr, sync::Arc};
use tempfile::TempDir;

/// A clinic with these settings, that listens as `mode` says.
fn clinic_with(settings: &str, mode: Mode) -> Clinic {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("clinic.toml"), settings).unwrap();
    let app = Arc::new(App::open(dir.path(), Clock::new(Some(day(TODAY))), mode).unwrap());
    let clinic = Clinic { router: routes::router(app.clone()), app, dir };
    clinic.account(NAME, PASSWORD);
    clinic
}

fn here() -> Mode {
    Mode { here: Some("127.0.0.1:8460".parse().unwrap()), ..Mode::default() }
}

/// A page as it is asked for by this name.
async fn by_name(router: &Router, host: &str, path: &str) -> Page {
    let request = Request::get(path).header(header::HOST, host).body(Body::empty()).unwrap();
    Browser::new(router.clone()).request(request).await
}

#[tokio::test]
async fn a_name_of_another_site_is_refused_before_anything_is_shown() {
    let clinic = clinic_with("name = \"Hillside clubfoot clinic\"\n", here());
    for path in ["/", "/sign-in", "/day", "/health", "/help/sign-in", "/nowhere", &pages::assets::css_href()]
    {
        let page = by_name(&clinic.router, "rebound.example:8460", path).await;
        assert_eq!(page.status, StatusCode::MISDIRECTED_REQUEST, "{path}");
        assert!(page.text.contains("under the name rebound.example:8460"), "{path}: {}", page.text);
        assert!(!page.text.contains("Hillside") && !page.text.contains('<'), "{path}: {}", page.text);
        assert!(page.headers.get(header::SET_COOKIE).is_none(), "{path}");
        assert_eq!(page.headers[header::CACHE_CONTROL], "no-store", "{path}");
    }
    for own in ["127.0.0.1:8460", "localhost:8460", "[::1]:8460", "LOCALHOST"] {
        assert_eq!(by_name(&clinic.router, own, "/sign-in").await.status, StatusCode::OK, "{own}");
    }
}

#[tokio::test]
async fn a_form_under_a_name_of_another_site_signs_nobody_in() {
    let clinic = clinic_with("", here());
    let mut browser = Browser::new(clinic.router.clone());
    let form = browser.get("/sign-in").await.form("/sign-in");
    let body = format!("csrf={}&sign_in_name={NAME}&password=plaster+and+patience", form["csrf"]);
    let send = |host: &str| {
        Request::post("/sign-in")
            .header(header::HOST, host)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header("sec-fetch-site", "same-origin")
            .body(Body::from(body.clone()))
            .unwrap()
    };
    let page = browser.request(send("rebound.example")).await;
    assert_eq!((page.status, browser.cookie("session")), (StatusCode::MISDIRECTED_REQUEST, None));
    let page = browser.request(send("127.0.0.1:8460")).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "the same form under our own name: {}", page.text);
}

#[tokio::test]
async fn every_host_that_a_request_names_has_to_be_ours() {
    let clinic = clinic_with("", here());
    let ask = async |request: axum::http::request::Builder| {
        use tower::ServiceExt as _;
        clinic.router.clone().oneshot(request.body(Body::empty()).unwrap()).await.unwrap().status()
    };
    let refused = StatusCode::MISDIRECTED_REQUEST;
    assert_eq!(ask(Request::get("/sign-in")).await, refused, "none at all");
    let two = Request::get("/sign-in").header(header::HOST, "localhost").header(header::HOST, "evil.example");
    assert_eq!(ask(two).await, refused, "a second one");
    let whole = Request::get("http://evil.example/sign-in").header(header::HOST, "localhost");
    assert_eq!(ask(whole).await, refused, "another in the address");
    assert_eq!(ask(Request::get("http://localhost:8460/sign-in")).await, StatusCode::OK, "as over HTTP/2");
    let bytes = Request::get("/sign-in").header(header::HOST, &b"loc\xe4lhost"[..]);
    assert_eq!(ask(bytes).await, refused, "no text");
}

#[tokio::test]
async fn names_in_the_settings_are_answered() {
    let settings =
        "host_names = [\"records.clinic.example\"]\npublic_address = \"https://clubfoot.clinic.example\"\n";
    let clinic = clinic_with(settings, here());
    for own in ["records.clinic.example:8460", "clubfoot.clinic.example"] {
        assert_eq!(by_name(&clinic.router, own, "/sign-in").await.status, StatusCode::OK, "{own}");
    }
    let other = by_name(&clinic.router, "other.clinic.example", "/sign-in").await;
    assert_eq!(other.status, StatusCode::MISDIRECTED_REQUEST);
}

/// A clinic that serves its network under the name desk.local.
fn on_network() -> (Arc<App>, TempDir) {
    let dir = tempfile::tempdir().unwrap();
    let mut app = App::open(dir.path(), Clock::new(Some(day(TODAY))), here()).unwrap();
    let place = NetworkPlace { name: "desk.local".into(), listens: "0.0.0.0:8461".parse().unwrap() };
    let addresses = ["192.168.7.20".parse().unwrap()];
    app.network = Some(ClinicNetwork::open(dir.path(), place, &addresses, day(TODAY)).unwrap());
    (Arc::new(app), dir)
}

#[tokio::test]
async fn the_clinics_network_answers_to_the_names_of_its_certificate() {
    let (app, _dir) = on_network();
    let network = routes::network_router(app.clone());
    for own in ["desk.local:8461", "192.168.7.20:8461"] {
        assert_eq!(by_name(&network, own, "/enrol").await.status, StatusCode::OK, "{own}");
    }
    for other in ["rebound.example:8461", "203.0.113.9", "desk.local.evil.example"] {
        let page = by_name(&network, other, "/enrol").await;
        assert_eq!(page.status, StatusCode::MISDIRECTED_REQUEST, "{other}");
    }
    let page = by_name(&routes::router(app), "desk.local", "/sign-in").await;
    assert_eq!(page.status, StatusCode::MISDIRECTED_REQUEST, "a name of the other door");
}

fn from(address: [u8; 4]) -> ConnectInfo<SocketAddr> {
    ConnectInfo(SocketAddr::from((address, 40_000)))
}

fn behind(proxy: &str) -> Clinic {
    let settings = format!("host_names = [\"clubfoot.clinic.example\"]\n{proxy}");
    clinic_with(&settings, Mode { secure: true, behind_proxy: true, ..Mode::default() })
}

async fn forwarded(clinic: &Clinic, peer: [u8; 4], headers: &[(&str, &str)]) -> Page {
    let mut request = Request::get("/sign-in").header(header::HOST, "localhost").extension(from(peer));
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    Browser::new(clinic.router.clone()).request(request.body(Body::empty()).unwrap()).await
}

#[tokio::test]
async fn forwarded_headers_count_from_the_named_proxy_only() {
    let https = ("x-forwarded-proto", "https");
    let (own, named) = (behind(""), behind("proxy = \"192.0.2.4\"\n"));
    assert_eq!(forwarded(&own, [127, 0, 0, 1], &[https]).await.status, StatusCode::OK);
    assert_eq!(forwarded(&named, [192, 0, 2, 4], &[https]).await.status, StatusCode::OK);
    for (clinic, peer) in [(&own, [192, 0, 2, 4]), (&named, [192, 0, 2, 5]), (&named, [127, 0, 0, 1])] {
        let page = forwarded(clinic, peer, &[https]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{peer:?}");
        assert!(page.text.contains("answers its reverse proxy only"), "{peer:?}: {}", page.text);
    }
    let host = |name| [https, ("x-forwarded-host", name)];
    let own_name = forwarded(&own, [127, 0, 0, 1], &host("clubfoot.clinic.example")).await;
    assert_eq!(own_name.status, StatusCode::OK);
    let other = forwarded(&own, [127, 0, 0, 1], &host("rebound.example")).await;
    assert_eq!(other.status, StatusCode::MISDIRECTED_REQUEST, "what the proxy was asked for counts");
}

/// Without a proxy the headers mean nothing: neither the name nor the address that they state.
#[tokio::test]
async fn without_a_proxy_forwarded_headers_are_ignored() {
    let clinic = clinic_with("", here());
    let stated = [("x-forwarded-host", "rebound.example"), ("x-forwarded-for", "198.51.100.1")];
    assert_eq!(forwarded(&clinic, [127, 0, 0, 1], &stated).await.status, StatusCode::OK);
    let address = |headers: &[(&'static str, &str)], peer: [u8; 4]| {
        let headers = headers.iter().map(|(name, value)| (name.parse().unwrap(), value.parse().unwrap()));
        clinic.app.client_address(&headers.collect(), Some(peer.into())).unwrap().to_string()
    };
    assert_eq!(address(&stated, [192, 0, 2, 9]), "192.0.2.9");
    let proxied = behind("");
    let of = |peer: [u8; 4]| {
        let headers = [("x-forwarded-for".parse().unwrap(), "9.9.9.9, 198.51.100.1".parse().unwrap())];
        proxied.app.client_address(&headers.into_iter().collect(), Some(peer.into())).unwrap().to_string()
    };
    assert_eq!((of([127, 0, 0, 1]).as_str(), of([192, 0, 2, 9]).as_str()), ("198.51.100.1", "192.0.2.9"));
}

/// An address that asks without end is slowed down, whatever it asks for; this computer is not.
#[tokio::test]
async fn one_address_cannot_ask_without_end() {
    let (app, _dir) = on_network();
    let network = routes::network_router(app);
    let ask = async |address: [u8; 4]| {
        let request = Request::get("/enrol").header(header::HOST, "desk.local").extension(from(address));
        Browser::new(network.clone()).request(request.body(Body::empty()).unwrap()).await
    };
    let mut slowed = None;
    for n in 0..plantigrade::auth::REQUEST_BURST * 3 {
        let page = ask([192, 168, 7, 31]).await;
        if page.status == StatusCode::TOO_MANY_REQUESTS {
            slowed = Some((n, page));
            break;
        }
    }
    let (n, page) = slowed.expect("asked without end");
    assert!(n >= plantigrade::auth::REQUEST_BURST, "a page and what it loads are let through: {n}");
    assert!(page.headers.get(header::RETRY_AFTER).is_some());
    assert_eq!(ask([192, 168, 7, 32]).await.status, StatusCode::OK, "another address");
}

/// A browser connected with encryption knows our cookies under a prefix by which it takes them from this host alone.
#[tokio::test]
async fn cookies_on_encrypted_connections_are_of_this_host_alone() {
    let clinic = clinic_with("second_factor = \"optional\"\n", Mode { secure: true, ..here() });
    let mut browser = Browser::new(clinic.router.clone());
    let signed_in = browser.sign_in(NAME, PASSWORD).await;
    assert_eq!(signed_in.status, StatusCode::SEE_OTHER, "{}", signed_in.text);
    let set: Vec<_> = signed_in.headers.get_all(header::SET_COOKIE).iter().collect();
    assert!(!set.is_empty());
    for cookie in set {
        let text = cookie.to_str().unwrap();
        assert!(text.starts_with("__Host-") && !text.contains("Domain"), "{text}");
        for part in ["; Secure", "; HttpOnly", "; SameSite=Lax", "; Path=/"] {
            assert_eq!(text.matches(part).count(), 1, "{part}: {text}");
        }
    }
    assert_eq!(browser.get("/day").await.status, StatusCode::OK);
    let session = browser.cookie("__Host-session").unwrap().to_owned();
    let mut planted = Browser::new(clinic.router.clone());
    planted.set_cookie("session", &session);
    assert_eq!(
        planted.get("/day").await.status,
        StatusCode::SEE_OTHER,
        "without the prefix it opens nothing"
    );
    let csrf = browser.get("/day").await.form("/sign-out")["csrf"].clone();
    browser.post("/sign-out", &[("csrf", &csrf)]).await;
    assert!(browser.cookie("__Host-session").is_none(), "and it is removed by its name");
}

/// The own clinic and the invented one beside it, and one browser that uses the own clinic by both doors.
#[tokio::test]
async fn one_browser_uses_both_doors_and_the_invented_clinic_side_by_side() {
    let (own, invented) = (clinic_with("", here()), Clinic::invented());
    invented.account(NAME, PASSWORD);
    let mut browser = Browser::new(own.router.clone());
    browser.sign_in(NAME, PASSWORD).await;
    browser.turn_to(invented.router.clone());
    assert_eq!(browser.get("/day").await.status, StatusCode::SEE_OTHER, "not signed in there");
    browser.sign_in(NAME, PASSWORD).await;
    assert_eq!(browser.get("/day").await.status, StatusCode::OK);
    browser.turn_to(own.router.clone());
    assert_eq!(browser.get("/day").await.status, StatusCode::OK, "and still signed in here");
    assert!(browser.cookie("session").is_some() && browser.cookie("invented-session").is_some());
}
