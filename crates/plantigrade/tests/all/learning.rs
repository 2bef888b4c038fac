//! Learning to score: what is asked is answered once, what is right is never the form's to say, and nobody sees the
//! answers of another person.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, NAME, PASSWORD, Page, day};
use axum::http::StatusCode;
use practice::{CaseKey, DRAWING_VERSION, DrawnCase};
use record::{HalfPoint, Role, Roles, Sign, UserId};
use std::collections::BTreeMap;
use uuid::Uuid;

const SIGN: Sign = Sign::LateralBorder;
const EXERCISE: &str = "/practice/sign/lateral_border";
const ANSWER: &str = "/practice/answer";
const NEXT_DAY: &str = "2025-03-05";

/// The case that an exercise shows.
fn case(page: &Page) -> DrawnCase {
    let form = page.form(ANSWER);
    DrawnCase::of(CaseKey::read(&form["seed"], &form["drawing"]).unwrap()).unwrap()
}

/// A level that is not the right one.
fn wrong(case: &DrawnCase) -> HalfPoint {
    HalfPoint::ALL.into_iter().find(|level| *level != case.level(SIGN)).unwrap()
}

/// Sends a form with some fields changed.
async fn send(browser: &mut Browser, form: &BTreeMap<String, String>, fields: &[(&str, &str)]) -> Page {
    let mut all = form.clone();
    all.extend(fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
    let pairs: Vec<(&str, &str)> = all.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    browser.post(ANSWER, &pairs).await
}

/// Answers what is asked about the sign, right or wrong, and returns the page of the answer.
async fn answer(browser: &mut Browser, is_right: bool) -> Page {
    let page = browser.get(EXERCISE).await;
    let case = case(&page);
    let level = if is_right { case.level(SIGN) } else { wrong(&case) };
    let sent = send(browser, &page.form(ANSWER), &[("level", level.text())]).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    browser.get(sent.location()).await
}

fn saved(clinic: &Clinic, person: UserId) -> Vec<clinic::PracticeRow> {
    clinic.app.records.practice().of(person).unwrap().into_iter().map(|(_, row)| row).collect()
}

fn own_id(clinic: &Clinic, name: &str) -> UserId {
    clinic.app.records.accounts().account_by_name(name).unwrap().unwrap().id
}

#[tokio::test]
async fn an_exercise_is_answered_blind_and_then_says_what_is_right() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let page = browser.get(EXERCISE).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    let case = case(&page);
    assert_eq!(case.key, CaseKey::next_for(own_id(&clinic, NAME), SIGN, 0));
    // Loaded again it shows the same foot.
    assert_eq!(self::case(&browser.get(EXERCISE).await).key, case.key);
    let missing = send(&mut browser, &page.form(ANSWER), &[]).await;
    assert_eq!(missing.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(missing.shown(".errors").contains("Choose a level."), "{}", missing.text);
    assert_eq!(self::case(&missing).key, case.key, "the same foot is asked");
    assert!(saved(&clinic, own_id(&clinic, NAME)).is_empty());

    let shown = answer(&mut browser, false).await.shown("main");
    let (given, right) = (wrong(&case), case.level(SIGN));
    let told = format!("You gave {}, and it is drawn at {}", given.text(), right.text());
    assert!(shown.contains(&told), "{shown}");
    let rows = saved(&clinic, own_id(&clinic, NAME));
    assert_eq!(rows.len(), 1);
    assert_eq!((rows[0].given, rows[0].reference, rows[0].on), (given, right, clinic.app.clock.today()));
    let next = self::case(&browser.get(EXERCISE).await);
    assert_eq!(next.key, CaseKey::next_for(own_id(&clinic, NAME), SIGN, 1), "then another foot is asked");
}

#[tokio::test]
async fn what_is_right_is_computed_here_whatever_a_form_says() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let page = browser.get(EXERCISE).await;
    let (case, form) = (case(&page), page.form(ANSWER));
    let given = wrong(&case).text();
    let sly = [("level", given), ("reference", given), ("right", given), ("person", "somebody")];
    let sent = send(&mut browser, &form, &sly).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    let rows = saved(&clinic, own_id(&clinic, NAME));
    assert_eq!(rows[0].reference, case.level(SIGN));
    assert_ne!(rows[0].given, rows[0].reference);
}

#[tokio::test]
async fn an_answer_to_a_case_that_is_not_asked_is_refused() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let person = own_id(&clinic, NAME);
    let form = browser.get(EXERCISE).await.form(ANSWER);
    let later = CaseKey::next_for(person, SIGN, 1).seed.to_string();
    let other_version = (DRAWING_VERSION + 1).to_string();
    for (fields, status) in [
        // A seed chosen by the sender, the case after this one, drawings that this program does not have.
        (vec![("seed", "12345")], StatusCode::CONFLICT),
        (vec![("seed", later.as_str())], StatusCode::CONFLICT),
        (vec![("drawing", other_version.as_str())], StatusCode::CONFLICT),
        (vec![("sign", "empty_heel")], StatusCode::CONFLICT),
        (vec![("sign", "elbow")], StatusCode::UNPROCESSABLE_ENTITY),
        (vec![("seed", "-1")], StatusCode::UNPROCESSABLE_ENTITY),
        (vec![("seed", "")], StatusCode::UNPROCESSABLE_ENTITY),
        (vec![("drawing", "first")], StatusCode::UNPROCESSABLE_ENTITY),
        (vec![("level", "0.7")], StatusCode::UNPROCESSABLE_ENTITY),
    ] {
        let fields: Vec<(&str, &str)> = [("level", "1")].into_iter().chain(fields).collect();
        let page = send(&mut browser, &form, &fields).await;
        assert_eq!(page.status, status, "{fields:?}: {}", page.text);
    }
    assert!(saved(&clinic, person).is_empty());
    for path in ["/practice/sign/elbow", "/practice/answer/1", "/practice/answer/first"] {
        assert_eq!(browser.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[tokio::test]
async fn a_form_sent_twice_counts_once_and_the_first_answer_counts() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let person = own_id(&clinic, NAME);
    let (first, second) = (browser.get(EXERCISE).await, browser.get(EXERCISE).await);
    let (form, other) = (first.form(ANSWER), second.form(ANSWER));
    assert_ne!(form["once"], other["once"], "two pages of one foot");
    let one = send(&mut browser, &form, &[("level", "0")]).await;
    assert_eq!((one.status, one.location()), (StatusCode::SEE_OTHER, "/practice/answer/1"));
    let again = send(&mut browser, &form, &[("level", "0")]).await;
    assert_eq!((again.status, again.location()), (StatusCode::SEE_OTHER, "/practice/answer/1"));
    // The other page, with another answer once the first has told what is right.
    let other = send(&mut browser, &other, &[("level", "1")]).await;
    assert_eq!((other.status, other.location()), (StatusCode::SEE_OTHER, "/practice/answer/1?before=1"));
    let page = browser.get(other.location()).await;
    assert!(page.shown("main").contains("The first answer counts"), "{}", page.text);
    let rows = saved(&clinic, person);
    assert_eq!(rows.iter().map(|row| row.given).collect::<Vec<_>>(), [HalfPoint::Zero]);
}

#[tokio::test]
async fn nobody_sees_the_answers_of_another_person_not_even_a_lead() {
    let (clinic, mut ida) = Clinic::signed_in().await;
    let bo = clinic.account("bo", PASSWORD);
    clinic.app.records.accounts().set_roles(bo, Roles::NONE.with(Role::Clinician)).unwrap();
    let mut of_bo = Browser::new(clinic.router.clone());
    of_bo.sign_in("bo", PASSWORD).await;
    for _ in 0..3 {
        answer(&mut of_bo, true).await;
    }
    assert!(of_bo.get("/practice/progress").await.shown(".tally").contains("3 drawn feet"));
    assert_eq!(of_bo.get("/practice/answer/2").await.status, StatusCode::OK);
    // Ida is a lead; her own pages have none of it, and no address leads to it.
    for path in ["/practice", "/practice/progress", "/practice/record", "/practice/progress?person=bo"] {
        let page = ida.get(path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}: {}", page.text);
        assert!(!page.shown("main").contains("bo of the clinic"), "{path} names another person");
    }
    assert!(ida.get("/practice/progress").await.shown(".tally").contains("0 drawn feet"));
    for number in 1..=3 {
        assert_eq!(ida.get(&format!("/practice/answer/{number}")).await.status, StatusCode::NOT_FOUND);
    }
    assert_eq!(saved(&clinic, bo).len(), 3);
}

#[tokio::test]
async fn a_set_that_is_right_comes_back_the_next_day_also_after_the_program_was_stopped() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    for _ in 0..3 {
        answer(&mut browser, true).await;
    }
    let shown = browser.get("/practice/answer/3").await.shown("main");
    assert!(shown.contains("The set is complete. This sign is asked again on 5 March 2025."), "{shown}");
    // The second answer as it was then, though the set is complete now.
    let shown = browser.get("/practice/answer/2").await.shown("main");
    assert!(shown.contains("2 of 3 feet of this set are scored."), "{shown}");
    let row = |page: &Page| page.shown("table.stack tbody tr:first-child");
    assert!(row(&browser.get("/practice").await).contains("on 5 March 2025, box 1 of 5"));
    let next = case(&browser.get(EXERCISE).await).key;

    // A browser holds the server that it asks.
    drop(browser);
    let clinic = clinic.started_again_on(NEXT_DAY);
    let mut browser = clinic.browser_signed_in().await;
    let page = browser.get("/practice").await;
    assert!(row(&page).contains("due since 5 March 2025, box 1 of 5"), "{}", page.text);
    assert_eq!(saved(&clinic, own_id(&clinic, NAME)).len(), 3);
    assert_eq!(case(&browser.get(EXERCISE).await).key, next, "the foot that was asked is asked still");
    answer(&mut browser, true).await;
    let rows = saved(&clinic, own_id(&clinic, NAME));
    assert_eq!(rows.last().unwrap().on, day(NEXT_DAY));
}

#[tokio::test]
async fn an_answer_to_earlier_drawings_stays_in_the_numbers_and_is_not_drawn() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let person = own_id(&clinic, NAME);
    let old = clinic::PracticeRow {
        form: Uuid::now_v7(),
        person,
        on: clinic.app.clock.today(),
        sign: SIGN,
        seed: 99,
        drawing: DRAWING_VERSION + 1,
        given: HalfPoint::Half,
        reference: HalfPoint::One,
    };
    clinic.app.records.practice().add(old).unwrap();
    let page = browser.get("/practice/answer/1").await;
    assert_eq!((page.status, page.count("svg.drawn-foot")), (StatusCode::OK, 0), "{}", page.text);
    let shown = page.shown("main");
    assert!(
        shown.contains("cannot be shown as it was") && shown.contains("stored as right was 1"),
        "{shown}"
    );
    let page = browser.get("/practice/progress").await;
    assert!(page.shown(".tally").contains("1 drawn foot"), "{}", page.text);
    assert!(page.shown("#lateral-border ~ p").contains("the same in 0 of 1"), "{}", page.text);
    // It counts for the case that is asked next.
    assert_eq!(case(&browser.get(EXERCISE).await).key, CaseKey::next_for(person, SIGN, 1));
}

#[tokio::test]
async fn a_lead_confirms_a_level_with_a_source_and_everybody_sees_who_when_and_which() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let path = "/practice/levels/empty_heel/0.5";
    assert!(!lead.get("/practice/levels").await.shown("main").contains("Confirmed: "));
    let source = "Invented handbook of scoring, 2021, page 12";
    let not_compared = lead.send(path, path, &[("source", source), ("do", "confirm")]).await;
    assert_eq!(not_compared.status, StatusCode::UNPROCESSABLE_ENTITY);
    let no_source = lead.send(path, path, &[("source", "x"), ("compared", "yes"), ("do", "confirm")]).await;
    assert_eq!(no_source.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", no_source.text);
    assert!(no_source.shown(".errors").contains("Name the source"), "{}", no_source.text);
    let fields = [("source", source), ("compared", "yes"), ("do", "confirm")];
    let before = lead.get(path).await.form(path);
    let done = lead.send(path, path, &fields).await;
    assert_eq!((done.status, done.location()), (StatusCode::SEE_OTHER, path), "{}", done.text);

    let user = clinic.account("bo", PASSWORD);
    clinic.app.records.accounts().set_roles(user, Roles::NONE.with(Role::Clinician)).unwrap();
    let mut bo = Browser::new(clinic.router.clone());
    bo.sign_in("bo", PASSWORD).await;
    let shown = bo.get("/practice/levels").await.shown("main");
    let said = format!("Confirmed: {source} (ida of the clinic, 4 March 2025");
    assert_eq!(shown.matches(&said).count(), 1, "{shown}");
    assert_eq!(shown.matches("From memory, not confirmed.").count(), 17, "{shown}");
    assert!(shown.contains("1 of 18 are confirmed with a source"), "{shown}");
    assert!(!shown.contains("Source:"), "who may not confirm is shown no way to it");
    assert_eq!(bo.get(path).await.status, StatusCode::FORBIDDEN);

    // A page that was opened before changes nothing.
    let mut stale: Vec<(&str, &str)> = before.iter().map(|(name, value)| (&**name, &**value)).collect();
    stale.retain(|(name, _)| !["source", "compared"].contains(name));
    stale.extend([("source", "Another invented book, 1999"), ("compared", "yes"), ("do", "confirm")]);
    let late = lead.post(path, &stale).await;
    assert_eq!(late.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(late.shown("main").contains("after you had opened the page"), "{}", late.text);
    let back = lead.send(path, path, &[("do", "withdraw")]).await;
    assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.text);
    assert!(!bo.get("/practice/levels").await.shown("main").contains("Confirmed: "));
    let history = lead.get(path).await.shown("table");
    assert!(history.contains(source) && history.contains("from memory"), "{history}");
}
