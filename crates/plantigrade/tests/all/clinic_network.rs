//! The clinic's network: only devices that are enrolled, and only over an encrypted connection. The same with a
//! second device in a network namespace of its own is `tests/clinic-network`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, NAME, PASSWORD, Page, TODAY, day};
use axum::{
    body::Body,
    extract::ConnectInfo,
    http::{Request, StatusCode, header},
};
use clap::Parser;
use plantigrade::{
    app::{App, Mode},
    auth::{BURST, DEVICE_IDLE_DAYS},
    cli::{Cli, Command},
    clock::Clock,
    network::{ClinicNetwork, NetworkPlace},
    routes,
};
use record::{DeviceId, Timestamp, UserId};
use std::{net::SocketAddr, sync::Arc};
use tempfile::TempDir;

const STABLE_NAME: &str = "desk.local";

/// A clinic that serves its network, with one account and a lead signed in on the computer itself.
struct NetworkClinic {
    app: Arc<App>,
    lead: Browser,
    user: UserId,
    _dir: TempDir,
}

impl NetworkClinic {
    async fn new() -> Self {
        Self::with_settings("second_factor = \"optional\"\n").await
    }

    /// With these settings in the clinic's file.
    async fn with_settings(settings: &str) -> Self {
        let dir = tempfile::tempdir().unwrap();
        std::fs::write(dir.path().join("clinic.toml"), settings).unwrap();
        let mut app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
        let place = NetworkPlace { name: STABLE_NAME.into(), listens: "127.0.0.1:8461".parse().unwrap() };
        let addresses = ["192.168.7.20".parse().unwrap()];
        app.network = Some(ClinicNetwork::open(dir.path(), place, &addresses, day(TODAY)).unwrap());
        let app = Arc::new(app);
        let clinic = Clinic { router: routes::router(app.clone()), app, dir };
        let user = clinic.account(NAME, PASSWORD);
        let lead = clinic.browser_signed_in().await;
        Self { app: clinic.app, lead, user, _dir: clinic.dir }
    }

    /// A browser of another device.
    fn device(&self) -> Browser {
        Browser::new(routes::network_router(self.app.clone()))
    }

    /// A one-time code, made on the page by the lead.
    async fn code(&mut self, name: &str) -> String {
        let page = self.lead.send("/devices", "/devices", &[("device", name)]).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        assert!(page.shown(".device-code h2").contains(name));
        page.shown(".code-digits")
    }

    async fn enrolled(&mut self, name: &str) -> Browser {
        let (code, mut device) = (self.code(name).await, self.device());
        let page = enrol(&mut device, &code).await;
        assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/sign-in"), "{}", page.text);
        device
    }
}

async fn enrol(device: &mut Browser, code: &str) -> Page {
    device.send("/enrol", "/enrol", &[("code", code)]).await
}

fn is_refused(page: &Page) -> bool {
    page.status == StatusCode::FORBIDDEN && page.shown("h1") == "This device is not enrolled"
}

#[tokio::test]
async fn a_pin_of_an_enrolled_device_works_there_and_not_on_the_computer() {
    let mut clinic = NetworkClinic::new().await;
    let mut device = clinic.enrolled("Tablet, cast room").await;
    assert_eq!(device.sign_in(NAME, PASSWORD).await.status, StatusCode::SEE_OTHER);
    let fields = [("pin", "4071"), ("pin_again", "4071"), ("pin_password", PASSWORD)];
    let page = device.send("/account", "/account/pin", &fields).await;
    assert_eq!(page.location(), "/account?done=pin", "{}", page.text);
    assert!(device.get("/account").await.shown("#pin").contains("Tablet, cast room: a PIN is set"));
    assert!(clinic.lead.get("/account").await.shown("#pin").contains("This computer: no PIN is set"));
    for browser in [&mut device, &mut clinic.lead] {
        let page = browser.send("/account", "/session/lock", &[]).await;
        assert!(page.location().starts_with("/unlock"), "{}", page.location());
    }
    assert_eq!(clinic.lead.get("/unlock").await.count("input[name=pin]"), 0);
    let page = device.send("/unlock", "/unlock", &[("pin", "4071")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert_eq!(device.get("/day").await.status, StatusCode::OK);
    assert_eq!(clinic.lead.get("/day").await.status, StatusCode::SEE_OTHER, "unlocked by another device");
}

#[tokio::test]
async fn a_device_that_is_not_enrolled_sees_only_how_to_become_so() {
    let clinic = NetworkClinic::new().await;
    let mut device = clinic.device();
    for path in [
        "/",
        "/day",
        "/sign-in",
        "/sign-in?then=/enrol",
        "/find?search=a",
        "/devices",
        "/help",
        "/help/signs",
        "/help/sign-in/",
        "/health",
        "/start/0",
        "/demo/0",
        "/enrol/",
        "/enrolled",
        "/trust/other",
        "/nowhere",
        "//enrol",
        "/assetsx",
    ] {
        let page = device.get(path).await;
        assert!(is_refused(&page), "{path}: {} {}", page.status, page.text);
        assert_eq!(page.count("form, nav"), 0, "{path}");
    }
    for path in ["/sign-in", "/sign-out", "/register", "/devices"] {
        let page = device.post(path, &[("sign_in_name", NAME), ("password", PASSWORD)]).await;
        assert!(is_refused(&page), "{path}: {}", page.text);
    }
    for (path, heading) in
        [("/enrol", "Enrol this device"), ("/trust", "Let this device trust the clinic’s computer")]
    {
        let page = device.get(path).await;
        assert_eq!((page.status, page.shown("h1")), (StatusCode::OK, heading.to_owned()), "{path}");
        assert_eq!(page.count("nav"), 0);
    }
    let help = device.get("/help/sign-in").await;
    assert_eq!((help.status, help.count("#new-device"), help.count("nav.nav")), (StatusCode::OK, 1, 0));
    assert_eq!(device.get("/assets/app.css").await.status, StatusCode::OK);
    assert!(device.cookie("__Host-session").is_none() && device.cookie("__Host-device").is_none());
}

#[tokio::test]
async fn a_device_enrols_with_its_code_then_a_person_signs_in_and_sees_the_day() {
    let mut clinic = NetworkClinic::new().await;
    let mut device = clinic.enrolled("Tablet, cast room").await;
    assert_eq!(device.get("/day").await.status, StatusCode::SEE_OTHER, "the device alone is nobody");
    assert_eq!(device.sign_in(NAME, PASSWORD).await.status, StatusCode::SEE_OTHER);
    let day = device.get("/day").await;
    assert_eq!((day.status, day.shown("h1").is_empty()), (StatusCode::OK, false));
    let shown = device.get("/enrol").await;
    assert!(shown.shown(".message").contains("Tablet, cast room"), "{}", shown.text);
    let list = clinic.lead.get("/devices").await.shown("tbody");
    assert!(list.contains("Tablet, cast room") && list.contains("Enrolled on"), "{list}");
    assert!(list.contains(&format!("{NAME} of the clinic")), "who made the code: {list}");
}

#[tokio::test]
async fn a_code_works_once_and_for_fifteen_minutes() {
    let mut clinic = NetworkClinic::new().await;
    let code = clinic.code("Tablet").await;
    let mut first = clinic.device();
    assert_eq!(enrol(&mut first, &code.replace(' ', "")).await.status, StatusCode::SEE_OTHER);
    let mut second = clinic.device();
    let page = enrol(&mut second, &code).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".field-error").contains("used already"), "{}", page.text);
    assert!(!page.text.contains(&code) && !page.text.contains(&code.replace(' ', "")), "never sent back");
    assert!(is_refused(&second.get("/day").await));
    let now = clinic.app.clock.now();
    let after = |seconds| Timestamp::from_seconds(now.seconds() + seconds);
    let make = |number| {
        let id = DeviceId::new(uuid::Uuid::from_u128(number));
        clinic.app.devices.expect(id, "late".into(), clinic.user, now).unwrap().0
    };
    assert!(clinic.app.devices.enrol(&make(1), after(15 * 60)).unwrap().is_none());
    assert!(clinic.app.devices.enrol(&make(2), after(15 * 60 - 1)).unwrap().is_some());
}

#[tokio::test]
async fn guessing_codes_is_slowed_down() {
    let mut clinic = NetworkClinic::new().await;
    let (code, mut device) = (clinic.code("Tablet").await, clinic.device());
    let wrong = if code.starts_with('0') { "1234 5678" } else { "0234 5678" };
    for _ in 0..BURST {
        assert_eq!(enrol(&mut device, wrong).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    assert_eq!(enrol(&mut device, &code).await.status, StatusCode::TOO_MANY_REQUESTS, "even the right one");
    assert!(is_refused(&device.get("/day").await));
}

/// Each address has its own allowance; the allowance of all together is in the unit tests of the throttle.
#[tokio::test]
async fn guesses_are_counted_by_the_address_of_the_device() {
    let mut clinic = NetworkClinic::new().await;
    let code = clinic.code("Tablet").await;
    let mut device = clinic.device();
    let form = device.get("/enrol").await.form("/enrol");
    let send = |code: &str, from: &str| {
        let body = format!("csrf={}&code={}", form["csrf"], code.replace(' ', "+"));
        let mut request = Request::post("/enrol")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header("sec-fetch-site", "same-origin")
            // What a device claims about its address counts for nothing.
            .header("x-forwarded-for", "10.9.9.9")
            .body(Body::from(body))
            .unwrap();
        request.extensions_mut().insert(ConnectInfo(from.parse::<SocketAddr>().unwrap()));
        request
    };
    for _ in 0..BURST {
        device.request(send("1111", "192.168.7.31:5000")).await;
    }
    let waits = device.request(send(&code, "192.168.7.31:5001")).await;
    assert_eq!(waits.status, StatusCode::TOO_MANY_REQUESTS);
    assert_eq!(device.request(send(&code, "192.168.7.32:5000")).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_removed_device_is_refused_at_its_next_request_even_while_somebody_is_signed_in() {
    let mut clinic = NetworkClinic::new().await;
    let mut device = clinic.enrolled("Tablet").await;
    device.sign_in(NAME, PASSWORD).await;
    assert_eq!(device.get("/day").await.status, StatusCode::OK);
    let list = clinic.lead.get("/devices").await;
    let action = list.html();
    let selector = scraper::Selector::parse("form[action$='/remove']").unwrap();
    let action = action.select(&selector).next().unwrap().attr("action").unwrap().to_owned();
    let page = clinic.lead.send("/devices", &action, &[]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/devices"));
    assert!(is_refused(&device.get("/day").await), "signed in, and refused all the same");
    for open in ["/enrol", "/trust"] {
        let page = device.get(open).await;
        assert_eq!((page.status, page.count("nav")), (StatusCode::OK, 0), "{open}");
        assert!(!page.text.contains(&format!("{NAME} of the clinic")), "{open} names who was signed in");
    }
    assert!(clinic.lead.get("/devices").await.shown("details").contains("Removed on"));
    assert_eq!(clinic.lead.get("/day").await.status, StatusCode::OK, "the computer itself is not concerned");
}

#[tokio::test]
async fn a_device_that_was_not_used_for_long_has_to_be_enrolled_again() {
    let clinic = NetworkClinic::new().await;
    let now = clinic.app.clock.now();
    let after = |seconds: i64| Timestamp::from_seconds(now.seconds() + seconds);
    let id = DeviceId::new(uuid::Uuid::from_u128(1));
    let (code, _) = clinic.app.devices.expect(id, "Tablet".into(), clinic.user, now).unwrap();
    let (token, _) = clinic.app.devices.enrol(&code, now).unwrap().unwrap();
    let idle = DEVICE_IDLE_DAYS * 86_400;
    assert!(clinic.app.devices.admitted(&token, after(idle)).unwrap().is_none());
    assert!(clinic.app.devices.admitted(&token, after(idle - 1)).unwrap().is_some());
    assert!(clinic.app.devices.admitted(&token, after(2 * idle - 2)).unwrap().is_some(), "use keeps it");
}

#[tokio::test]
async fn every_cookie_on_the_network_is_for_encrypted_connections_and_the_records_hold_no_token() {
    let mut clinic = NetworkClinic::new().await;
    let (code, mut device) = (clinic.code("Tablet").await, clinic.device());
    let mut set = Vec::new();
    let mut note = |page: &Page| {
        let cookies = page.headers.get_all(header::SET_COOKIE).iter();
        set.extend(cookies.map(|cookie| cookie.to_str().unwrap().to_owned()));
    };
    note(&device.get("/enrol").await);
    note(&enrol(&mut device, &code).await);
    note(&device.sign_in(NAME, PASSWORD).await);
    for name in ["__Host-form=", "__Host-device=", "__Host-session="] {
        assert!(set.iter().any(|cookie| cookie.starts_with(name)), "{name}: {set:?}");
    }
    for cookie in &set {
        for part in ["; Secure", "; HttpOnly", "; SameSite=Lax", "; Path=/"] {
            assert_eq!(cookie.matches(part).count(), 1, "{part}: {cookie}");
        }
    }
    let of_device = set.iter().find(|cookie| cookie.starts_with("__Host-device=")).unwrap();
    assert!(of_device.contains("; Max-Age=34560000"), "{of_device}");
    let token = device.cookie("__Host-device").unwrap().to_owned();
    assert_eq!(token.len(), 64, "32 bytes as hexadecimal digits");
    let code = code.replace(' ', "");
    for file in ["", "-wal"] {
        let path = clinic.app.dir.join(format!("{}{file}", clinic::FILE_NAME));
        let bytes = std::fs::read(path).unwrap_or_default();
        assert!(!bytes.windows(64).any(|part| part == token.as_bytes()));
        assert!(!bytes.windows(8).any(|part| part == code.as_bytes()));
    }
}

#[tokio::test]
async fn a_made_up_token_and_that_of_a_session_admit_nobody() {
    let mut clinic = NetworkClinic::new().await;
    let mut device = clinic.enrolled("Tablet").await;
    device.sign_in(NAME, PASSWORD).await;
    let session = device.cookie("__Host-session").unwrap().to_owned();
    for token in ["0".repeat(64), session.clone(), String::new(), "x".into()] {
        let mut other = clinic.device();
        other.set_cookie("__Host-device", &token);
        other.set_cookie("__Host-session", &session);
        assert!(is_refused(&other.get("/day").await), "{token}");
    }
}

#[tokio::test]
async fn the_code_is_no_use_without_the_form_and_on_the_computer_itself() {
    let mut clinic = NetworkClinic::new().await;
    let (code, mut device) = (clinic.code("Tablet").await, clinic.device());
    assert_eq!(device.post("/enrol", &[("code", &code)]).await.status, StatusCode::FORBIDDEN);
    let csrf = clinic.lead.get("/devices").await.form("/devices")["csrf"].clone();
    let page = clinic.lead.post("/enrol", &[("code", &code), ("csrf", &csrf)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(clinic.lead.get("/enrol").await.text.contains("needs no enrolment"));
    assert_eq!(enrol(&mut device, &code).await.status, StatusCode::SEE_OTHER, "the code was not used up");
}

#[tokio::test]
async fn a_device_without_a_name_is_asked_for_one() {
    let mut clinic = NetworkClinic::new().await;
    for (name, why) in [("  ".to_owned(), "A name is needed"), ("x".repeat(61), "too long")] {
        let page = clinic.lead.send("/devices", "/devices", &[("device", &name)]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.shown(".field-error").contains(why), "{}", page.text);
        assert_eq!(page.count(".device-code"), 0);
    }
    assert!(clinic.app.devices.all(clinic.app.clock.now()).unwrap().is_empty());
}

#[tokio::test]
async fn without_a_network_no_code_is_made_and_the_pages_say_so() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let page = lead.get("/devices").await;
    assert!(page.text.contains("--clinic-network") && page.count("form[action='/devices']") == 0);
    let csrf = page.form("/sign-out")["csrf"].clone();
    let sent = lead.post("/devices", &[("device", "Tablet"), ("csrf", &csrf)]).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(clinic.app.devices.all(clinic.app.clock.now()).unwrap().is_empty());
    assert!(lead.get("/trust").await.text.contains("not served now"));
    assert_eq!(lead.get("/trust/clinic-network.crt").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_page_of_the_lead_shows_the_fingerprint_and_a_picture_of_each_address() {
    let mut clinic = NetworkClinic::new().await;
    let page = clinic.lead.get("/devices").await;
    let authority = clinic.app.network.as_ref().unwrap().authority();
    let shown: String = page.shown(".fingerprint").split_whitespace().collect::<Vec<_>>().join(":");
    assert_eq!(shown, authority.fingerprint());
    for url in ["https://desk.local:8461/trust", "https://192.168.7.20:8461/trust"] {
        assert!(page.text.contains(&format!("aria-label=\"Code for the camera: {url}\"")), "{url}");
    }
    let file = clinic.device().get("/trust/clinic-network.crt").await;
    assert_eq!(file.headers[header::CONTENT_TYPE], "application/x-x509-ca-cert");
    // A stranger could show any number on a page of the network, so it is only on the computer's own.
    assert_eq!(clinic.device().get("/trust").await.count(".fingerprint"), 0);
    assert_eq!(clinic.lead.get("/trust").await.count(".fingerprint"), 1);
}

#[tokio::test]
async fn answers_on_the_network_are_locked_down_and_do_not_lock_a_device_out() {
    let clinic = NetworkClinic::new().await;
    let mut device = clinic.device();
    for path in ["/day", "/enrol", "/trust", "/nowhere"] {
        let page = device.get(path).await;
        assert_eq!(page.headers["content-security-policy"], plantigrade::headers::POLICY, "{path}");
        assert_eq!(page.headers["cache-control"], "no-store", "{path}");
        // A browser that was told to insist on encryption offers no way past a certificate that it does not know
        // yet, for instance after the authority was made anew.
        assert!(page.headers.get("strict-transport-security").is_none(), "{path}");
    }
}

#[test]
fn the_clinics_network_is_private_and_beside_this_machine_only() {
    let network = |args: &[&str]| {
        let all = ["plantigrade", "serve"].iter().chain(args).copied().collect::<Vec<_>>();
        Cli::try_parse_from(all).map(|cli| match cli.command {
            Some(Command::Serve(args)) => args.network.address().map(|at| at.map(|at| at.to_string())).ok(),
            _ => None,
        })
    };
    assert_eq!(network(&[]).unwrap(), Some(None), "off unless asked for");
    assert_eq!(network(&["--clinic-network"]).unwrap(), Some(Some("0.0.0.0:8461".into())));
    let chosen = network(&["--clinic-network=192.168.1.20:0"]).unwrap();
    assert_eq!(chosen, Some(Some("192.168.1.20:0".into())));
    assert_eq!(network(&["--clinic-network=203.0.113.5:8461"]).unwrap(), None);
    for other in [&["--behind-proxy"][..], &["--tls-cert", "c", "--tls-key", "k"]] {
        assert!(network(&[&["--clinic-network"], other].concat()).is_err(), "{other:?}");
    }
    // Where this machine listens follows its own rule, whatever the network does.
    let all = Cli::try_parse_from(["plantigrade", "--clinic-network", "--listen", "0.0.0.0:80"]).unwrap();
    assert!(all.serve.listen.address().is_err());
}

/// Without a decision of the clinic, whoever is a lead needs a second factor as soon as the network is served, at
/// both doors; others do not.
#[tokio::test]
async fn a_lead_is_led_to_a_second_factor_and_others_are_not() {
    let mut clinic = NetworkClinic::with_settings("").await;
    for path in ["/day", "/devices", "/account", "/"] {
        let page = clinic.lead.get(path).await;
        assert_eq!(
            (page.status, page.location()),
            (StatusCode::SEE_OTHER, "/account/second-factor"),
            "{path}"
        );
    }
    let accounts = clinic.app.records.accounts();
    accounts.set_code_secret(clinic.user, secret()).unwrap();
    let mut tablet = clinic.enrolled("Tablet").await;
    assert!(tablet.sign_in(NAME, PASSWORD).await.location().starts_with("/sign-in/second/"));
    assert_eq!(clinic.lead.get("/day").await.status, StatusCode::OK, "with one, everything opens");
    accounts.remove_codes(clinic.user, clinic.app.clock.now()).unwrap();
    let page = tablet.sign_in(NAME, PASSWORD).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert_eq!(tablet.get("/day").await.location(), "/account/second-factor");
    // A lead who is one no longer.
    let other = record::UserId::new(uuid::Uuid::now_v7());
    let account = accounts.account(clinic.user).unwrap().unwrap();
    accounts.create_account(clinic::Account { id: other, name: "another".into(), ..account }).unwrap();
    accounts.set_roles(clinic.user, record::Roles::NONE.with(record::Role::Clinician)).unwrap();
    assert_eq!(tablet.get("/day").await.status, StatusCode::OK);
}

fn secret() -> clinic::CodeSecret {
    clinic::CodeSecret { secret: vec![7; 20], set_up_at: Timestamp::from_seconds(0), last_step: 0 }
}
