//! A tablet that several people use: the lock, PINs, switching to another person, drafts of forms, and a form that
//! comes after its session has ended.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, Page, TODAY, day};
use axum::http::StatusCode;
use plantigrade::{
    app::{App, Mode},
    auth::PIN_TRIES,
    clock::Clock,
    routes,
};
use record::{ChildId, Kind, Role, Roles, UserId};
use std::{collections::BTreeMap, sync::Arc};

const PIN: &str = "4071";
const BOS_PIN: &str = "9036";
const OTHER: &str = "bo";
const BOOKED: &[(&str, &str)] = &[("on", TODAY), ("for_day", "2025-03-18"), ("purpose", "cast")];

/// A clinic with two people who both have a PIN in one browser, in which Ida is signed in.
struct Tablet {
    clinic: Clinic,
    browser: Browser,
    child: ChildId,
    ida: UserId,
    bo: UserId,
}

impl Tablet {
    async fn new() -> Self {
        let clinic = Clinic::new();
        let (ida, bo) = (clinic.account(NAME, PASSWORD), clinic.account(OTHER, PASSWORD));
        let mut browser = clinic.browser_signed_in().await;
        let child = clinic.child(&mut browser, AMINA).await;
        set_pin(&mut browser, PIN).await;
        lock(&mut browser).await;
        assert_eq!(browser.sign_in(OTHER, PASSWORD).await.status, StatusCode::SEE_OTHER);
        set_pin(&mut browser, BOS_PIN).await;
        let tablet = Self { clinic, browser, child, ida, bo };
        tablet.switched(NAME, PIN).await
    }

    async fn switched(mut self, _to: &str, pin: &str) -> Self {
        lock(&mut self.browser).await;
        let page = self.switch(self.ida, pin).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        self
    }

    /// Types the PIN of a person on the locked device.
    async fn switch(&mut self, to: UserId, pin: &str) -> Page {
        let then = format!("/child/{}/add/appointment-made", self.child);
        let form = format!("/unlock?who={to}&then={then}");
        self.browser.send(&form, "/unlock", &[("pin", pin)]).await
    }

    fn add(&self) -> String {
        format!("/child/{}/add/appointment-made", self.child)
    }

    /// What the form for an appointment holds as a browser shows it, with something filled in.
    async fn filled(&mut self) -> BTreeMap<String, String> {
        let add = self.add();
        let mut form = self.browser.get(&add).await.form(&add);
        form.extend(BOOKED.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
        form
    }

    async fn post(&mut self, path: &str, form: &BTreeMap<String, String>) -> Page {
        post(&mut self.browser, path, form).await
    }

    /// The program, started again on the same folder.
    fn started_again(&mut self, today: &str) {
        let mode = Mode::default();
        let dir = tempfile::tempdir().unwrap();
        // The records can be opened once only: the app in use is exchanged for one elsewhere first.
        let spare = Arc::new(App::open(dir.path(), Clock::new(Some(day(today))), mode).unwrap());
        self.browser.turn_to(routes::router(spare.clone()));
        self.clinic.router = routes::router(spare.clone());
        self.clinic.app = spare;
        let again = App::open(self.clinic.dir.path(), Clock::new(Some(day(today))), mode).unwrap();
        self.clinic.app = Arc::new(again);
        self.clinic.router = routes::router(self.clinic.app.clone());
        self.browser.turn_to(self.clinic.router.clone());
    }
}

async fn post(browser: &mut Browser, path: &str, form: &BTreeMap<String, String>) -> Page {
    let pairs: Vec<(&str, &str)> = form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    browser.post(path, &pairs).await
}

async fn set_pin(browser: &mut Browser, pin: &str) {
    let fields = [("pin", pin), ("pin_again", pin), ("pin_password", PASSWORD)];
    let page = browser.send("/account", "/account/pin", &fields).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/account?done=pin"), "{}", page.text);
}

async fn lock(browser: &mut Browser) {
    let page = browser.send("/account", "/session/lock", &[]).await;
    assert!(page.location().starts_with("/unlock?then="), "{}", page.location());
}

#[tokio::test]
async fn a_locked_session_shows_nothing_until_it_is_unlocked() {
    let mut tablet = Tablet::new().await;
    let child = format!("/child/{}", tablet.child);
    assert!(tablet.browser.get(&child).await.text.contains("Vesterholt"));
    lock(&mut tablet.browser).await;
    for path in [child.as_str(), "/day", "/account", "/drafts", "/settings", "/find?search=a", "/"] {
        let page = tablet.browser.get(path).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{path}");
        assert!(page.location().starts_with("/unlock?then="), "{path} led to {}", page.location());
    }
    let page = tablet.browser.get(&format!("/unlock?then={child}")).await;
    assert!(page.shown("h1").contains(NAME) && !page.text.contains("Vesterholt"), "{}", page.text);
    tablet.started_again(TODAY);
    assert_eq!(tablet.browser.get(&child).await.status, StatusCode::SEE_OTHER, "opened by a restart");
    let wrong = tablet.switch(tablet.ida, "1111").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.shown(".errors").contains("4 tries are left"), "{}", wrong.shown(".errors"));
    let page = tablet.browser.send(&format!("/unlock?then={child}"), "/unlock", &[("pin", PIN)]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, child.as_str()));
    assert!(tablet.browser.get(&child).await.text.contains("Vesterholt"));
}

#[tokio::test]
async fn a_session_without_use_is_locked_and_a_longer_time_in_the_settings_does_not_open_it() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    clinic.app.sessions.set_seconds(1800, 0);
    assert_eq!(browser.get("/day").await.location(), "/unlock?then=/day");
    clinic.app.sessions.set_minutes(720, 720);
    assert_eq!(browser.get("/day").await.location(), "/unlock?then=/day");
    // Without a PIN the password unlocks.
    let page = browser.get("/unlock?then=/day").await;
    assert_eq!((page.count("input[name=pin]"), page.count("input[name=password]")), (0, 1));
    let page = browser.send("/unlock?then=/day", "/unlock", &[("password", "not the password")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = browser.send("/unlock?then=/day", "/unlock", &[("password", PASSWORD)]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/day"), "{}", page.text);
    assert_eq!(browser.get("/day").await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_session_ends_without_use_unless_a_pin_can_open_it_and_then_after_twelve_hours() {
    let tablet = Tablet::new().await;
    let (app, now) = (&tablet.clinic.app, tablet.clinic.app.clock.now());
    let after = |seconds: i64| record::Timestamp::from_seconds(now.seconds() + seconds);
    let place = app.records.accounts().sessions_of(tablet.ida).unwrap()[0].place.unwrap();
    let with_pin = app.sessions.begin_at(tablet.ida, Some(place), now).unwrap();
    let without = app.sessions.begin(tablet.bo, now).unwrap();
    let locked = |token, at| app.sessions.times(token, at).unwrap().map(|times| times.locked);
    assert_eq!((locked(&with_pin, after(299)), locked(&without, after(299))), (Some(false), Some(false)));
    assert_eq!((locked(&with_pin, after(300)), locked(&without, after(300))), (Some(true), Some(true)));
    assert_eq!((locked(&with_pin, after(1800)), locked(&without, after(1800))), (Some(true), None));
    assert_eq!(locked(&with_pin, after(12 * 3600)), None);
    let times = app.sessions.times(&without, after(10)).unwrap().unwrap();
    assert_eq!((times.locks_in, times.ends_in, times.is_last), (290, 1790, false), "asking is no use");
    assert!(app.sessions.with_pin_at(&place, after(12 * 3600)).unwrap().is_empty());
}

#[tokio::test]
async fn five_wrong_pins_in_a_row_and_only_the_password_helps_also_after_a_restart() {
    let mut tablet = Tablet::new().await;
    let ida = tablet.ida;
    lock(&mut tablet.browser).await;
    for left in (1..PIN_TRIES).rev() {
        let shown = tablet.switch(ida, "2222").await.shown(".errors");
        assert!(shown.contains(&format!("{left} ")), "{shown}");
    }
    tablet.started_again(TODAY);
    let page = tablet.switch(ida, "2222").await;
    assert!(page.shown(".errors").contains("The PIN is off"), "{}", page.shown(".errors"));
    assert_eq!(page.count("input[name=pin]"), 0, "a PIN that is off is asked for");
    tablet.started_again(TODAY);
    let form = tablet.browser.get("/unlock").await.form("/unlock");
    let right = BTreeMap::from([("pin".to_owned(), PIN.to_owned())]);
    let right =
        form.iter().map(|(a, b)| (a.clone(), b.clone())).filter(|(a, _)| a != "password").chain(right);
    let page = tablet.post("/unlock", &right.collect()).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "the right PIN came too late");
    let page = tablet.browser.send("/unlock", "/unlock", &[("password", PASSWORD)]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    lock(&mut tablet.browser).await;
    assert_eq!(tablet.switch(ida, PIN).await.status, StatusCode::SEE_OTHER, "the password did not help");
}

#[tokio::test]
async fn a_pin_needs_the_password_and_is_not_one_that_is_guessed_first() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    for (fields, says) in [
        ([("pin", "1234"), ("pin_again", "1234"), ("pin_password", PASSWORD)], "easy to guess"),
        ([("pin", PIN), ("pin_again", "4072"), ("pin_password", PASSWORD)], "not the same"),
        ([("pin", PIN), ("pin_again", PIN), ("pin_password", "wrong")], "The password is wrong"),
    ] {
        let page = browser.send("/account", "/account/pin", &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.shown(".errors").contains(says), "{}", page.shown(".errors"));
        assert!(!page.text.contains("value=\"4071\""), "a PIN is sent back");
    }
    set_pin(&mut browser, PIN).await;
    let place = plantigrade::auth::Token::read(browser.cookie("place").unwrap()).unwrap().hash();
    let user = clinic.app.records.accounts().account_by_name(NAME).unwrap().unwrap().id;
    assert_eq!(clinic.app.records.pins().wrong(user, &place).unwrap(), Some(0));
    assert!(browser.get("/account").await.shown("#pin").contains("a PIN is set"));
    let csrf = browser.get("/account").await.form("/account/pin")["csrf"].clone();
    let page = browser.post("/account/pin", &[("csrf", &csrf), ("remove", "yes")]).await;
    assert_eq!(page.location(), "/account?done=no-pin");
    assert_eq!(clinic.app.records.pins().wrong(user, &place).unwrap(), None);
}

#[tokio::test]
async fn a_pin_is_for_one_device_and_does_not_sign_in() {
    let mut tablet = Tablet::new().await;
    let mut elsewhere = tablet.clinic.browser_signed_in().await;
    lock(&mut elsewhere).await;
    let page = elsewhere.get("/unlock").await;
    assert_eq!(page.count("input[name=pin]"), 0, "the PIN of another device is asked for");
    assert!(!page.text.contains("bo of the clinic"), "who uses another device is shown");
    let form = page.form("/unlock");
    let page =
        elsewhere.post("/unlock", &[("csrf", &form["csrf"]), ("who", &form["who"]), ("pin", PIN)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    // Signed out is signed out.
    assert_eq!(tablet.browser.send("/account", "/sign-out", &[]).await.location(), "/sign-in");
    let page = tablet.browser.get(&format!("/unlock?who={}", tablet.ida)).await;
    assert_eq!(page.count("input[name=pin]"), 0);
    assert!(page.shown(".people-here").contains("bo of the clinic"), "{}", page.text);
    assert_eq!(tablet.switch(tablet.bo, BOS_PIN).await.status, StatusCode::SEE_OTHER);
    assert!(tablet.browser.get("/account").await.shown("header .user").contains("bo of the clinic"));
}

#[tokio::test]
async fn disabling_a_new_password_and_ended_sessions_remove_the_pins_of_a_person() {
    type Act = fn(&Tablet);
    let acts: [(&str, Act); 3] = [
        ("disabled", |tablet| tablet.clinic.app.records.accounts().set_disabled(tablet.bo, true).unwrap()),
        ("a one-time password", |tablet| {
            let until = tablet.clinic.app.clock.now();
            tablet.clinic.app.records.accounts().set_one_time_password(tablet.bo, "h".into(), until).unwrap();
        }),
        ("ended", |tablet| tablet.clinic.app.records.accounts().end_sessions_of(tablet.bo).unwrap()),
    ];
    for (what, act) in acts {
        let mut tablet = Tablet::new().await;
        act(&tablet);
        lock(&mut tablet.browser).await;
        let page = tablet.browser.get("/unlock").await;
        assert!(!page.text.contains("bo of the clinic"), "{what}: {}", page.text);
        let place = plantigrade::auth::Token::read(tablet.browser.cookie("place").unwrap()).unwrap().hash();
        assert_eq!(tablet.clinic.app.records.pins().wrong(tablet.bo, &place).unwrap(), None, "{what}");
        assert!(tablet.clinic.app.records.pins().wrong(tablet.ida, &place).unwrap().is_some(), "{what}");
    }
}

#[tokio::test]
async fn a_form_that_one_person_filled_in_cannot_be_sent_by_another() {
    let mut tablet = Tablet::new().await;
    let (add, form) = (tablet.add(), tablet.filled().await);
    lock(&mut tablet.browser).await;
    assert_eq!(tablet.switch(tablet.bo, BOS_PIN).await.location(), add, "the page stays for who may see it");
    let page = tablet.post(&add, &form).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
    assert!(page.shown("main").contains("ida of the clinic filled it in"), "{}", page.shown("main"));
    let booked = |tablet: &Tablet| {
        tablet.clinic.entries(tablet.child).into_iter().find(|entry| entry.kind() == Kind::AppointmentMade)
    };
    assert!(booked(&tablet).is_none(), "an entry of another person was saved");
    assert!(!tablet.browser.get(&add).await.text.contains("2025-03-18"), "shown to another person");
    assert!(tablet.browser.get("/drafts").await.shown("main").contains("No drafts"));
    // The one who filled it in finds it, and signs what is saved.
    lock(&mut tablet.browser).await;
    assert_eq!(tablet.switch(tablet.ida, PIN).await.status, StatusCode::SEE_OTHER);
    let page = tablet.browser.get(&add).await;
    assert!(page.shown(".restored").contains("restored: not saved yet"), "{}", page.text);
    assert_eq!(page.form(&add)["for_day"], "2025-03-18");
    let saved = tablet.browser.send(&add, &add, &[]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    assert_eq!(booked(&tablet).unwrap().by, tablet.ida);
    assert_eq!(tablet.clinic.app.drafts.count(tablet.ida), 0, "the draft of a saved form stays");
}

#[tokio::test]
async fn a_draft_is_restored_for_its_writer_alone_and_goes_when_the_form_is_saved() {
    let mut tablet = Tablet::new().await;
    let (add, form) = (tablet.add(), tablet.filled().await);
    let told = tablet.post("/draft", &form).await;
    assert_eq!(told.status, StatusCode::OK, "{}", told.text);
    let sealed = tablet.clinic.app.records.form_drafts().sealed(tablet.ida, &add).unwrap().unwrap();
    assert!(!sealed.windows(10).any(|part| part == b"2025-03-18"), "a draft is stored as it is");
    let day = tablet.browser.get("/day").await;
    assert!(day.shown(".unsaved").contains("1 draft not saved"), "{}", day.text);
    tablet.started_again(TODAY);
    assert_eq!(tablet.browser.get(&add).await.form(&add)["for_day"], "2025-03-18", "lost by a restart");

    let mut other = Browser::new(tablet.clinic.router.clone());
    other.sign_in(OTHER, PASSWORD).await;
    let page = other.get(&add).await;
    assert!(!page.text.contains("2025-03-18") && page.count(".restored") == 0, "shown to another person");
    assert!(other.get("/drafts").await.shown("main").contains("No drafts"));

    let saved = tablet.browser.send(&add, &add, &[]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    assert_eq!(tablet.browser.get(&add).await.count(".restored"), 0);
}

/// A draft that arrives after its form, or whose form was saved although the answer was lost, is none.
#[tokio::test]
async fn a_draft_of_a_form_that_is_saved_is_not_kept() {
    let mut tablet = Tablet::new().await;
    let (add, form) = (tablet.add(), tablet.filled().await);
    assert_eq!(tablet.post(&add, &form).await.status, StatusCode::SEE_OTHER);
    let late = tablet.post("/draft", &form).await;
    assert_eq!(late.status, StatusCode::FORBIDDEN, "{}", late.text);
    assert_eq!(tablet.clinic.app.drafts.count(tablet.ida), 0);
    let not_a_form = BTreeMap::from([
        ("csrf".to_owned(), form["csrf"].clone()),
        ("draft".to_owned(), "/settings".to_owned()),
    ]);
    assert_eq!(tablet.post("/draft", &not_a_form).await.status, StatusCode::FORBIDDEN);
    let nobodys = BTreeMap::from([("csrf".to_owned(), "b".repeat(64)), ("draft".to_owned(), add)]);
    assert_eq!(tablet.post("/draft", &nobodys).await.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_draft_of_an_earlier_day_says_so_and_keeps_its_day() {
    let mut tablet = Tablet::new().await;
    let visit = format!("/child/{}/visit", tablet.child);
    let named = format!("{visit}?on={TODAY}");
    let mut form = tablet.browser.get(&named).await.form(&visit);
    form.insert("right.medial_crease".into(), "0.5".into());
    assert_eq!(tablet.post("/draft", &form).await.status, StatusCode::OK);
    let call = format!("/child/{}/call", tablet.child);
    let mut form = tablet.browser.get(&call).await.form(&call);
    form.insert("said".into(), "The cast is wet.".into());
    assert_eq!(tablet.post("/draft", &form).await.status, StatusCode::OK);

    tablet.started_again("2025-03-06");
    tablet.browser.sign_in(NAME, PASSWORD).await;
    let today = tablet.browser.get(&visit).await;
    assert_eq!(today.form(&visit)["on"], "2025-03-06", "a visit of another day is another form");
    assert_eq!(today.count(".restored"), 0);
    let list = tablet.browser.get("/drafts").await;
    assert!(list.text.contains(&format!("href=\"{named}\"")), "{}", list.shown("main"));
    let page = tablet.browser.get(&named).await;
    assert_eq!(page.form(&visit)["on"], TODAY);
    assert_eq!(page.form(&visit)["right.medial_crease"], "0.5");
    let notice = page.shown(".restored");
    assert!(notice.contains("begun on 4 March 2025; its dates are as they were then"), "{notice}");
    let notice = tablet.browser.get(&call).await.shown(".restored");
    assert!(notice.contains("no day of its own: saved now, it counts for today, 6 March 2025"), "{notice}");
    assert!(!notice.contains("has changed"), "{notice}");

    let add = tablet.add();
    assert_eq!(
        tablet.browser.send(&add, &add, &[("for_day", "2025-03-20")]).await.status,
        StatusCode::SEE_OTHER
    );
    let notice = tablet.browser.get(&call).await.shown(".restored");
    assert!(notice.contains("record has changed since"), "{notice}");
    let csrf = tablet.browser.get(&call).await.form("/drafts/discard");
    let page = tablet.post("/drafts/discard", &csrf).await;
    assert_eq!(page.location(), call);
    assert_eq!(tablet.browser.get(&call).await.count(".restored"), 0);
}

#[tokio::test]
async fn a_form_sent_after_the_end_of_the_session_is_kept_for_its_person() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    clinic.account(OTHER, PASSWORD);
    let child = clinic.child(&mut browser, AMINA).await;
    let add = format!("/child/{child}/add/appointment-made");
    let mut form = browser.get(&add).await.form(&add);
    form.extend(BOOKED.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
    let ida = clinic.app.records.accounts().account_by_name(NAME).unwrap().unwrap().id;
    clinic.app.records.accounts().end_sessions_of(ida).unwrap();

    let page = post(&mut browser, &add, &form).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
    assert!(
        page.shown(".message").contains("The form that ida of the clinic filled in is kept"),
        "{}",
        page.text
    );
    assert!(!page.text.contains("2025-03-18"), "what was filled in is shown to nobody");
    let mut answer = page.form("/sign-in");
    answer.extend([
        ("sign_in_name".to_owned(), OTHER.to_owned()),
        ("password".to_owned(), PASSWORD.to_owned()),
    ]);
    let page = post(&mut browser, "/sign-in", &answer).await;
    assert!(page.location().starts_with("/drafts?filled_by="), "{}", page.location());
    let told = browser.get(page.location()).await;
    assert!(told.shown(".message").contains("filled in by ida of the clinic"), "{}", told.text);
    assert!(!told.text.contains("2025-03-18") && !browser.get(&add).await.text.contains("2025-03-18"));
    assert_eq!(
        post(&mut browser, &add, &form).await.status,
        StatusCode::FORBIDDEN,
        "sent as somebody else’s"
    );

    let mut browser = Browser::new(clinic.router.clone());
    let page = post(&mut browser, &add, &form).await;
    let mut answer = page.form("/sign-in");
    answer
        .extend([("sign_in_name".to_owned(), NAME.to_owned()), ("password".to_owned(), PASSWORD.to_owned())]);
    let page = post(&mut browser, "/sign-in", &answer).await;
    assert_eq!(page.location(), add);
    let page = browser.get(&add).await;
    assert_eq!((page.count(".restored"), page.form(&add)["for_day"].as_str()), (1, "2025-03-18"));
    assert_eq!(browser.send(&add, &add, &[]).await.status, StatusCode::SEE_OTHER);
    let booked =
        clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::AppointmentMade).unwrap();
    assert_eq!(booked.by, ida);
}

#[tokio::test]
async fn a_form_sent_while_the_session_is_locked_is_there_after_unlocking() {
    let mut tablet = Tablet::new().await;
    let (add, form) = (tablet.add(), tablet.filled().await);
    lock(&mut tablet.browser).await;
    let page = tablet.post(&add, &form).await;
    assert_eq!(
        (page.status, page.location()),
        (StatusCode::SEE_OTHER, format!("/unlock?then={add}").as_str())
    );
    assert_eq!(tablet.switch(tablet.ida, PIN).await.location(), add);
    assert_eq!(tablet.browser.get(&add).await.form(&add)["for_day"], "2025-03-18");
}

#[tokio::test]
async fn signing_out_asks_what_is_to_become_of_drafts() {
    for (answer, left) in [("keep", 1), ("discard", 0)] {
        let mut tablet = Tablet::new().await;
        let form = tablet.filled().await;
        tablet.post("/draft", &form).await;
        let asked = tablet.browser.send("/day", "/sign-out", &[]).await;
        assert_eq!(asked.status, StatusCode::OK);
        assert!(asked.shown("main").contains("You have 1 draft: keep it for next time"), "{}", asked.text);
        let csrf = asked.form("/sign-out")["csrf"].clone();
        let page = tablet.browser.post("/sign-out", &[("csrf", &csrf), ("drafts", answer)]).await;
        assert_eq!(page.location(), "/sign-in");
        assert_eq!(tablet.clinic.app.drafts.count(tablet.ida), left, "{answer}");
    }
}

/// Whoever finds a locked tablet can end the session on it, and loses nobody's drafts by that.
#[tokio::test]
async fn a_locked_session_can_be_ended_and_its_drafts_stay() {
    let mut tablet = Tablet::new().await;
    let form = tablet.filled().await;
    tablet.post("/draft", &form).await;
    lock(&mut tablet.browser).await;
    let page = tablet.browser.send("/unlock", "/unlock", &[("leave", "yes"), ("drafts", "discard")]).await;
    assert_eq!(page.location(), "/sign-in");
    assert!(tablet.browser.cookie("session").is_none());
    assert_eq!(tablet.clinic.app.drafts.count(tablet.ida), 1);
}

#[tokio::test]
async fn drafts_of_what_a_person_may_not_open_any_more_are_not_shown() {
    let mut tablet = Tablet::new().await;
    let visit = format!("/child/{}/visit", tablet.child);
    let mut form = tablet.browser.get(&visit).await.form(&visit);
    form.insert("right.medial_crease".into(), "0.5".into());
    assert_eq!(tablet.post("/draft", &form).await.status, StatusCode::OK);
    let coordinator = Roles::NONE.with(Role::Coordinator);
    tablet.clinic.app.records.accounts().set_roles(tablet.ida, coordinator).unwrap();
    let page = tablet.browser.get("/drafts").await;
    assert!(!page.text.contains(&visit), "{}", page.text);
    assert!(
        page.shown("main").contains("1 more draft of forms that your roles do not allow"),
        "{}",
        page.text
    );
    assert_eq!(tablet.post("/draft", &form).await.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_switch_leads_to_the_page_only_if_the_role_allows_it() {
    let mut tablet = Tablet::new().await;
    let auditor = Roles::NONE.with(Role::Auditor);
    tablet.clinic.app.records.accounts().set_roles(tablet.bo, auditor).unwrap();
    lock(&mut tablet.browser).await;
    let page = tablet.switch(tablet.bo, BOS_PIN).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/results"));
}

#[tokio::test]
async fn a_browser_is_known_to_the_invented_clinic_by_another_cookie() {
    let invented = Clinic::invented();
    invented.account(NAME, PASSWORD);
    let (_own, mut browser) = Clinic::signed_in().await;
    let place = browser.cookie("place").unwrap().to_owned();
    browser.turn_to(invented.router.clone());
    browser.sign_in(NAME, PASSWORD).await;
    assert!(browser.cookie("invented-place").is_some_and(|other| other != place));
    assert_eq!(browser.cookie("place"), Some(place.as_str()));
}
