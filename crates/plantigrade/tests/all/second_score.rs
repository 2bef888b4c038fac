//! A second score, made blind: what its form hides, who may not open it, and both scores afterwards.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, PASSWORD, Page, TODAY};
use axum::http::StatusCode;
use record::{Body, ChildId, Entry, Kind, Side};

/// Every sign of the right foot, and Dimeglio's derotation; no other value on these pages is like them.
const FIRST: &[(&str, &str)] = &[
    ("right.lateral_border", "0.5"),
    ("right.medial_crease", "1"),
    ("right.talar_head", "0.5"),
    ("right.posterior_crease", "1"),
    ("right.rigid_equinus", "1"),
    ("right.empty_heel", "0.5"),
    ("right.dimeglio.derotation", "37"),
    ("right.abduction_deg", "-13"),
];

struct Scored {
    clinic: Clinic,
    first_rater: Browser,
    second_rater: Browser,
    child: ChildId,
    first: Entry,
}

/// A child scored by Ida today and a week before, and Bo, who has not seen it.
async fn scored() -> Scored {
    let (clinic, mut first_rater) = Clinic::signed_in().await;
    clinic.account("bo", PASSWORD);
    let mut second_rater = Browser::new(clinic.router.clone());
    second_rater.sign_in("bo", PASSWORD).await;
    let child = clinic.child(&mut first_rater, AMINA).await;
    let path = format!("/child/{child}/visit");
    for on in ["2025-02-25", TODAY] {
        let fields: Vec<_> =
            FIRST.iter().copied().chain([("on", on), ("right.cast", "correction")]).collect();
        let page = first_rater.send(&path, &path, &fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    }
    let first = clinic.entries(child).into_iter().rfind(|entry| entry.kind() == Kind::Assessment).unwrap();
    assert_eq!(first.on.to_string(), TODAY);
    Scored { clinic, first_rater, second_rater, child, first }
}

const SECOND: &[(&str, &str)] = &[
    ("right.lateral_border", "0.5"),
    ("right.medial_crease", "0.5"),
    ("right.talar_head", "0.5"),
    ("right.posterior_crease", "1"),
    ("right.rigid_equinus", "0.5"),
    ("right.empty_heel", "0.5"),
];

impl Scored {
    fn path(&self) -> String {
        format!("/child/{}/second-score/{}", self.child, self.first.id)
    }

    async fn send(&mut self, fields: &[(&str, &str)]) -> Page {
        let path = self.path();
        self.second_rater.send(&path, &path, fields).await
    }

    fn seconds(&self) -> Vec<Entry> {
        let mut entries = self.clinic.entries(self.child);
        entries.retain(|entry| entry.kind() == Kind::SecondScore);
        entries
    }
}

#[tokio::test]
async fn the_blind_form_names_child_foot_and_day_and_shows_no_score_course_or_forecast() {
    let mut scored = scored().await;
    let page = scored.second_rater.get(&scored.path()).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert_eq!(page.shown("h2"), "Right foot");
    let whose = page.shown(".foot-whose");
    assert!(whose.contains("Amina Vesterholt") && whose.contains("4 March 2025"), "{whose}");
    // Nothing is ticked but “not assessed”, and nothing marks last time's answer.
    for (name, value) in page.form(&scored.path()) {
        let free = ["csrf", "once", "side", "draft"].contains(&name.as_str());
        assert!(free || value.is_empty(), "{name} comes filled with {value}");
    }
    // The first score's sums are 2, 2.5 and 4.5; its angles 37 and −13.
    // Read as shown: tokens in the page hold figures of their own.
    let shown = page.shown("main");
    for told in ["4.5", "2.5", "37", "−13", "-13"] {
        assert!(!shown.contains(told), "the blind form tells “{told}”: {shown}");
    }
    for told in ["last time", "last-time", "Last score", "data-last", "data-preview"] {
        assert!(!page.text.contains(told), "the blind form tells “{told}”: {}", page.text);
    }
    for told in [
        ".foot-so-far",
        ".last-value",
        ".step",
        "#preview",
        ".picture",
        ".foot-course",
        ".likely",
        ".attention",
    ] {
        assert_eq!(page.count(told), 0, "{told}");
    }
    assert!(!page.text.contains(&format!("/entry/{}", scored.first.id)), "no link to the first score");
    assert!(!page.text.contains("ida of the clinic"), "nor its maker");
}

#[tokio::test]
async fn whoever_wrote_the_first_score_cannot_score_again() {
    let mut scored = scored().await;
    let page = scored.first_rater.get(&scored.path()).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("You recorded the first score of this foot"), "{}", page.text);
    let csrf = scored.first_rater.get("/day").await.form("/sign-out")["csrf"].clone();
    let mut fields = SECOND.to_vec();
    fields.extend([("csrf", csrf.as_str()), ("side", "right")]);
    let page = scored.first_rater.post(&scored.path(), &fields).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(scored.seconds().is_empty());
}

#[tokio::test]
async fn once_both_are_down_they_stand_side_by_side_with_what_differs() {
    let mut scored = scored().await;
    let page = scored.send(SECOND).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let second = scored.seconds().pop().unwrap();
    assert_eq!((second.on, second.follows), (scored.first.on, Some(scored.first.id)));
    assert_eq!(second.body.side(), Some(Side::Right));
    let place = page.location().to_owned();
    assert_eq!(place, format!("/child/{}/both-scores/{}?done=1", scored.child, second.id));
    let page = scored.second_rater.get(&place).await;
    assert!(page.text.contains("The second score is saved."), "{}", page.text);
    // Medial crease 1 and 0.5, rigid equinus 1 and 0.5; totals 4.5 and 3.5.
    assert!(page.shown(".lead").contains("differ in 2 of 6 signs"), "{}", page.shown(".lead"));
    let rows: Vec<String> = page.shown("tr").lines().map(str::to_owned).collect();
    assert!(rows.iter().any(|row| row.contains("Medial crease") && row.contains("≠ −0.5")), "{rows:?}");
    assert!(
        rows.iter().any(|row| row.contains("Pirani total") && row.contains("4.53.5") && row.contains("≠ −1")),
        "{rows:?}"
    );
    assert!(page.text.contains("ida of the clinic") && page.text.contains("bo of the clinic"));
    // Opened again by the same person, the form leads to what was saved.
    let again = scored.second_rater.get(&scored.path()).await;
    assert_eq!((again.status, again.location()), (StatusCode::SEE_OTHER, place.trim_end_matches("?done=1")));
}

#[tokio::test]
async fn a_second_score_changes_neither_course_nor_picture_nor_next_step() {
    let mut scored = scored().await;
    let path = format!("/child/{}", scored.child);
    let parts = [".foot-course", ".child-next", ".child-attention", ".likely", ".foot-facts", ".questions"];
    let before = scored.second_rater.get(&path).await;
    assert_eq!(scored.send(SECOND).await.status, StatusCode::SEE_OTHER);
    let after = scored.second_rater.get(&path).await;
    for part in parts {
        assert_eq!(before.shown(part), after.shown(part), "{part}");
    }
    assert!(!before.shown(".foot-course").is_empty() && !before.shown(".child-next").is_empty());
    // It is listed as what it is.
    assert!(
        after.shown(".timeline").contains("Right foot: second score, blind: Pirani 3.5 of 6"),
        "{}",
        after.shown(".timeline")
    );
}

#[tokio::test]
async fn a_form_without_a_sign_or_about_the_other_foot_is_refused() {
    let mut scored = scored().await;
    let page = scored.send(&[]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("No sign is scored yet."));
    for wrong in [("side", "left"), ("left.talar_head", "1")] {
        let fields: Vec<_> = SECOND.iter().copied().chain([wrong]).collect();
        let page = scored.send(&fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("This form is not about the right foot"), "{}", page.text);
    }
    assert!(scored.seconds().is_empty());
}

#[tokio::test]
async fn another_childs_first_score_is_refused_in_words() {
    let mut scored = scored().await;
    let other = [("family_name", "Quillfeather"), ("given_name", "Bo"), ("number", "CF-202")];
    let other = scored.clinic.child(&mut scored.first_rater, &other).await;
    let page = scored.second_rater.get(&format!("/child/{other}/second-score/{}", scored.first.id)).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("The first score belongs to another child"), "{}", page.text);
    let nothing = uuid::Uuid::now_v7();
    let page = scored.second_rater.get(&format!("/child/{}/second-score/{nothing}", scored.child)).await;
    assert!(page.text.contains("is not in the record"), "{}", page.text);
}

#[tokio::test]
async fn it_is_corrected_and_withdrawn_like_any_entry_but_never_to_the_other_foot() {
    let mut scored = scored().await;
    assert_eq!(scored.send(SECOND).await.status, StatusCode::SEE_OTHER);
    let second = scored.seconds().pop().unwrap();
    let page = format!("/child/{}/entry/{}", scored.child, second.id);
    let shown = scored.second_rater.get(&page).await;
    assert!(
        shown.text.contains("A second clinician’s score, made without seeing the first."),
        "{}",
        shown.text
    );
    let action = format!("{page}/correct");
    let fields = [("side", "left"), ("correct_reason", "slip")];
    let wrong = scored.second_rater.send(&page, &action, &fields).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        wrong.text.contains("The first score is of the right foot and this one of the left"),
        "{}",
        wrong.text
    );
    let fields = [("pirani.talar_head", "0"), ("correct_reason", "slip")];
    let fine = scored.second_rater.send(&page, &action, &fields).await;
    assert_eq!(fine.status, StatusCode::SEE_OTHER, "{}", fine.text);
    let Some(Body::Correction(correction)) =
        scored.clinic.entries(scored.child).pop().map(|entry| entry.body)
    else {
        panic!()
    };
    let Body::SecondScore(body) = correction.body.as_ref() else { panic!() };
    assert_eq!(body.first, Some(scored.first.id), "a correction keeps the pair");
    let both = format!("/child/{}/both-scores/{}", scored.child, second.id);
    let text = scored.second_rater.get(&both).await.text;
    assert!(text.contains("One of them was corrected afterwards"), "{text}");
    let action = format!("{page}/withdraw");
    let gone = scored.second_rater.send(&page, &action, &[("withdraw_reason", "never happened")]).await;
    assert_eq!(gone.status, StatusCode::SEE_OTHER);
    let text = scored.second_rater.get(&both).await.text;
    assert!(text.contains("The second score was withdrawn.") && !text.contains("<table"), "{text}");
}

#[tokio::test]
async fn where_the_first_is_withdrawn_neither_is_shown() {
    let mut scored = scored().await;
    assert_eq!(scored.send(SECOND).await.status, StatusCode::SEE_OTHER);
    let second = scored.seconds().pop().unwrap();
    let page = format!("/child/{}/entry/{}", scored.child, scored.first.id);
    let action = format!("{page}/withdraw");
    scored.first_rater.send(&page, &action, &[("withdraw_reason", "wrong child")]).await;
    let page = scored.second_rater.get(&format!("/child/{}/both-scores/{}", scored.child, second.id)).await;
    assert!(page.text.contains("The first score was withdrawn"), "{}", page.text);
    assert_eq!(page.count("table"), 0);
}
