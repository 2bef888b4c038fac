//! Signing in, and who is refused.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, NAME, PASSWORD};
use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
use plantigrade::{auth, serve};
use record::Timestamp;

const STRANGERS_SEE_NOTHING: [&str; 82] = [
    "/drafts",
    "/help",
    "/help/signs",
    "/help/words",
    "/",
    "/day",
    "/people",
    "/account",
    "/account/second-factor",
    "/theatre",
    "/theatre/day",
    "/theatre/day/pdf",
    "/day/pdf",
    "/calls/pdf",
    "/stock/pdf",
    "/child/0190a000-0000-7000-8000-000000000000/tenotomy",
    "/child/0190a000-0000-7000-8000-000000000000/tenotomy/pdf",
    "/attention",
    "/find?search=a",
    "/register",
    "/capacity",
    "/protocol",
    "/protocol/history",
    "/protocol/value/casting.interval_days",
    "/settings",
    "/settings/history",
    "/child/0190a000-0000-7000-8000-000000000000/wear/scan",
    "/documents/languages",
    "/documents/texts",
    "/documents/texts/en/plan-title",
    "/child/0190a000-0000-7000-8000-000000000000/handed-over",
    "/settings/maps",
    "/settings/maps/0123456789abcdef01234567",
    "/settings/letterhead",
    "/sheets",
    "/sheets/visit",
    "/sheets/visit/pdf",
    "/child/0190a000-0000-7000-8000-000000000000/letters",
    "/child/0190a000-0000-7000-8000-000000000000/letters/clinic-summary/pdf",
    "/child/0190a000-0000-7000-8000-000000000000/letters/clinic-summary/photographs",
    "/child/0190a000-0000-7000-8000-000000000000/letters/clinic-summary/with/0190a000-0000-7000-8000-0000000000bb",
    "/child/0190a000-0000-7000-8000-000000000000/letters/clinic-summary/with/0190a000-0000-7000-8000-0000000000bb/pdf",
    "/child/0190a000-0000-7000-8000-000000000000/letters/clinic-summary/with/0190a000-0000-7000-8000-0000000000bb/letter/pdf",
    "/child/0190a000-0000-7000-8000-000000000000/record-file/record.csv",
    "/child/0190a000-0000-7000-8000-000000000000/photographs",
    "/child/0190a000-0000-7000-8000-000000000000/photographs/upload/0190a000-0000-7000-8000-0000000000aa",
    "/child/0190a000-0000-7000-8000-000000000000/photographs/view/left/sole",
    "/child/0190a000-0000-7000-8000-000000000000/photographs/0190a000-0000-7000-8000-0000000000bb/whole",
    "/child/0190a000-0000-7000-8000-000000000000/photographs/0190a000-0000-7000-8000-0000000000bb/measure",
    "/practice",
    "/practice/sign/empty_heel",
    "/practice/answer/1",
    "/practice/levels",
    "/practice/levels/empty_heel/0.5",
    "/practice/photographs",
    "/child/0190a000-0000-7000-8000-000000000000/photographs/0190a000-0000-7000-8000-0000000000bb/score/medial_crease",
    "/practice/progress",
    "/practice/record",
    "/practice/together",
    "/child/0190a000-0000-7000-8000-000000000000/photographs/0190a000-0000-7000-8000-0000000000bb/length",
    "/child/0190a000-0000-7000-8000-000000000000/photographs/0190a000-0000-7000-8000-0000000000bb/part/1-2-3",
    "/child/0190a000-0000-7000-8000-000000000000/videos",
    "/child/0190a000-0000-7000-8000-000000000000/videos/upload/0190a000-0000-7000-8000-0000000000aa",
    "/child/0190a000-0000-7000-8000-000000000000/videos/upload/0190a000-0000-7000-8000-0000000000aa/film",
    "/child/0190a000-0000-7000-8000-000000000000/videos/0190a000-0000-7000-8000-0000000000bb/film",
    "/settings/copies",
    "/backups",
    "/records",
    "/first-steps/clinic",
    "/forecasts",
    "/import",
    "/import/refused?token=x",
    "/import/pairs?token=x",
    "/import/past",
    "/import/past/01907e2a-0000-7000-8000-0000000000e1",
    "/child/0190a000-0000-7000-8000-000000000000",
    "/child/0190a000-0000-7000-8000-000000000000/family",
    "/calls",
    "/devices",
    "/child/0190a000-0000-7000-8000-000000000000/call",
    "/child/0190a000-0000-7000-8000-000000000000/join",
    "/child/0190a000-0000-7000-8000-000000000000/visit/2025-03-01/change",
];

/// Where the set-up begins: a build that can encrypt offers it first.
const FIRST_STEP: &str = if clinic::CAN_ENCRYPT { "/first-steps/encryption" } else { "/first-steps/clinic" };

#[tokio::test]
async fn strangers_are_led_to_the_sign_in_and_back_again() {
    let clinic = Clinic::new();
    clinic.account(NAME, PASSWORD);
    let mut browser = Browser::new(clinic.router.clone());
    for path in STRANGERS_SEE_NOTHING {
        let page = browser.get(path).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{path}");
        assert!(page.location().starts_with("/sign-in?then="), "{path} led to {}", page.location());
    }
    let page = browser.get("/day?on=2025-03-01").await;
    let form = page.location().to_owned();
    let page = browser.send(&form, "/sign-in", &[("sign_in_name", NAME), ("password", PASSWORD)]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/day?on=2025-03-01"));
    assert_eq!(browser.get("/day").await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_wrong_password_and_an_unknown_name_read_the_same() {
    let clinic = Clinic::new();
    clinic.account(NAME, PASSWORD);
    let mut browser = Browser::new(clinic.router.clone());
    let wrong = browser.sign_in(NAME, "not the password").await;
    let unknown = browser.sign_in("nobody", "not the password").await;
    assert_eq!(
        (wrong.status, unknown.status),
        (StatusCode::UNPROCESSABLE_ENTITY, StatusCode::UNPROCESSABLE_ENTITY)
    );
    assert_eq!(wrong.shown(".errors"), unknown.shown(".errors"));
    assert!(wrong.shown(".errors").contains("The name or the password is wrong"), "{}", wrong.text);
    assert!(browser.cookie("session").is_none());
    assert!(!wrong.text.contains("not the password"), "a password is never sent back");
}

#[tokio::test]
async fn after_too_many_wrong_tries_even_the_right_password_waits() {
    let clinic = Clinic::new();
    clinic.account(NAME, PASSWORD);
    let mut browser = Browser::new(clinic.router.clone());
    for _ in 0..plantigrade::auth::BURST {
        assert_eq!(browser.sign_in(NAME, "not the password").await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let page = browser.sign_in(NAME, PASSWORD).await;
    assert_eq!(page.status, StatusCode::TOO_MANY_REQUESTS);
    assert!(browser.cookie("session").is_none());
}

/// A token that somebody planted, or that was used before, is not the one of the new session.
#[tokio::test]
async fn a_session_is_another_one_after_signing_in_again() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let first = browser.cookie("session").unwrap().to_owned();
    // The page of the sign-in leads away while somebody is signed in.
    let csrf = browser.get("/day").await.form("/sign-out")["csrf"].clone();
    let fields = [("csrf", csrf.as_str()), ("sign_in_name", NAME), ("password", PASSWORD)];
    let again = browser.post("/sign-in", &fields).await;
    assert_eq!(again.status, StatusCode::SEE_OTHER, "{}", again.text);
    let second = browser.cookie("session").unwrap().to_owned();
    assert_ne!(first, second);
    let mut earlier = Browser::new(clinic.router.clone());
    earlier.set_cookie("session", &first);
    assert_eq!(earlier.get("/day").await.status, StatusCode::SEE_OTHER, "the first session has ended");
    let mut planted = Browser::new(clinic.router.clone());
    let chosen = "ab".repeat(32);
    planted.set_cookie("session", &chosen);
    planted.sign_in(NAME, PASSWORD).await;
    assert_ne!(planted.cookie("session"), Some(chosen.as_str()));
}

/// An attacker elsewhere guesses until nothing more is looked at, and until the account is locked: the owner still
/// signs in where they signed in before, and nowhere else.
#[tokio::test]
async fn guessing_elsewhere_locks_nobody_out_of_a_device_of_their_own() {
    let mut clinic = Clinic::new();
    let user = clinic.account(NAME, PASSWORD);
    let mut own = clinic.browser_signed_in().await;
    let csrf = own.get("/day").await.form("/sign-out")["csrf"].clone();
    own.post("/sign-out", &[("csrf", &csrf)]).await;
    let mut attacker = Browser::elsewhere(clinic.router.clone());
    let mut slowed = false;
    for name in ["ida", "IDA", "Ída", "ｉｄａ"].into_iter().cycle().take(12) {
        let mut next = Browser::elsewhere(clinic.router.clone());
        slowed = next.sign_in(name, "not the password").await.status == StatusCode::TOO_MANY_REQUESTS;
    }
    assert!(slowed, "one name from many addresses");
    assert_eq!(
        attacker.sign_in("somebody", "not the password").await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    // The counts outlive a restart.
    own.turn_to(axum::Router::new());
    attacker.turn_to(axum::Router::new());
    clinic = clinic.started_again();
    own.turn_to(clinic.router.clone());
    attacker.turn_to(clinic.router.clone());
    assert_eq!(attacker.sign_in(NAME, PASSWORD).await.status, StatusCode::TOO_MANY_REQUESTS);
    for _ in 0..plantigrade::auth::FAILURES_AT_MOST {
        clinic.app.records.accounts().count_failure(Some(user)).unwrap();
    }
    assert_eq!(own.sign_in(NAME, PASSWORD).await.status, StatusCode::SEE_OTHER, "at the own device");
}

/// The lock of an account holds at devices where its person did not sign in before, and also at the own device once it
/// failed there too often.
#[tokio::test]
async fn a_locked_account_opens_only_at_a_known_device_that_is_not_guessing_itself() {
    let clinic = Clinic::new();
    let user = clinic.account(NAME, PASSWORD);
    let own = auth::AttemptFrom { address: None, place: Some([7; 32]) };
    clinic.app.throttle.signed_in(NAME, &[7; 32], 0);
    for _ in 0..auth::FAILURES_AT_MOST {
        clinic.app.records.accounts().count_failure(Some(user)).unwrap();
    }
    let accounts = clinic.app.records.accounts();
    let judged = |from, typed: &str, unix_seconds| {
        let check = auth::SignInCheck { unix_seconds, ..clinic.app.sign_in_check(&accounts, from) };
        auth::authenticate(&check, NAME, typed, None).unwrap()
    };
    let elsewhere = auth::AttemptFrom::default();
    assert_eq!(judged(elsewhere, PASSWORD, 0), auth::SignInResult::Refused);
    for n in 0..auth::KNOWN_FAILURES {
        // Slowly enough for the throttle.
        assert_eq!(judged(own, "not the password", 1000 * i64::from(n)), auth::SignInResult::Refused);
    }
    assert_eq!(judged(own, PASSWORD, 1_000_000), auth::SignInResult::Refused, "known no longer");
    clinic.app.throttle.signed_in(NAME, &[7; 32], 0);
    assert!(matches!(judged(own, PASSWORD, 2_000_000), auth::SignInResult::SignedIn(_)));
}

#[tokio::test]
async fn the_cookie_is_out_of_reach_of_scripts_and_the_records_hold_no_token() {
    let clinic = Clinic::new();
    clinic.account(NAME, PASSWORD);
    let mut browser = Browser::new(clinic.router.clone());
    let page = browser.sign_in(NAME, PASSWORD).await;
    let cookies: Vec<&str> =
        page.headers.get_all(header::SET_COOKIE).iter().map(|v| v.to_str().unwrap()).collect();
    let session = cookies.iter().find(|cookie| cookie.starts_with("session=")).unwrap();
    assert!(
        session.contains("HttpOnly") && session.contains("SameSite=Lax") && session.contains("Path=/"),
        "{session}"
    );
    let token = browser.cookie("session").unwrap();
    assert_eq!(token.len(), 64, "32 bytes as hexadecimal digits");
    let file = std::fs::read(clinic.dir.path().join(clinic::FILE_NAME)).unwrap();
    let log = std::fs::read(clinic.dir.path().join(format!("{}-wal", clinic::FILE_NAME))).unwrap_or_default();
    for bytes in [file, log] {
        assert!(!bytes.windows(token.len()).any(|part| part == token.as_bytes()));
    }
}

/// Browsers keep cookies by machine and not by port, so one browser with both clinics open sends the cookies of
/// each to the other.
#[tokio::test]
async fn signing_in_and_out_of_the_invented_clinic_leaves_the_own_one_signed_in() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let invented = Clinic::invented();
    invented.account(NAME, PASSWORD);
    browser.turn_to(invented.router.clone());
    assert_eq!(browser.get("/day").await.status, StatusCode::SEE_OTHER, "a session of the own clinic counts");
    assert_eq!(browser.sign_in(NAME, PASSWORD).await.status, StatusCode::SEE_OTHER);
    let day = browser.get("/day").await;
    assert_eq!(day.status, StatusCode::OK);
    browser.turn_to(clinic.router.clone());
    assert_eq!(browser.get("/day").await.status, StatusCode::OK, "signed out by the other clinic");
    browser.turn_to(invented.router.clone());
    let csrf = day.form("/sign-out")["csrf"].clone();
    assert_eq!(browser.post("/sign-out", &[("csrf", csrf.as_str())]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(browser.get("/day").await.status, StatusCode::SEE_OTHER);
    browser.turn_to(clinic.router.clone());
    assert_eq!(browser.get("/day").await.status, StatusCode::OK, "signed out with the other clinic");
}

#[tokio::test]
async fn a_form_without_the_right_token_is_refused() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [("family_name", "Vesterholt"), ("csrf", "0")];
    assert_eq!(browser.post("/register", &fields).await.status, StatusCode::FORBIDDEN);
    assert_eq!(browser.post("/register", &fields[..1]).await.status, StatusCode::FORBIDDEN);
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);
}

#[tokio::test]
async fn a_form_from_another_site_is_refused_though_its_token_is_right() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let csrf = browser.get("/register").await.form("/register")["csrf"].clone();
    let body = format!("family_name=Vesterholt&csrf={csrf}");
    let form = |name: &str, value: &str| {
        Request::post("/register")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(name, value)
            .body(Body::from(body.clone()))
            .unwrap()
    };
    for (name, value) in [
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
        ("origin", "http://elsewhere.example"),
    ] {
        assert_eq!(browser.request(form(name, value)).await.status, StatusCode::FORBIDDEN, "{name}: {value}");
    }
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);
    assert_eq!(browser.request(form("sec-fetch-site", "same-origin")).await.status, StatusCode::SEE_OTHER);
    assert_eq!(clinic.app.records.children_count().unwrap(), 1);
}

#[tokio::test]
async fn a_sign_in_form_from_elsewhere_signs_nobody_in() {
    let clinic = Clinic::new();
    clinic.account(NAME, PASSWORD);
    let mut browser = Browser::new(clinic.router.clone());
    let page = browser.post("/sign-in", &[("sign_in_name", NAME), ("password", PASSWORD)]).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
    assert!(browser.cookie("session").is_none());
}

#[tokio::test]
async fn a_session_ends_without_use_and_after_twelve_hours_of_use() {
    let clinic = Clinic::new();
    let user = clinic.account(NAME, PASSWORD);
    let began = clinic.app.clock.now();
    let after = |seconds: i64| Timestamp::from_seconds(began.seconds() + seconds);
    let idle = i64::from(clinic.app.settings().idle_minutes) * 60;
    // Without the lock, which comes first.
    clinic.app.sessions.set_seconds(idle, idle);

    let token = clinic.app.sessions.begin(user, began).unwrap();
    assert!(clinic.app.sessions.who(&token, after(idle - 1)).unwrap().is_some());
    assert!(clinic.app.sessions.who(&token, after(2 * idle - 2)).unwrap().is_some(), "use keeps it");
    assert!(clinic.app.sessions.known(&token, after(3 * idle)).is_none());
    assert!(clinic.app.sessions.who(&token, after(3 * idle)).unwrap().is_none());
    assert!(clinic.app.sessions.who(&token, after(2 * idle)).unwrap().is_none(), "ended is ended");

    let token = clinic.app.sessions.begin(user, began).unwrap();
    let mut at = 0;
    while at + idle - 1 < 12 * 3600 {
        at += idle - 1;
        assert!(clinic.app.sessions.who(&token, after(at)).unwrap().is_some(), "used at {at}");
    }
    assert!(clinic.app.sessions.who(&token, after(12 * 3600)).unwrap().is_none());
}

#[tokio::test]
async fn signing_out_ends_the_session_for_good() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let token = browser.cookie("session").unwrap().to_owned();
    let page = browser.send("/day", "/sign-out", &[]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/sign-in"));
    assert!(browser.cookie("session").is_none());
    browser.set_cookie("session", &token);
    assert_eq!(browser.get("/day").await.status, StatusCode::SEE_OTHER, "the old cookie opens nothing");
}

#[tokio::test]
async fn a_barred_account_is_out_at_its_next_look_up() {
    let clinic = Clinic::new();
    let user = clinic.account(NAME, PASSWORD);
    clinic.account("another lead", PASSWORD);
    clinic.app.records.accounts().set_disabled(user, true).unwrap();
    let mut browser = Browser::new(clinic.router.clone());
    assert_eq!(browser.sign_in(NAME, PASSWORD).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn the_first_account_is_made_once_through_its_link() {
    let clinic = Clinic::new();
    let path = serve::first_path(&clinic.app).unwrap();
    assert!(path.starts_with("/start/"), "{path}");
    let account = [
        ("name", "Ida Maren"),
        ("sign_in_name", "ida"),
        ("password", "plaster and patience"),
        ("password_again", "plaster and patience"),
    ];
    let mut second = Browser::new(clinic.router.clone());
    let waiting = second.get(&path).await.form(&path);

    let mut first = Browser::new(clinic.router.clone());
    let page = first.send(&path, &path, &account).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, FIRST_STEP), "{}", page.text);
    assert!(first.get("/day").await.text.contains("Ida Maren"), "signed in by the name shown on entries");

    assert_eq!(second.get(&path).await.status, StatusCode::NOT_FOUND, "the link is used up");
    let fields: Vec<(&str, &str)> =
        account.iter().copied().chain([("csrf", waiting["csrf"].as_str())]).collect();
    assert_eq!(second.post(&path, &fields).await.status, StatusCode::NOT_FOUND);
    assert_eq!(clinic.app.records.accounts().all().unwrap().len(), 1);
    assert_eq!(serve::first_path(&clinic.app).unwrap(), "/", "no second link is made");
}

#[tokio::test]
async fn a_weak_first_password_goes_back_to_the_form_and_keeps_the_link() {
    let clinic = Clinic::new();
    let path = serve::first_path(&clinic.app).unwrap();
    let mut browser = Browser::new(clinic.router.clone());
    let account =
        [("name", "Ida Maren"), ("sign_in_name", "ida"), ("password", "short"), ("password_again", "short")];
    let page = browser.send(&path, &path, &account).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("at least 15 characters") && page.text.contains("Ida Maren"));
    assert_eq!(browser.get(&path).await.status, StatusCode::OK);
    assert!(clinic.app.records.accounts().all().unwrap().is_empty());
}

#[tokio::test]
async fn a_made_up_link_opens_nothing() {
    let clinic = Clinic::new();
    let mut browser = Browser::new(clinic.router.clone());
    for token in ["x".to_owned(), "0".repeat(64), "a".repeat(64)] {
        assert_eq!(browser.get(&format!("/start/{token}")).await.status, StatusCode::NOT_FOUND);
        assert_eq!(browser.get(&format!("/demo/{token}")).await.status, StatusCode::NOT_FOUND);
    }
}

/// NIST SP 800-63B, revision 4, section on password verifiers (from memory): no composition rules, no hint, no
/// question about the person, the whole password is asked for, pasting and password managers are allowed. The rules
/// that need no page are tested in `auth::password`.
#[tokio::test]
async fn nist_800_63b_the_forms_allow_pasting_and_know_no_hints_or_questions() {
    let clinic = Clinic::new();
    let path = serve::first_path(&clinic.app).unwrap();
    let mut browser = Browser::new(clinic.router.clone());
    let start = browser.get(&path).await;
    clinic.account(NAME, PASSWORD);
    let form = browser.get("/sign-in").await;
    let names: Vec<String> = form.form("/sign-in").into_keys().collect();
    assert_eq!(names, ["csrf", "password", "sign_in_name", "then"], "no hint and no question");
    assert_eq!(form.count("input[name=password][autocomplete=current-password]"), 1);
    assert_eq!(form.count("input[name=sign_in_name][autocomplete=username]"), 1);
    assert_eq!(start.count("input[name=password][autocomplete=new-password]"), 1);
    for page in [&start, &form] {
        let limits =
            "input[type=password][maxlength], input[type=password][pattern], input[readonly], [onpaste]";
        assert_eq!(page.count(limits), 0, "{}", page.text);
    }
    assert!(!pages::APP_JS.contains("\"paste\""), "a script could refuse what is pasted");
}

/// The same section: a password is not to be changed by date.
#[tokio::test]
async fn nist_800_63b_a_password_does_not_end_by_date() {
    let clinic = Clinic::new();
    clinic.account(NAME, PASSWORD);
    let Clinic { app, router, dir } = clinic;
    drop((app, router));
    // Thirty years later.
    let clock = plantigrade::clock::Clock::new(Some(crate::clinic::day("2055-03-04")));
    let app = plantigrade::app::App::open(dir.path(), clock, plantigrade::app::Mode::default()).unwrap();
    let mut browser = Browser::new(plantigrade::routes::router(std::sync::Arc::new(app)));
    let page = browser.sign_in(NAME, PASSWORD).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/day"), "{}", page.text);
}

/// The same publication, section on rate limiting: at most 100 failures in a row.
#[tokio::test]
async fn nist_800_63b_after_100_failures_in_a_row_an_account_is_locked_until_a_new_password() {
    let clinic = Clinic::new();
    let (user, accounts) = (clinic.account(NAME, PASSWORD), clinic.app.records.accounts());
    let mut own = clinic.browser_signed_in().await;
    let change = [("old_password", "not the password"), ("password", "x"), ("password_again", "x")];
    assert_eq!(own.send("/account", "/account", &change).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(accounts.failures(user).unwrap(), 1, "a wrong present password counts too");
    let mut browser = Browser::new(clinic.router.clone());
    browser.sign_in(NAME, "not the password").await;
    assert_eq!(accounts.failures(user).unwrap(), 2);
    (3..100).for_each(|_| accounts.count_failure(Some(user)).unwrap());
    assert_eq!(browser.sign_in(NAME, PASSWORD).await.status, StatusCode::SEE_OTHER, "after 99");
    assert_eq!(accounts.failures(user).unwrap(), 0, "a sign-in ends the row");
    (0..100).for_each(|_| accounts.count_failure(Some(user)).unwrap());
    let mut browser = Browser::new(clinic.router.clone());
    let locked = browser.sign_in(NAME, PASSWORD).await;
    let unknown = browser.sign_in("nobody", PASSWORD).await;
    assert_eq!(locked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(locked.shown(".errors"), unknown.shown(".errors"), "nothing tells that it is locked");
    let people = plantigrade::people::People::of(accounts, &clinic.app.clock);
    let one_time = people.reset(user).unwrap().text;
    assert!(browser.sign_in(NAME, &one_time).await.location().starts_with("/choose-password/"));
}
