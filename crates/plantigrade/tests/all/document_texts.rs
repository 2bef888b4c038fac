//! The clinic's own texts of documents, and the confirmation of translations.

use crate::clinic::{Browser, Clinic};
use axum::http::StatusCode;
use plantigrade::document_texts::DOCUMENTS_HISTORY;
use record::ChildId;
use std::{fs, io::Write};

async fn with_child() -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [("family_name", "Ostwick"), ("given_name", "Tuva"), ("number", "CF-7"), ("sides", "left")];
    let child = clinic.child(&mut browser, &fields).await;
    (clinic, browser, child)
}

const DRY: &str = "/documents/texts/en/bring-feed";

#[tokio::test]
async fn a_text_of_the_clinic_is_printed_and_can_be_taken_back() {
    let (_clinic, mut browser, child) = with_child().await;
    let list = browser.get("/documents/texts?lang=en&group=plan").await;
    assert_eq!(list.count(&format!("a[href='{DRY}']")), 1, "{}", list.text);
    let save = |text: &'static str| [("text", text), ("why", "our words"), ("do", "save")];
    let saved = browser.send(DRY, DRY, &save("Bring milk.")).await;
    assert_eq!(saved.location(), format!("{DRY}?done=saved"), "{}", saved.text);
    let page = browser.get(DRY).await;
    assert!(page.shown(".history").contains("Bring milk."), "{}", page.shown(".history"));
    assert!(page.shown(".history").contains("our words"));
    let saved = browser.send(DRY, DRY, &save("Bring two bottles.")).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER);
    let before = browser.send(DRY, DRY, &[("do", "before")]).await;
    assert_eq!(before.status, StatusCode::SEE_OTHER, "{}", before.text);
    assert!(browser.get(DRY).await.shown("textarea").contains("Bring milk."));
    let back = browser.send(DRY, DRY, &[("do", "back")]).await;
    assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.text);
    assert!(browser.get(DRY).await.shown("textarea").contains("lies still"), "the text of the program");
    let history = browser.get("/documents/languages").await.shown(".history");
    assert_eq!(history.matches("bring-feed").count(), 4, "nothing is forgotten: {history}");
    // The title of a document is the clinic's from then on.
    let title = "/documents/texts/en/plan-title";
    browser.send(title, title, &[("text", "Our way with { $name }"), ("do", "save")]).await;
    let plan = browser.get(&format!("/child/{child}/documents/plan?lang=en")).await;
    assert_eq!(plan.shown("h1").trim(), "Our way with Tuva");
}

#[tokio::test]
async fn a_broken_text_is_refused_and_nothing_is_changed() {
    let (_clinic, mut browser, child) = with_child().await;
    let path = "/documents/texts/en/plan-title";
    for (text, why) in [
        ("Plan { $name", "Line 1 cannot be read"),
        ("Plan of { $mother }", "“$mother” is not known"),
        ("<b>Plan</b>", "no markup"),
        ("{ plan-title }", "refers to itself"),
        ("", "The text is empty"),
    ] {
        let page = browser.send(path, path, &[("text", text), ("do", "save")]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{text}");
        assert!(page.shown(".errors").contains(why), "{text}: {}", page.shown(".errors"));
    }
    let plan = browser.get(&format!("/child/{child}/documents/plan?lang=en")).await;
    assert_eq!(plan.shown("h1").trim(), "Plan for Tuva");
    let preview = browser.send(path, path, &[("text", "Way of { $name }"), ("do", "preview")]).await;
    assert_eq!(preview.status, StatusCode::OK);
    assert!(preview.shown("dd.document-text").contains("Way of Solveig"), "{}", preview.text);
    assert!(browser.get("/documents/languages").await.text.contains("Nothing was changed yet"));
    assert_eq!(browser.get("/documents/texts/en/no-such-text").await.status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get("/documents/texts/xx/plan-title").await.status, StatusCode::NOT_FOUND);
}

/// Two people change one text: the second is told.
#[tokio::test]
async fn a_form_that_is_older_than_the_last_change_saves_nothing() {
    let (_clinic, mut browser, _) = with_child().await;
    let seen = browser.get(DRY).await.form(DRY)["seen"].clone();
    browser.send(DRY, DRY, &[("text", "Bring milk."), ("do", "save")]).await;
    let page = browser.send(DRY, DRY, &[("text", "Bring tea."), ("do", "save"), ("seen", &seen)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".look").contains("Bring milk."), "{}", page.text);
}

#[tokio::test]
async fn a_confirmed_translation_is_printed_alone_until_a_text_changes() {
    let (clinic, mut browser, child) = with_child().await;
    let plan = format!("/child/{child}/documents/plan?lang=sw");
    let page = browser.get(&plan).await;
    assert!(page.count(".pair .beside[lang=en]") > 10 && page.count(".unreviewed") == 1, "{}", page.text);
    let form = browser.get("/documents/languages").await;
    let seen =
        form.text.split("value=\"sw\"").nth(1).unwrap().split("name=\"seen\" value=\"").nth(1).unwrap();
    let seen = seen.split('"').next().unwrap().to_owned();
    let path = "/documents/languages";
    let fields = |read: &'static str, who: &'static str| {
        [
            ("language", "sw"),
            ("seen", seen.as_str()),
            ("do", "confirm"),
            ("read_all", read),
            ("reviewer", who),
        ]
    };
    for wrong in [fields("", "Neema Ashur, nurse"), fields("yes", " ")] {
        let page = browser.send(path, path, &wrong).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
    }
    let saved = browser.send(path, path, &fields("yes", "Neema Ashur, nurse")).await;
    assert_eq!(saved.location(), "/documents/languages?done=saved", "{}", saved.text);
    let page = browser.get(path).await;
    assert!(page.text.contains("read by Neema Ashur, nurse"), "{}", page.text);
    let alone = browser.get(&plan).await;
    assert_eq!((alone.count(".pair"), alone.count(".unreviewed")), (0, 0), "{}", alone.text);
    let handed = browser.get(&format!("/child/{child}/handed-over?document=plan&lang=sw")).await;
    assert_eq!(handed.count("input[name=with_interpreter]"), 0);
    // A change of a text.
    let text = "/documents/texts/sw/language-name";
    browser.send(text, text, &[("text", "Kiswahili chetu"), ("do", "save")]).await;
    assert!(browser.get(&plan).await.count(".pair") > 10, "it awaits review again");
    assert!(browser.get(path).await.text.contains("it awaits review again"));
    browser.send(text, text, &[("do", "back")]).await;
    assert_eq!(browser.get(&plan).await.count(".pair"), 0, "the texts are those that were read");
    // A line that cannot be read could be a change: nothing is confirmed then, and the page says so.
    let file = clinic.app.dir.join(DOCUMENTS_HISTORY);
    fs::File::options().append(true).open(file).unwrap().write_all(b"{\"at\":\n").unwrap();
    assert!(browser.get(&plan).await.count(".pair") > 10);
    assert!(browser.get(path).await.text.contains("cannot be read"));
}

/// What was saved with an earlier version and cannot be used any more: the document is printed, and staff is told.
#[tokio::test]
async fn a_text_that_cannot_be_used_any_more_does_not_break_a_document() {
    let (clinic, mut browser, child) = with_child().await;
    let line = r#"{"at":"2025-03-01T09:00:00Z","key":"text.en.plan-title","from":"","to":"Plan { $gone }","value":"Plan { $gone }"}"#;
    fs::write(clinic.app.dir.join(DOCUMENTS_HISTORY), format!("{line}\n")).unwrap();
    let plan = browser.get(&format!("/child/{child}/documents/plan?lang=en")).await;
    assert_eq!((plan.status, plan.shown("h1").trim()), (StatusCode::OK, "Plan for Tuva"), "{}", plan.text);
    assert!(plan.shown(".staff-only").contains("“plan-title” cannot be used"), "{}", plan.text);
    let page = browser.get("/documents/languages").await;
    assert!(page.text.contains("the text of the program is printed in its place"), "{}", page.text);
}
