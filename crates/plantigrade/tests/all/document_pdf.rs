//! Documents for families as PDF over HTTP.

use crate::{clinic::Clinic, documents::in_casts};
use axum::http::{StatusCode, header};
use letters::{FamilyDocumentKind, Language};

/// Width and height of the first page, in points, as the file states them.
pub fn media_box(pdf: &str) -> &str {
    let (_, from) = pdf.split_once("/MediaBox").unwrap_or_else(|| panic!("no page in {pdf}"));
    from.split(']').next().unwrap()
}

#[tokio::test]
async fn a_document_is_shown_as_a_file_that_names_no_child() {
    let (_clinic, mut browser, child) = in_casts().await;
    let path = format!("/child/{child}/documents/plan/pdf?lang=en&forecast=on");
    let file = browser.get(&path).await;
    assert_eq!(file.status, StatusCode::OK, "{path}: {}", file.text);
    assert!(file.text.starts_with("%PDF-1.7"), "{path}");
    assert_eq!(file.headers[header::CONTENT_TYPE], "application/pdf");
    assert_eq!(file.headers[header::CONTENT_DISPOSITION], "inline; filename=\"plan-en.pdf\"");
    assert_eq!(file.headers[header::CACHE_CONTROL], "no-store");
    // A translation that nobody has confirmed never stands alone, and a PDF has no room for two languages.
    for language in Language::ALL.into_iter().filter(|language| language.awaits_review()) {
        let path = format!("/child/{child}/documents/plan/pdf?lang={}", language.tag());
        let refused = browser.get(&path).await;
        assert!(refused.status.is_client_error(), "{path}: {}", refused.status);
        assert!(refused.text.contains("This translation awaits review"), "{path}: {}", refused.text);
    }
    // It is offered where there is one, and nowhere else.
    for (tag, offered) in [("en", true), ("sw", false)] {
        let list = browser.get(&format!("/child/{child}/documents?lang={tag}")).await;
        assert_eq!(list.text.contains(&format!("/documents/plan/pdf?lang={tag}")), offered, "{tag}");
        assert!(!list.text.contains("/documents/wear-diary/pdf"), "{tag}");
        let page = browser.get(&format!("/child/{child}/documents/plan?lang={tag}&forecast=on")).await;
        let link = format!("/documents/plan/pdf?lang={tag}&amp;forecast=on");
        assert_eq!(page.text.contains(&link), offered, "{tag}");
    }
}

#[tokio::test]
async fn what_is_not_made_as_a_page_is_not_made_as_a_file() {
    let (_clinic, mut browser, child) = in_casts().await;
    for path in ["diploma/pdf", "plan/pdf?lang=xx", "plan/pdf?paper=a3"] {
        let page = browser.get(&format!("/child/{child}/documents/{path}")).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{path}");
    }
    let key = FamilyDocumentKind::BraceSheet.key();
    let page = browser.get(&format!("/child/{child}/documents/{key}")).await;
    let file = browser.get(&format!("/child/{child}/documents/{key}/pdf")).await;
    assert_eq!(file.status, page.status);
    assert!(file.status.is_client_error() && file.text.contains("No brace is recorded"), "{}", file.text);
}

/// A name in a script without a typeface: the page leads to the document that can be read and printed.
#[tokio::test]
async fn a_name_that_cannot_be_printed_is_refused_in_words() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [("family_name", "小雨"), ("number", "CF-8"), ("sides", "left")];
    let child = clinic.child(&mut browser, &fields).await;
    let file = browser.get(&format!("/child/{child}/documents/plan/pdf")).await;
    if file.text.contains("No affected foot") {
        panic!("the child has no foot: {}", file.text);
    }
    assert!(file.status.is_client_error(), "{}", file.status);
    assert!(file.text.contains("Open the document as a page instead"), "{}", file.text);
    let page = browser.get(&format!("/child/{child}/documents/plan")).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.shown("h1").contains("小雨"), "{}", page.text);
}

#[tokio::test]
async fn the_paper_is_that_of_the_clinic_unless_another_is_named() {
    let (_clinic, mut browser, child) = in_casts().await;
    let path = format!("/child/{child}/documents/plan/pdf");
    assert!(media_box(&browser.get(&path).await.text).contains("841.8"), "A4 is 841.89 points high");
    let fields = [
        ("clinic_name", "Hillside"),
        ("days", "any"),
        ("idle_minutes", "20"),
        ("paper", "letter"),
        ("telephone", "0155 20 18 44"),
    ];
    let saved = browser.send("/settings", "/settings", &fields).await;
    assert_eq!(saved.location(), "/settings?done=saved", "{}", saved.text);
    let file = browser.get(&path).await;
    assert!(media_box(&file.text).contains("612 792"), "{}", media_box(&file.text));
    assert!(media_box(&browser.get(&format!("{path}?paper=a4")).await.text).contains("841.8"));
    let page = browser.get(&format!("/child/{child}/documents/plan")).await;
    assert!(page.text.contains("0155 20 18 44"), "the telephone is saved too");
    let history = browser.get("/settings/history").await;
    assert!(history.shown(".history").contains("US Letter"), "{}", history.text);
}
