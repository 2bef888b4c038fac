//! What is in doubt is asked before it is saved, and the person's words answer it.

use crate::clinic::{Browser, Clinic, TODAY, day};
use axum::http::StatusCode;
use course::{Course, QuestionKind};
use record::{Body, ChildId, Day, Kind, Side};

/// A girl with a clubfoot on the right.
const RIGHT_ONLY: &[(&str, &str)] = &[
    ("family_name", "Vesterholt"),
    ("given_name", "Runa"),
    ("number", "CF-102"),
    ("born", "2025-01-28"),
    ("sides", "right"),
    ("nature", "idiopathic"),
];

async fn runa() -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, RIGHT_ONLY).await;
    (clinic, browser, child)
}

fn questions(clinic: &Clinic, child: ChildId) -> Vec<QuestionKind> {
    let course = Course::of(child, &clinic.entries(child), Day::LAST);
    course.questions.iter().map(|question| question.kind).collect()
}

#[tokio::test]
async fn a_booking_on_the_foot_that_is_no_clubfoot_is_asked_about_and_saved_with_the_words() {
    let (clinic, mut browser, child) = runa().await;
    let path = format!("/child/{child}/add/tenotomy-booked");
    let before = clinic.entries(child).len();
    let fields = [("side", "left"), ("planned_on", "2025-03-20")];
    let page = browser.send(&path, &path, &fields).await;
    assert_ne!(page.status, StatusCode::SEE_OTHER, "nothing is saved yet");
    assert_eq!(clinic.entries(child).len(), before);
    let asked = page.shown(".confirm");
    assert!(asked.contains("The left foot is not on record as a clubfoot, the right foot is"), "{asked}");
    assert_eq!(page.form(&path)["side"], "left", "the form keeps what was filled in");

    let confirmed = [fields[0], fields[1], ("confirm", "Seen by Dr Holm, both feet are affected")];
    let page = browser.send(&path, &path, &confirmed).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let written = clinic.entries(child).split_off(before);
    let [booked, note] = written.as_slice() else { panic!("{written:?}") };
    assert_eq!((booked.kind(), booked.body.side()), (Kind::TenotomyBooked, Some(Side::Left)));
    assert_eq!(note.follows, Some(booked.id));
    let Body::Note(words) = &note.body else { panic!("{note:?}") };
    assert!(words.text.starts_with("Confirmed: Seen by Dr Holm"), "{}", words.text);
    assert!(!questions(&clinic, child).contains(&QuestionKind::FootNotOnRecord), "the note answers it");
}

#[tokio::test]
async fn a_booking_on_the_foot_on_record_is_saved_at_once() {
    let (clinic, mut browser, child) = runa().await;
    let path = format!("/child/{child}/add/tenotomy-booked");
    let page = browser.send(&path, &path, &[("side", "right"), ("planned_on", "2025-03-20")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert_eq!(clinic.entries(child).last().unwrap().body.side(), Some(Side::Right));
}

#[tokio::test]
async fn a_visit_with_a_cast_on_the_wrong_foot_is_given_back_with_everything_in_it() {
    let (clinic, mut browser, child) = runa().await;
    let path = format!("/child/{child}/visit");
    let before = clinic.entries(child).len();
    let fields = [("left.cast", "correction"), ("note", "calm")];
    let page = browser.send(&path, &path, &fields).await;
    assert_eq!(clinic.entries(child).len(), before, "nothing is saved yet");
    assert!(page.shown(".confirm").contains("left foot"), "{}", page.shown(".confirm"));
    assert_eq!(page.form(&path)["note"], "calm");
    // The other foot needs no word.
    let right = [("right.cast", "correction"), ("note", "calm")];
    assert_eq!(browser.send(&path, &path, &right).await.status, StatusCode::SEE_OTHER);
    let sides: Vec<_> = clinic.entries(child).split_off(before).iter().map(|e| e.body.side()).collect();
    assert!(sides.contains(&Some(Side::Right)) && !sides.contains(&Some(Side::Left)), "{sides:?}");
}

/// The same from elsewhere stays as an open question.
#[tokio::test]
async fn what_comes_from_elsewhere_is_an_open_question() {
    let (clinic, _browser, child) = runa().await;
    let mut entry = clinic.entries(child).last().unwrap().clone();
    entry.id = record::EntryId::new(uuid::Uuid::now_v7());
    entry.on = day(TODAY);
    entry.body = record::TenotomyBooked { side: Side::Left, planned_on: None, place: None }.into();
    clinic.app.records.append(vec![entry]).unwrap();
    assert!(questions(&clinic, child).contains(&QuestionKind::FootNotOnRecord));
}

/// The clubfoot at 35° and the sound foot at 65° look exchanged; the other way round is as it should be.
#[tokio::test]
async fn a_brace_with_exchanged_settings_is_asked_about() {
    let (clinic, mut browser, child) = runa().await;
    let path = format!("/child/{child}/visit");
    let cast = [("right.cast", "correction"), ("right.cast_abduction_deg", "65")];
    assert_eq!(browser.send(&path, &path, &cast).await.status, StatusCode::SEE_OTHER);
    let before = clinic.entries(child).len();
    let brace = |right: &'static str, left: &'static str| {
        [
            ("brace", "fitted"),
            ("brace.regime", "full_time"),
            ("brace.right.abduction_deg", right),
            ("brace.left.abduction_deg", left),
        ]
    };
    let page = browser.send(&path, &path, &brace("35", "65")).await;
    assert_eq!(clinic.entries(child).len(), before, "nothing is saved yet: {}", page.location());
    assert!(page.count(".confirm") == 1, "{}", page.text);
    let page = browser.send(&path, &path, &brace("65", "35")).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.shown(".confirm"));
}
