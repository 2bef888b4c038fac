//! People: a lead adds a colleague, gives roles, resets a password, disables somebody and ends sessions; everybody
//! keeps the own account.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, Page, TODAY};
use axum::http::StatusCode;
use clinic::Account;
use record::{Kind, Role, Roles};

const OWN: &str = "a heron under the quay";

impl Clinic {
    fn person(&self, name: &str) -> Account {
        self.app.records.accounts().account_by_name(name).unwrap().unwrap()
    }
}

/// The one-time password that a page shows.
fn one_time(page: &Page) -> String {
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    let text = page.shown(".one-time-text code");
    assert_eq!(text.len(), 19, "{}", page.text);
    text
}

async fn add(lead: &mut Browser, name: &str, roles: &[Role]) -> Page {
    let shown = format!("{name} of the clinic");
    let boxes: Vec<String> = roles.iter().map(|role| format!("role_{}", role.key())).collect();
    let mut fields = vec![("name", shown.as_str()), ("sign_in_name", name)];
    fields.extend(boxes.iter().map(|name| (name.as_str(), "yes")));
    lead.send("/people", "/people", &fields).await
}

/// Signs in with a one-time password and chooses an own one.
async fn come_in(clinic: &Clinic, name: &str, one_time: &str, own: &str) -> Browser {
    let mut browser = Browser::new(clinic.router.clone());
    let page = browser.sign_in(name, one_time).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let choose = page.location().to_owned();
    assert!(choose.starts_with("/choose-password/") && browser.cookie("session").is_none(), "{choose}");
    let page = browser.send(&choose, &choose, &[("password", own), ("password_again", own)]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert!(browser.cookie("session").is_some());
    browser
}

#[tokio::test]
async fn a_lead_adds_a_colleague_who_scores_a_foot_blind() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let child = clinic.child(&mut lead, AMINA).await;
    let path = format!("/child/{child}/visit");
    let signs =
        ["lateral_border", "medial_crease", "talar_head", "posterior_crease", "rigid_equinus", "empty_heel"];
    let signs: Vec<String> = signs.iter().map(|sign| format!("right.{sign}")).collect();
    let mut fields: Vec<(&str, &str)> = signs.iter().map(|name| (name.as_str(), "0.5")).collect();
    fields.extend([("on", TODAY), ("right.cast", "correction")]);
    let page = lead.send(&path, &path, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);

    let page = add(&mut lead, "bo", &[Role::Clinician]).await;
    let mut bo = come_in(&clinic, "bo", &one_time(&page), OWN).await;
    let first = clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::Assessment).unwrap();
    let path = format!("/child/{child}/second-score/{}", first.id);
    let page = bo.send(&path, &path, &fields[..6]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let second = clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::SecondScore).unwrap();
    assert_eq!(second.by, clinic.person("bo").id);
    let both = bo.get(page.location()).await;
    assert!(both.shown("main").contains("bo of the clinic"), "{}", both.text);
}

#[tokio::test]
async fn a_one_time_password_works_once_and_only_to_choose_an_own_one() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let first = one_time(&add(&mut lead, "bo", &[Role::Coordinator]).await);
    let page = lead.get(&format!("/people/{}", clinic.person("bo").id)).await;
    assert!(!page.text.contains(&first) && page.text.contains("Has a one-time password"), "shown once only");
    let mut browser = Browser::new(clinic.router.clone());
    let choose = browser.sign_in("bo", &first).await.location().to_owned();
    assert_eq!(browser.get("/day").await.status, StatusCode::SEE_OTHER, "nobody is signed in by it");
    for (password, again, told) in [
        ("short", "short", "at least 15 characters"),
        ("passwordpassword1", "passwordpassword1", "easy to guess"),
        ("clinic of bo, clinic", "clinic of bo, clinic", "easy to guess"),
        (OWN, "another heron entirely", "not the same"),
    ] {
        let page = browser.send(&choose, &choose, &[("password", password), ("password_again", again)]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{password}");
        assert!(page.shown(".errors").contains(told), "{password}: {}", page.shown("main"));
        assert!(!page.text.contains(password), "a password is never sent back");
    }
    let page = browser.send(&choose, &choose, &[("password", OWN), ("password_again", OWN)]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/day"), "{}", page.text);
    let mut late = Browser::new(clinic.router.clone());
    assert_eq!(late.get(&choose).await.status, StatusCode::NOT_FOUND, "the link is used up");
    assert_eq!(late.sign_in("bo", &first).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(late.sign_in("bo", OWN).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_one_time_password_expires() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let first = one_time(&add(&mut lead, "bo", &[Role::Coordinator]).await);
    let account = clinic.person("bo");
    let past = record::Timestamp::from_seconds(clinic.app.clock.now().seconds() - 1);
    let accounts = clinic.app.records.accounts();
    accounts.set_one_time_password(account.id, account.password_hash, past).unwrap();
    let page = Browser::new(clinic.router.clone()).sign_in("bo", &first).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".errors").contains("has expired"), "{}", page.text);
}

#[tokio::test]
async fn a_reset_ends_the_password_and_the_sessions() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let first = one_time(&add(&mut lead, "bo", &[Role::Clinician]).await);
    let mut bo = come_in(&clinic, "bo", &first, OWN).await;
    let path = format!("/people/{}", clinic.person("bo").id);
    let csrf = lead.get(&path).await.form(&path)["csrf"].clone();
    let page = lead.post(&path, &[("csrf", csrf.as_str()), ("act", "reset")]).await;
    let second = one_time(&page);
    assert_ne!(first, second);
    assert_eq!(bo.get("/day").await.status, StatusCode::SEE_OTHER, "the session is still there");
    assert_eq!(
        bo.sign_in("bo", OWN).await.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "the password still works"
    );
    come_in(&clinic, "bo", &second, "two boats and a lantern").await;
}

#[tokio::test]
async fn the_last_lead_can_neither_be_disabled_nor_lose_the_role() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let path = format!("/people/{}", clinic.person(NAME).id);
    let csrf = lead.get(&path).await.form(&path)["csrf"].clone();
    let csrf = ("csrf", csrf.as_str());
    for fields in [vec![csrf, ("act", "disable")], vec![csrf, ("act", "roles"), ("role_clinician", "yes")]] {
        let page = lead.post(&path, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(page.shown(".errors").contains("make somebody else a lead first"), "{}", page.shown("main"));
    }
    one_time(&add(&mut lead, "bo", &[Role::Lead]).await);
    let page = lead.post(&path, &[csrf, ("act", "roles"), ("role_coordinator", "yes")]).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert_eq!(clinic.person(NAME).roles, Roles::NONE.with(Role::Coordinator));
    assert_eq!(lead.get("/people").await.status, StatusCode::FORBIDDEN, "at once");
}

#[tokio::test]
async fn a_disabled_person_is_out_at_once_and_the_name_stays_on_the_entries() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let first = one_time(&add(&mut lead, "bo", &[Role::Clinician]).await);
    let mut bo = come_in(&clinic, "bo", &first, OWN).await;
    let child = clinic.child(&mut bo, AMINA).await;
    let path = format!("/people/{}", clinic.person("bo").id);
    let csrf = lead.get(&path).await.form(&path)["csrf"].clone();
    let csrf = ("csrf", csrf.as_str());
    let page = lead.post(&path, &[csrf, ("act", "disable")]).await;
    assert!(page.text.contains("The person is disabled."), "{}", page.text);
    assert_eq!(bo.get("/day").await.status, StatusCode::SEE_OTHER);
    assert_eq!(bo.sign_in("bo", OWN).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(lead.get(&format!("/child/{child}")).await.text.contains("bo of the clinic"));
    let page = lead.post(&path, &[csrf, ("act", "enable")]).await;
    assert!(page.text.contains("The person is enabled."), "{}", page.text);
    assert_eq!(bo.sign_in("bo", OWN).await.status, StatusCode::SEE_OTHER);
    let page = lead
        .post(&path, &[csrf, ("act", "rename"), ("name", "Bo Henriksen"), ("sign_in_name", "bo.h")])
        .await;
    assert!(page.text.contains("The names are saved."), "{}", page.text);
    assert!(
        lead.get(&format!("/child/{child}")).await.text.contains("Bo Henriksen"),
        "the new name is shown"
    );
    let page = lead.post(&path, &[csrf, ("act", "rename"), ("name", "Bo"), ("sign_in_name", "IDA")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".errors").contains("already an account"), "{}", page.shown("main"));
    let page = lead.post(&path, &[csrf, ("act", "end")]).await;
    assert!(page.text.contains("Every session is ended."), "{}", page.text);
    assert_eq!(bo.get("/day").await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_person_needs_a_name_and_a_role() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let page = add(&mut lead, "bo", &[]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".errors").contains("Choose at least one role"), "{}", page.shown("main"));
    let page = add(&mut lead, NAME, &[Role::Auditor]).await;
    assert!(page.shown(".errors").contains("already an account"), "{}", page.shown("main"));
    assert_eq!(clinic.app.records.accounts().all().unwrap().len(), 1);
}

#[tokio::test]
async fn the_own_password_is_changed_with_the_old_one_and_other_sessions_end() {
    let (clinic, mut here) = Clinic::signed_in().await;
    let mut elsewhere = clinic.browser_signed_in().await;
    let fields = [("old_password", "not the password"), ("password", OWN), ("password_again", OWN)];
    let page = here.send("/account", "/account", &fields).await;
    assert!(page.shown(".errors").contains("The present password is wrong"), "{}", page.shown("main"));
    assert_eq!(elsewhere.get("/day").await.status, StatusCode::OK);
    let fields = [("old_password", PASSWORD), ("password", OWN), ("password_again", OWN)];
    let page = here.send("/account", "/account", &fields).await;
    assert_eq!(page.location(), "/account?done=password", "{}", page.text);
    assert_eq!(here.get("/day").await.status, StatusCode::OK, "this session goes on");
    assert_eq!(elsewhere.get("/day").await.status, StatusCode::SEE_OTHER, "the other goes on too");
    assert_eq!(elsewhere.sign_in(NAME, PASSWORD).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(elsewhere.sign_in(NAME, OWN).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn one_of_the_own_sessions_is_ended_from_another() {
    let (clinic, mut here) = Clinic::signed_in().await;
    let mut elsewhere = clinic.browser_signed_in().await;
    let page = here.get("/account").await;
    assert_eq!(page.count(".sessions li"), 2);
    let html = page.html();
    let item = scraper::Selector::parse(".sessions li").unwrap();
    let other = html.select(&item).find(|one| !one.text().collect::<String>().contains("this one")).unwrap();
    let value = |name: &str| {
        let input = scraper::Selector::parse(&format!("input[name={name}]")).unwrap();
        other.select(&input).next().unwrap().attr("value").unwrap().to_owned()
    };
    let (csrf, session) = (value("csrf"), value("session"));
    let fields = [("csrf", csrf.as_str()), ("session", session.as_str())];
    assert_eq!(here.post("/account/end", &fields).await.location(), "/account?done=ended");
    assert_eq!(elsewhere.get("/day").await.status, StatusCode::SEE_OTHER);
    assert_eq!(here.get("/day").await.status, StatusCode::OK);
    // A session of somebody else is not found by its name.
    let bo = clinic.account("bo", PASSWORD);
    clinic.app.sessions.begin(bo, clinic.app.clock.now()).unwrap();
    let theirs = clinic.app.records.accounts().sessions_of(bo).unwrap()[0].token_hash;
    let theirs: String = theirs.iter().map(|byte| format!("{byte:02x}")).collect();
    here.post("/account/end", &[("csrf", csrf.as_str()), ("session", theirs.as_str())]).await;
    assert_eq!(clinic.app.records.accounts().sessions_of(bo).unwrap().len(), 1);
}
