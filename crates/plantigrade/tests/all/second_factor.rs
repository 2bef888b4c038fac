//! The second factor through the pages and the commands: setting up, signing in, losing it, and who needs one. Passkeys
//! with a browser are in `tests/browser/second_factor.rs`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{Browser, Clinic, NAME, PASSWORD, Page, TODAY, day},
    command_rights::{NOT_ALLOWED, folder, run_as},
    commands::{code as exit_code, err, opened, out, run},
};
use axum::http::StatusCode;
use clinic::CodeSecret;
use plantigrade::{
    app::{App, Mode},
    auth::{self, CODE_DIGITS, CodeHash, counter_code, step_of},
    clock::Clock,
    routes,
};
use record::{Role, Roles, Timestamp, UserId};
use std::{fs, sync::Arc};

const PATH: &str = "/account/second-factor";

/// The code of the present step, or of one `later`.
fn code_of(secret: &[u8], later: i64) -> String {
    let step = step_of(Clock::machine_seconds()) + later;
    counter_code(CodeHash::Sha1, secret, step.try_into().unwrap(), CODE_DIGITS)
}

/// A code that is neither of the present steps.
fn wrong_code(secret: &[u8]) -> String {
    let near: Vec<String> = (-2..=2).map(|later| code_of(secret, later)).collect();
    (0..10).map(|n| format!("{n:06}")).find(|code| !near.contains(code)).unwrap()
}

/// Base 32 without padding, by hand (RFC 4648, section 6).
fn from_base32(text: &str) -> Vec<u8> {
    let bits: String = text
        .chars()
        .filter(|c| *c != ' ')
        .map(|c| format!("{:05b}", "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567".find(c).unwrap()))
        .collect();
    bits.as_bytes()
        .chunks_exact(8)
        .map(|byte| u8::from_str_radix(std::str::from_utf8(byte).unwrap(), 2).unwrap())
        .collect()
}

/// Sends one of the forms of the page.
async fn act(browser: &mut Browser, act: &str, fields: &[(&str, &str)]) -> Page {
    let csrf = browser.get(PATH).await.form("/sign-out")["csrf"].clone();
    let mut pairs = vec![("csrf", csrf.as_str()), ("act", act)];
    pairs.extend_from_slice(fields);
    browser.post(PATH, &pairs).await
}

/// Gives the password again and sets up codes. Returns the secret and the recovery codes.
async fn set_up(browser: &mut Browser) -> (Vec<u8>, Vec<String>) {
    let page = act(browser, "password", &[("old_password", PASSWORD)]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, PATH), "{}", page.text);
    let shown = act(browser, "codes", &[]).await;
    let secret = from_base32(&shown.shown(".secret code"));
    let page = act(browser, "codes-confirm", &[("code", &code_of(&secret, 0))]).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.shown("main"));
    (secret, recovery_codes(&page))
}

fn recovery_codes(page: &Page) -> Vec<String> {
    let codes: Vec<String> = page.shown(".recovery-codes code").lines().map(str::to_owned).collect();
    assert_eq!(codes.len(), 10, "{}", page.text);
    codes
}

/// Signs in up to the second step, and sends a code there.
async fn second(clinic: &Clinic, code: &str) -> (Browser, Page) {
    let mut browser = Browser::elsewhere(clinic.router.clone());
    // At a device where she signed in before, so that its attempts are counted by themselves.
    let place = auth::Token::new();
    clinic.app.throttle.signed_in(NAME, &place.hash(), 0);
    browser.set_cookie("place", place.text());
    let page = browser.sign_in(NAME, PASSWORD).await;
    let path = page.location().to_owned();
    assert!(path.starts_with("/sign-in/second/"), "{} {}", page.status, page.text);
    assert!(browser.cookie("session").is_none(), "no session before the second step");
    let page = browser.send(&path, &path, &[("code", code)]).await;
    (browser, page)
}

fn is_in(page: &Page) -> bool {
    page.status == StatusCode::SEE_OTHER && page.location() == "/day"
}

#[tokio::test]
async fn codes_are_set_up_with_the_password_and_count_only_after_the_first_code() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    assert!(browser.get("/account").await.text.contains("No second factor."));
    let closed = act(&mut browser, "codes", &[]).await;
    assert_eq!(closed.status, StatusCode::UNPROCESSABLE_ENTITY, "without the password");
    let wrong = act(&mut browser, "password", &[("old_password", "not the password")]).await;
    assert!(wrong.shown(".errors").contains("The password is wrong."), "{}", wrong.text);
    act(&mut browser, "password", &[("old_password", PASSWORD)]).await;
    let shown = act(&mut browser, "codes", &[]).await;
    let text = shown.shown(".secret code");
    assert_eq!(
        (text.len(), text.matches(' ').count()),
        (39, 7),
        "32 letters and digits in groups of four: {text}"
    );
    let secret = from_base32(&text);
    assert_eq!((secret.len(), shown.count("svg.qr")), (20, 1));
    let page = act(&mut browser, "codes-confirm", &[("code", &wrong_code(&secret))]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(from_base32(&page.shown(".secret code")), secret, "the same secret is shown again");
    let mut other = Browser::new(clinic.router.clone());
    assert!(is_in(&other.sign_in(NAME, PASSWORD).await), "it does not count yet");
    let page = act(&mut browser, "codes-confirm", &[("code", &code_of(&secret, 0))]).await;
    assert!(page.shown("h1").contains("recovery codes"), "{}", page.text);
    assert!(browser.get("/account").await.text.contains("Second factor: codes; 10 recovery codes left."));
    let mut other = Browser::new(clinic.router.clone());
    assert!(other.sign_in(NAME, PASSWORD).await.location().starts_with("/sign-in/second/"));
}

#[tokio::test]
async fn a_code_signs_in_once() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (secret, _) = set_up(&mut browser).await;
    // The set-up used up the present step; the clock of the telephone may be one step ahead.
    let code = code_of(&secret, 1);
    let (mut inside, page) = second(&clinic, &code).await;
    assert!(is_in(&page), "{}", page.shown("main"));
    assert_eq!(inside.get("/day").await.status, StatusCode::OK);
    let (outside, page) = second(&clinic, &code).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".errors").contains("was used already") && outside.cookie("session").is_none());
    assert!(!page.text.contains(&code), "a code is never sent back");
}

#[tokio::test]
async fn a_recovery_code_works_once_and_a_new_set_replaces_it() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (_, codes) = set_up(&mut browser).await;
    let (_, page) = second(&clinic, &codes[3].to_uppercase().replace('-', " ")).await;
    assert!(is_in(&page), "{}", page.shown("main"));
    let (_, page) = second(&clinic, &codes[3]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "a second time");
    let page = browser.get(PATH).await;
    assert!(page.text.contains("9 recovery codes are left."), "{}", page.shown("main"));
    assert!(page.text.contains("A recovery code was used"));
    assert!(!page.text.contains(&codes[4]), "shown once only");
    let newer = recovery_codes(&act(&mut browser, "recovery", &[]).await);
    let (_, page) = second(&clinic, &codes[4]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "a code of the old set");
    assert!(is_in(&second(&clinic, &newer[4]).await.1));
    let file = fs::read(clinic.dir.path().join(clinic::FILE_NAME)).unwrap();
    let log = fs::read(clinic.dir.path().join(format!("{}-wal", clinic::FILE_NAME))).unwrap_or_default();
    let plain = newer[5].replace('-', "");
    for bytes in [file, log] {
        assert!(!bytes.windows(plain.len()).any(|part| part == plain.as_bytes()), "stored in clear text");
    }
}

#[tokio::test]
async fn removing_codes_asks_for_password_and_code() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (secret, codes) = set_up(&mut browser).await;
    let page = act(&mut browser, "codes-remove", &[("code", &wrong_code(&secret))]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let mut late = clinic_browser(&clinic, &codes[0]).await;
    let page = act(&mut late, "codes-remove", &[("code", &codes[1])]).await;
    assert!(page.shown(".errors").contains("Type your password again"), "another session: {}", page.text);
    let page = act(&mut browser, "codes-remove", &[("code", &codes[1])]).await;
    assert_eq!(page.location(), "/account/second-factor?done=codes-removed", "{}", page.shown("main"));
    let mut other = Browser::new(clinic.router.clone());
    assert!(is_in(&other.sign_in(NAME, PASSWORD).await), "the password alone");
    let page = act(&mut browser, "recovery", &[]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "recovery codes for nothing");
}

async fn clinic_browser(clinic: &Clinic, code: &str) -> Browser {
    let (browser, page) = second(clinic, code).await;
    assert!(is_in(&page), "{}", page.shown("main"));
    browser
}

/// Sets up codes without the pages.
fn with_codes(app: &App, user: UserId) -> Vec<u8> {
    let secret = auth::new_secret();
    let stored = CodeSecret { secret: secret.clone(), set_up_at: Timestamp::from_seconds(0), last_step: 0 };
    app.records.accounts().set_code_secret(user, stored).unwrap();
    secret
}

#[tokio::test]
async fn after_five_wrong_codes_the_password_is_asked_for_again() {
    let clinic = Clinic::new();
    let secret = with_codes(&clinic.app, clinic.account(NAME, PASSWORD));
    let mut browser = Browser::new(clinic.router.clone());
    let path = browser.sign_in(NAME, PASSWORD).await.location().to_owned();
    for _ in 0..5 {
        let page = browser.send(&path, &path, &[("code", &wrong_code(&secret))]).await;
        assert_eq!(
            (page.status, page.shown("h1").as_str()),
            (StatusCode::UNPROCESSABLE_ENTITY, "Second step")
        );
    }
    let page = browser.send(&path, &path, &[("code", &code_of(&secret, 0))]).await;
    assert_eq!((page.status, page.shown("h1").as_str()), (StatusCode::UNPROCESSABLE_ENTITY, "Sign in"));
    assert!(page.shown(".errors").contains("Type your password again"), "{}", page.text);
    assert!(browser.cookie("session").is_none());
}

#[tokio::test]
async fn guessing_codes_is_slowed_down_as_guessing_passwords_is() {
    let clinic = Clinic::new();
    let secret = with_codes(&clinic.app, clinic.account(NAME, PASSWORD));
    let (mut tries, mut slowed) = (0, false);
    while !slowed && tries < 30 {
        let mut browser = Browser::new(clinic.router.clone());
        let page = browser.sign_in(NAME, PASSWORD).await;
        slowed = page.status == StatusCode::TOO_MANY_REQUESTS;
        let path = page.location().to_owned();
        for _ in 0..5 {
            if slowed {
                break;
            }
            let page = browser.send(&path, &path, &[("code", &wrong_code(&secret))]).await;
            slowed = page.status == StatusCode::TOO_MANY_REQUESTS;
            tries += 1;
        }
    }
    assert!(slowed && tries <= auth::BURST as usize, "{tries} codes were judged in a row");
}

#[tokio::test]
async fn the_second_step_belongs_to_one_browser_and_nothing_tells_of_it_before_the_password() {
    let clinic = Clinic::new();
    let secret = with_codes(&clinic.app, clinic.account(NAME, PASSWORD));
    clinic.account("without", PASSWORD);
    let mut browser = Browser::new(clinic.router.clone());
    let with = browser.sign_in(NAME, "not the password").await;
    let without = browser.sign_in("without", "not the password").await;
    let unknown = browser.sign_in("nobody", "not the password").await;
    assert!(!with.shown("main").contains("second") && with.count("input[name=code]") == 0);
    assert!(
        with.shown(".errors") == without.shown(".errors")
            && with.shown(".errors") == unknown.shown(".errors")
    );
    let path = browser.sign_in(NAME, PASSWORD).await.location().to_owned();
    let mut other = Browser::new(clinic.router.clone());
    assert_eq!(other.get(&path).await.location(), "/sign-in", "the address in another browser");
    let csrf = other.get("/sign-in").await.form("/sign-in")["csrf"].clone();
    let page = other.post(&path, &[("csrf", &csrf), ("code", &code_of(&secret, 0))]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(other.cookie("session").is_none());
    let csrf = "a".repeat(64);
    let page = browser.post(&path, &[("csrf", &csrf), ("code", &code_of(&secret, 0))]).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN, "a form of another site");
}

#[tokio::test]
async fn a_one_time_password_does_not_replace_the_second_factor() {
    let clinic = Clinic::new();
    let user = clinic.account(NAME, PASSWORD);
    let secret = with_codes(&clinic.app, user);
    let people = plantigrade::people::People::of(clinic.app.records.accounts(), &clinic.app.clock);
    let one_time = people.reset(user).unwrap().text;
    let mut browser = Browser::new(clinic.router.clone());
    let choose = browser.sign_in(NAME, &one_time).await.location().to_owned();
    let own = "a heron under the quay";
    let page = browser.send(&choose, &choose, &[("password", own), ("password_again", own)]).await;
    let path = page.location().to_owned();
    assert!(path.starts_with("/sign-in/second/") && browser.cookie("session").is_none(), "{}", page.text);
    assert!(is_in(&browser.send(&path, &path, &[("code", &code_of(&secret, 0))]).await));
}

#[tokio::test]
async fn a_lead_resets_the_second_factor_of_others_with_a_reason_and_never_the_own_one() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let own = clinic.app.records.accounts().account_by_name(NAME).unwrap().unwrap().id;
    let user = clinic.account("bo", PASSWORD);
    let accounts = clinic.app.records.accounts();
    accounts.set_roles(user, Roles::NONE.with(Role::Clinician)).unwrap();
    with_codes(&clinic.app, user);
    with_codes(&clinic.app, own);
    let session = clinic.app.sessions.begin(user, clinic.app.clock.now()).unwrap();
    let path = format!("/people/{user}");
    let list = lead.get("/people").await;
    assert!(list.shown(".people").contains("Second factor: codes"), "{}", list.text);
    let page = lead.send(&path, &path, &[("act", "reset-second-factor"), ("why", " ")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(accounts.factors(user).unwrap().any() && page.shown(".errors").contains("The reason is missing"));
    let page = lead.send(&path, &path, &[("act", "reset-second-factor"), ("why", "telephone lost")]).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    let history = page.shown(".account-events");
    assert!(
        history.contains("The second factor was reset") && history.contains("telephone lost"),
        "{history}"
    );
    assert!(history.contains("ida of the clinic"), "{history}");
    assert!(!accounts.factors(user).unwrap().any());
    assert!(clinic.app.sessions.who(&session, clinic.app.clock.now()).unwrap().is_none(), "sessions end");
    let path = format!("/people/{own}");
    assert_eq!(lead.get(&path).await.count("input[value=reset-second-factor] + p + .field"), 0);
    let page = lead.send(&path, &path, &[("act", "reset-second-factor"), ("why", "lost")]).await;
    assert!(page.shown(".errors").contains("You cannot reset your own second factor."), "{}", page.text);
    assert!(accounts.factors(own).unwrap().any());
}

#[tokio::test]
async fn who_needs_one_is_a_setting_with_a_history_and_holds_at_the_next_click() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let user = clinic.account("bo", PASSWORD);
    clinic.app.records.accounts().set_roles(user, Roles::NONE.with(Role::Clinician)).unwrap();
    let mut bo = Browser::new(clinic.router.clone());
    assert!(is_in(&bo.sign_in("bo", PASSWORD).await), "optional on this computer alone");
    let settings = lead.get("/settings").await;
    assert_eq!(settings.form("/settings/second-factor")["second_factor"], "default");
    assert!(settings.text.contains("By default: optional"), "{}", settings.shown("main"));
    let save = async |lead: &mut Browser, policy: &str, codes: &str| {
        let csrf = lead.get("/settings").await.form("/settings")["csrf"].clone();
        let fields = [("csrf", csrf.as_str()), ("second_factor", policy), ("second_factor_codes", codes)];
        lead.post("/settings/second-factor", &fields).await
    };
    let none = save(&mut lead, "everybody", "").await;
    assert!(none.shown("#f-second-factor-error").contains("allow codes or passkeys"), "{}", none.text);
    assert_eq!(save(&mut lead, "somebody", "yes").await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(bo.get("/day").await.status, StatusCode::OK, "nothing was changed");
    assert_eq!(save(&mut lead, "everybody", "yes").await.location(), "/settings?done=saved");
    assert_eq!(bo.get("/day").await.location(), PATH, "an open session");
    assert_eq!(lead.get("/settings").await.location(), PATH, "the lead who required it too");
    let set_up_first = bo.get(PATH).await;
    assert!(set_up_first.shown(".message").contains("requires a second factor"), "{}", set_up_first.text);
    assert_eq!(set_up_first.count("nav.nav a"), 0, "no way to what does not open");
    let csrf = set_up_first.form("/sign-out")["csrf"].clone();
    let page = bo.post("/register", &[("csrf", &csrf), ("family_name", "Quist")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);
    assert_eq!(bo.get("/help/signs").await.status, StatusCode::OK);
    let mut later = Browser::new(clinic.router.clone());
    assert_eq!(later.sign_in("bo", PASSWORD).await.location(), "/day");
    let page = later.get(PATH).await;
    assert!(
        page.count("form[action='/account/second-factor'] input[value=codes]") == 1,
        "the password was typed just now"
    );
    set_up(&mut bo).await;
    assert_eq!(bo.get("/day").await.status, StatusCode::OK, "set up");
    set_up(&mut lead).await;
    let history = lead.get("/settings/history").await.shown(".history");
    for words in ["Second factor", "by default", "required for everybody", "ida of the clinic", "Passkeys"] {
        assert!(history.contains(words), "{words}: {history}");
    }
    assert!(
        fs::read_to_string(clinic.dir.path().join("clinic.toml"))
            .unwrap()
            .contains("second_factor = \"everybody\"")
    );
}

#[tokio::test]
async fn by_default_only_leads_need_one_where_other_computers_reach_the_pages() {
    for (here, invented, led) in [
        ("127.0.0.1:8460", false, false),
        ("192.168.7.20:8460", false, true),
        ("192.168.7.20:8460", true, false),
    ] {
        let dir = tempfile::tempdir().unwrap();
        let mode = Mode { invented, here: Some(here.parse().unwrap()), ..Mode::default() };
        let app = Arc::new(App::open(dir.path(), Clock::new(Some(day(TODAY))), mode).unwrap());
        let clinic = Clinic { router: routes::router(app.clone()), app, dir };
        clinic.account(NAME, PASSWORD);
        let user = clinic.account("bo", PASSWORD);
        clinic.app.records.accounts().set_roles(user, Roles::NONE.with(Role::Clinician)).unwrap();
        for (name, led) in [(NAME, led), ("bo", false)] {
            let mut browser = Browser::new(clinic.router.clone());
            browser.sign_in(name, PASSWORD).await;
            assert_eq!(
                browser.get("/day").await.location() == PATH,
                led,
                "{name} at {here}, invented: {invented}"
            );
        }
    }
}

#[tokio::test]
async fn a_kind_that_is_turned_off_cannot_be_set_up_and_goes_on_working() {
    let clinic = Clinic::new();
    let secret = with_codes(&clinic.app, clinic.account(NAME, PASSWORD));
    clinic.account("bo", PASSWORD);
    fs::write(clinic.dir.path().join("clinic.toml"), "second_factor_codes = false\n").unwrap();
    let Clinic { app, router, dir } = clinic;
    drop((app, router));
    let app = Arc::new(App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap());
    let clinic = Clinic { router: routes::router(app.clone()), app, dir };
    assert!(is_in(&second(&clinic, &code_of(&secret, 0)).await.1));
    let mut bo = Browser::new(clinic.router.clone());
    bo.sign_in("bo", PASSWORD).await;
    act(&mut bo, "password", &[("old_password", PASSWORD)]).await;
    assert!(bo.get(PATH).await.text.contains("Your clinic has turned codes off."));
    let page = act(&mut bo, "codes", &[]).await;
    assert_eq!((page.status, page.count(".secret")), (StatusCode::UNPROCESSABLE_ENTITY, 0), "{}", page.text);
}

#[tokio::test]
async fn passkeys_are_offered_only_where_browsers_make_them() {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { here: Some("127.0.0.1:8460".parse().unwrap()), ..Mode::default() };
    let app = Arc::new(App::open(dir.path(), Clock::new(Some(day(TODAY))), mode).unwrap());
    let clinic = Clinic { router: routes::router(app.clone()), app, dir };
    clinic.account(NAME, PASSWORD);
    let mut browser = clinic.browser_signed_in().await;
    // This browser asks for localhost without the port, which is another origin.
    let page = browser.get(PATH).await;
    assert!(
        page.text.contains("Not at this address") && page.text.contains("http://localhost:8460"),
        "{}",
        page.text
    );
    let csrf = page.form(PATH)["csrf"].clone();
    let page = browser.post("/passkey/challenge", &[("csrf", &csrf), ("purpose", "sign-in")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
    let page = act(&mut browser, "password", &[("old_password", PASSWORD)]).await;
    assert_eq!(page.location(), PATH);
    let page = act(&mut browser, "passkey-add", &[("passkey_name", "x"), ("credential", "{}")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[test]
fn commands_ask_for_the_code_of_who_has_one() {
    let dir = folder();
    let app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    let lead = app.records.accounts().account_by_name("lead").unwrap().unwrap().id;
    let secret = with_codes(&app, lead);
    drop(app);
    let args = ["due", "--as", "lead", "--password-stdin"];
    let refused = |typed: &str, words: &str| {
        let output = run_as(dir.path(), &args, typed);
        assert_eq!(exit_code(&output), NOT_ALLOWED, "{typed}: {}", err(&output));
        assert!(err(&output).contains(words), "{}", err(&output));
    };
    refused(PASSWORD, "no code on the second line");
    refused(&format!("{PASSWORD}\n{}", wrong_code(&secret)), "The code is wrong");
    refused(&format!("{PASSWORD}\nk7pm-q2xd-9wta"), "Recovery codes work on the pages only");
    refused(&format!("not the password\n{}", code_of(&secret, 0)), "The name or the password is wrong");
    let used = code_of(&secret, 0);
    let output = run_as(dir.path(), &args, &format!("{PASSWORD}\n{used}"));
    assert_eq!(exit_code(&output), 0, "{}", err(&output));
    refused(&format!("{PASSWORD}\n{used}"), "was used already");
    let next = code_of(&secret, 1);
    let output = run_as(dir.path(), &[&args[..], &["--code", &next]].concat(), PASSWORD);
    assert_eq!(exit_code(&output), 0, "{}", err(&output));
    let list = out(&run(dir.path(), &["people", "list"]));
    assert!(list.contains("second factor: codes; recovery codes left: 0"), "{list}");
}

#[test]
fn a_command_on_the_computer_itself_is_the_way_back_in() {
    let dir = folder();
    let app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    let lead = app.records.accounts().account_by_name("lead").unwrap().unwrap().id;
    let secret = with_codes(&app, lead);
    drop(app);
    let reset = ["people", "reset-second-factor", "lead", "--why", "telephone and codes lost"];
    let own = [&reset[..], &["--as", "lead", "--password-stdin"]].concat();
    let output = run_as(dir.path(), &own, &format!("{PASSWORD}\n{}", code_of(&secret, 0)));
    assert_eq!(exit_code(&output), NOT_ALLOWED, "{}{}", out(&output), err(&output));
    assert!(err(&output).contains("You cannot reset your own"), "{}", err(&output));
    let output = run(dir.path(), &reset);
    assert_eq!(exit_code(&output), 0, "{}", err(&output));
    let output = run_as(dir.path(), &["due", "--as", "lead", "--password-stdin"], PASSWORD);
    assert_eq!(exit_code(&output), 0, "the password alone: {}", err(&output));
    let app = opened(dir.path(), Clock::new(Some(day(TODAY))));
    let event = app.records.accounts().events(lead).unwrap().remove(0);
    assert_eq!((event.by, event.why.as_deref()), (None, Some("telephone and codes lost")));
    drop(app);
    fs::write(dir.path().join("clinic.toml"), "second_factor = \"leads\"\n").unwrap();
    let output = run_as(dir.path(), &["due", "--as", "lead", "--password-stdin"], PASSWORD);
    assert_eq!(exit_code(&output), NOT_ALLOWED);
    assert!(err(&output).contains("requires a second factor"), "{}", err(&output));
    let output = run_as(dir.path(), &["due", "--as", "clinician", "--password-stdin"], PASSWORD);
    assert_eq!(exit_code(&output), 0, "who is no lead: {}", err(&output));
}
