//! Scoring together: which feet are proposed, to whom, and what the scores so far say.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    access_log::person,
    clinic::{AMINA, Browser, Clinic, TODAY},
};
use axum::http::StatusCode;
use record::{ChildId, Kind, Role};

const PATH: &str = "/practice/together";
const MONTH: &str = "section[aria-labelledby=month]";
const SIGNS: [&str; 6] =
    ["lateral_border", "medial_crease", "talar_head", "posterior_crease", "rigid_equinus", "empty_heel"];

/// A child with a score of today, expected on a day.
async fn expected(clinic: &Clinic, browser: &mut Browser, fields: &[(&str, &str)], on: &str) -> ChildId {
    let child = clinic.child(browser, fields).await;
    let visit = format!("/child/{child}/visit");
    let signs: Vec<String> = SIGNS.iter().map(|sign| format!("right.{sign}")).collect();
    let mut fields = vec![("on", TODAY), ("right.cast", "correction")];
    // Six times a half: a total of 3, in the middle third.
    fields.extend(signs.iter().map(|sign| (sign.as_str(), "0.5")));
    assert_eq!(browser.send(&visit, &visit, &fields).await.status, StatusCode::SEE_OTHER);
    let made = format!("/child/{child}/add/appointment-made");
    let page = browser.send(&made, &made, &[("on", TODAY), ("for_day", on)]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    child
}

const OTHER: &[(&str, &str)] = &[("family_name", "Brekke"), ("number", "CF-102"), ("sides", "right")];
const LATER: &[(&str, &str)] = &[("family_name", "Ferreira"), ("number", "CF-103"), ("sides", "right")];

#[tokio::test]
async fn children_expected_this_month_are_proposed_with_two_people_and_restricted_ones_are_not() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let (_, mut bo) = person(&clinic, "bo", Role::Clinician).await;
    let (tove, _) = person(&clinic, "tove", Role::Coordinator).await;
    expected(&clinic, &mut lead, AMINA, "2025-03-11").await;
    let closed = expected(&clinic, &mut lead, OTHER, "2025-03-12").await;
    // The month is March.
    expected(&clinic, &mut lead, LATER, "2025-04-01").await;
    let shown = bo.get(PATH).await.shown(MONTH);
    assert!(shown.contains("1 March 2025") && shown.contains("31 March 2025"), "{shown}");
    for told in ["Amina Vesterholt", "11 March 2025", "total of 2.5 to 4", "Brekke", "ida of the clinic"] {
        assert!(shown.contains(told), "{told}: {shown}");
    }
    assert!(!shown.contains("Ferreira"), "nobody who is not expected this month: {shown}");
    assert!(!shown.contains("tove"), "a coordinator scores no foot: {shown}");

    let path = format!("/child/{closed}/restriction");
    let field = format!("person.{tove}");
    let fields = [(field.as_str(), "yes"), ("reason", "Child of a colleague."), ("do", "restrict")];
    assert_eq!(lead.send(&path, &path, &fields).await.status, StatusCode::SEE_OTHER);
    for browser in [&mut bo, &mut lead] {
        let page = browser.get(PATH).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        assert!(!page.text.contains("Brekke") && !page.text.contains("CF-102"), "{}", page.shown("main"));
        assert!(page.shown(MONTH).contains("Amina Vesterholt"), "{}", page.text);
    }
}

#[tokio::test]
async fn one_person_alone_is_told_that_two_are_needed() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    expected(&clinic, &mut lead, AMINA, "2025-03-11").await;
    let shown = lead.get(PATH).await.shown(MONTH);
    assert!(shown.contains("Two people who score are needed") && !shown.contains("Vesterholt"), "{shown}");
}

#[tokio::test]
async fn a_foot_scored_twice_is_counted_and_stands_in_the_own_record_of_practice() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let (_, mut bo) = person(&clinic, "bo", Role::Clinician).await;
    let child = expected(&clinic, &mut lead, AMINA, "2025-03-11").await;
    let first = clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::Assessment).unwrap().id;
    assert!(bo.get(PATH).await.shown(".tally").contains("0 feet"));
    let path = format!("/child/{child}/second-score/{first}");
    let signs: Vec<String> = SIGNS.iter().map(|sign| format!("right.{sign}")).collect();
    let fields: Vec<(&str, &str)> = signs.iter().map(|sign| (sign.as_str(), "1")).collect();
    let page = bo.send(&path, &path, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let both = bo.get(page.location()).await;
    assert!(both.text.contains("href=\"/practice/together\""), "{}", both.text);

    let page = bo.get(PATH).await;
    assert!(page.shown(".tally").contains("1 foot of 1 child"), "{}", page.shown("main"));
    let needed = page.shown("section[aria-labelledby=needed]");
    assert!(needed.contains("cannot be told from 1 of at least") && needed.contains("in all"), "{needed}");
    assert!(page.shown(MONTH).contains("second time this month"), "{}", page.shown(MONTH));
    let record = bo.get("/practice/record").await;
    assert_eq!(record.status, StatusCode::OK, "{}", record.text);
    let colleagues = record.shown("section[aria-labelledby=colleagues]");
    assert!(colleagues.contains("cannot be told from 1 of at least"), "{colleagues}");
}
