//! Correcting and withdrawing, with a reason, the old entry readable.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, TODAY, day};
use axum::http::StatusCode;
use record::{Body, ChildId, Entry, HalfPoint, Kind};

/// A child with one score: the head of the talus of the right foot at 1.
async fn scored() -> (Clinic, Browser, ChildId, Entry) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/visit");
    let fields = [("on", "2025-03-03"), ("right.talar_head", "1"), ("right.rigid_equinus", "1")];
    assert_eq!(browser.send(&path, &path, &fields).await.status, StatusCode::SEE_OTHER);
    let entry = clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::Assessment).unwrap();
    (clinic, browser, child, entry)
}

#[tokio::test]
async fn a_correction_changes_one_value_keeps_the_rest_and_leaves_the_old_readable() {
    let (clinic, mut browser, child, entry) = scored().await;
    let page = format!("/child/{child}/entry/{}", entry.id);
    let action = format!("{page}/correct");
    let form = browser.get(&page).await.form(&action);
    assert_eq!(form["pirani.talar_head"], "1", "the form comes filled: {form:?}");
    assert_eq!(form["on"], "2025-03-03");
    let fields = [("pirani.talar_head", "0.5"), ("correct_reason", "misread the other foot")];
    let sent = browser.send(&page, &action, &fields).await;
    assert_eq!(
        (sent.status, sent.location()),
        (StatusCode::SEE_OTHER, format!("/child/{child}?done=corrected").as_str()),
        "{}",
        sent.text
    );

    let last = clinic.entries(child).pop().unwrap();
    let Body::Correction(correction) = &last.body else { panic!("{last:?}") };
    assert_eq!(
        (correction.entry, correction.reason.as_str(), correction.on),
        (entry.id, "misread the other foot", None)
    );
    assert_eq!(
        (last.on, last.follows),
        (day(TODAY), Some(entry.id)),
        "written today, so that yesterday's record stays"
    );
    let Body::Assessment(body) = correction.body.as_ref() else { panic!("{last:?}") };
    assert_eq!(
        (body.pirani.talar_head, body.pirani.rigid_equinus),
        (Some(HalfPoint::Half), Some(HalfPoint::One))
    );
    assert!(clinic.entries(child).contains(&entry), "the old entry is untouched");
    let shown = browser.get(&page).await;
    assert!(
        shown.text.contains("misread the other foot") && shown.shown(".fate").contains("Corrected"),
        "{}",
        shown.text
    );
}

#[tokio::test]
async fn a_correction_needs_a_reason_and_a_believable_value() {
    let (clinic, mut browser, child, entry) = scored().await;
    let before = clinic.entries(child);
    let page = format!("/child/{child}/entry/{}", entry.id);
    let action = format!("{page}/correct");
    for fields in [
        vec![("correct_reason", "")],
        vec![("correct_reason", "typing"), ("foot_length_mm", "7")],
        vec![("correct_reason", "typing"), ("on", "2025-03-09")],
        vec![("correct_reason", "typing"), ("on", "0202-03-03")],
    ] {
        let sent = browser.send(&page, &action, &fields).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(!sent.shown(".errors").is_empty(), "{fields:?}");
    }
    assert_eq!(clinic.entries(child), before);
}

#[tokio::test]
async fn the_day_can_be_corrected() {
    let (clinic, mut browser, child, entry) = scored().await;
    let page = format!("/child/{child}/entry/{}", entry.id);
    let fields = [("on", "2025-03-02"), ("correct_reason", "it was Sunday")];
    browser.send(&page, &format!("{page}/correct"), &fields).await;
    let last = clinic.entries(child).pop().unwrap();
    let Body::Correction(correction) = &last.body else { panic!("{last:?}") };
    assert_eq!(correction.on, Some(day("2025-03-02")));
}

#[tokio::test]
async fn a_withdrawal_takes_the_entry_out_of_the_course_and_cannot_be_repeated() {
    let (clinic, mut browser, child, entry) = scored().await;
    let page = format!("/child/{child}/entry/{}", entry.id);
    let action = format!("{page}/withdraw");
    let refused = browser.send(&page, &action, &[]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "a reason is needed");
    let sent = browser.send(&page, &action, &[("withdraw_reason", "wrong child")]).await;
    assert_eq!(
        (sent.status, sent.location()),
        (StatusCode::SEE_OTHER, format!("/child/{child}?done=withdrawn").as_str())
    );
    let course = clinic.app.outlook(child, &clinic.entries(child), day(TODAY)).course;
    assert!(course.feet.iter().all(|foot| foot.scores.is_empty()));
    let shown = browser.get(&page).await;
    assert!(shown.text.contains("wrong child") && shown.shown(".fate").contains("Withdrawn"));
    let csrf = shown.form("/sign-out")["csrf"].clone();
    let again = browser.post(&action, &[("csrf", &csrf), ("withdraw_reason", "again")]).await;
    assert_eq!(again.status, StatusCode::CONFLICT);
}

#[tokio::test]
async fn an_entry_is_found_only_under_its_own_child() {
    let (clinic, mut browser, _, entry) = scored().await;
    let other = [("family_name", "Quillfeather"), ("given_name", "Bo"), ("number", "CF-202")];
    let other = clinic.child(&mut browser, &other).await;
    assert_eq!(
        browser.get(&format!("/child/{other}/entry/{}", entry.id)).await.status,
        StatusCode::NOT_FOUND
    );
    let csrf = browser.get("/day").await.form("/sign-out")["csrf"].clone();
    let path = format!("/child/{other}/entry/{}/withdraw", entry.id);
    let before = clinic.entries(other);
    assert_eq!(
        browser.post(&path, &[("csrf", &csrf), ("withdraw_reason", "x")]).await.status,
        StatusCode::NOT_FOUND
    );
    assert_eq!(clinic.entries(other), before);
}
