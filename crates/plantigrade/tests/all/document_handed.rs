//! Recording that a document was handed over, and the language in which documents open.

use crate::clinic::{Browser, Clinic, TODAY, day};
use axum::http::StatusCode;
use record::{Body, ChildId, DocumentHanded, FamilyLanguage, HandedDocument};

async fn child(language: &str) -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [("family_name", "Ostwick"), ("given_name", "Tuva"), ("number", "CF-7"), ("sides", "left")];
    let child = clinic.child(&mut browser, &fields).await;
    let details = [
        ("family_name", "Ostwick"),
        ("given_name", "Tuva"),
        ("number", "CF-7"),
        ("carer_name", "Grace"),
        ("carer_relation", "mother"),
        ("carer_language", language),
    ];
    let add = format!("/child/{child}/add/registration");
    let saved = browser.send(&add, &add, &details).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    (clinic, browser, child)
}

fn last(clinic: &Clinic, child: ChildId) -> Body {
    clinic.entries(child).pop().unwrap().body
}

#[tokio::test]
async fn a_document_is_recorded_as_handed_over_and_listed_with_its_day() {
    let (clinic, mut browser, child) = child("").await;
    let list = format!("/child/{child}/documents?lang=en");
    assert!(!browser.get(&list).await.text.contains("Last handed over"));
    let form = format!("/child/{child}/handed-over?document=plan&lang=en");
    let page = browser.get(&form).await;
    assert!(page.text.contains("Grace (mother)") && !page.text.contains("with_interpreter"), "{}", page.text);
    let fields = [("document", "plan"), ("language", "en"), ("to", "Grace")];
    let saved = browser.send(&form, &format!("/child/{child}/handed-over"), &fields).await;
    assert_eq!(saved.location(), format!("/child/{child}/documents?lang=en&done=handed"), "{}", saved.text);
    let handed = DocumentHanded::of(HandedDocument::Plan, FamilyLanguage::English);
    assert_eq!(last(&clinic, child), DocumentHanded { to: Some("Grace".into()), ..handed }.into());
    assert_eq!(clinic.entries(child).pop().unwrap().on, day(TODAY));
    let shown = browser.get(&list).await.shown(".document-list");
    assert!(shown.contains("Last handed over on 4 March 2025, in English, to Grace."), "{shown}");
    let timeline = browser.get(&format!("/child/{child}")).await.shown(".timeline");
    assert!(timeline.to_lowercase().contains("handed over: family plan, in english, to grace"), "{timeline}");
}

/// A translation that awaits review: whether an interpreter was there is asked and never assumed.
#[tokio::test]
async fn the_interpreter_is_asked_about_where_a_translation_awaits_review() {
    let (clinic, mut browser, child) = child("Swahili").await;
    let form = format!("/child/{child}/handed-over?document=cast-sheet&lang=sw");
    let page = browser.get(&form).await;
    assert_eq!(page.count("input[name=with_interpreter][checked]"), 0, "nothing is assumed");
    let before = clinic.entries(child).len();
    let to = format!("/child/{child}/handed-over");
    let fields = [("document", "cast-sheet"), ("language", "sw")];
    let asked = browser.send(&form, &to, &fields).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(asked.shown(".errors").contains("Say whether it was read through"), "{}", asked.text);
    assert_eq!(clinic.entries(child).len(), before);
    let saved = browser.send(&form, &to, &[fields[0], fields[1], ("with_interpreter", "no")]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let handed = DocumentHanded::of(HandedDocument::CastSheet, FamilyLanguage::Swahili);
    assert_eq!(last(&clinic, child), DocumentHanded { with_interpreter: Some(false), ..handed }.into());
    for wrong in ["document=diploma&lang=en", "document=plan&lang=xx", "document=plan"] {
        let page = browser.get(&format!("/child/{child}/handed-over?{wrong}")).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{wrong}");
    }
}

#[tokio::test]
async fn documents_open_in_the_language_of_the_family() {
    let (_clinic, mut browser, tuva) = child("Kiswahili").await;
    let page = browser.get(&format!("/child/{tuva}/documents")).await;
    assert_eq!(page.shown(".document-languages [aria-current]").trim(), "Swahili Kiswahili");
    let english = browser.get(&format!("/child/{tuva}/documents?lang=en")).await;
    assert_eq!(english.shown(".document-languages [aria-current]").trim(), "English", "as it was chosen");
    let (_clinic, mut browser, other) = child("Luo").await;
    let page = browser.get(&format!("/child/{other}/documents")).await;
    assert_eq!(page.shown(".document-languages [aria-current]").trim(), "English");
    assert!(page.text.contains("Documents cannot be made in a language that is recorded"), "{}", page.text);
    let (_clinic, mut browser, third) = child("").await;
    let page = browser.get(&format!("/child/{third}/documents")).await;
    assert!(page.text.contains("No language is recorded for the carers"), "{}", page.text);
}

#[tokio::test]
async fn the_look_is_chosen_and_kept_in_the_links() {
    let (_clinic, mut browser, child) = child("").await;
    let list = browser.get(&format!("/child/{child}/documents?lang=en&type=large&style=pictures")).await;
    assert_eq!(list.count("a[href$='documents/plan?lang=en&type=large&style=pictures']"), 1, "{}", list.text);
    let plan = browser.get(&format!("/child/{child}/documents/plan?lang=en&type=large&style=pictures")).await;
    assert_eq!(plan.count("main.large.pictures"), 1, "{}", plan.text);
    assert_eq!(browser.get(&format!("/child/{child}/documents/plan")).await.count("main.large"), 0);
}
