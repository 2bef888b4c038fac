//! The letterhead over HTTP: lines, logo, history; printed on letters and documents.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, Page};
use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
use image::{ImageFormat, RgbImage};
use plantigrade::logo::Logo;
use std::{fs, io::Cursor};

const PAGE: &str = "/settings/letterhead";

fn picture() -> Vec<u8> {
    let mut bytes = Vec::new();
    RgbImage::new(300, 100).write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png).unwrap();
    bytes
}

async fn upload(browser: &mut Browser, csrf: &str, bytes: &[u8]) -> Page {
    let mut body = Vec::new();
    for (name, file, contents) in [("csrf", "", csrf.as_bytes()), ("file", "; filename=\"logo.png\"", bytes)]
    {
        body.extend_from_slice(
            format!("--edge\r\ncontent-disposition: form-data; name=\"{name}\"{file}\r\n\r\n").as_bytes(),
        );
        body.extend_from_slice(contents);
        body.extend_from_slice(b"\r\n");
    }
    body.extend_from_slice(b"--edge--\r\n");
    let request = Request::post("/settings/logo")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
        .header(header::CONTENT_LENGTH, body.len())
        .header("sec-fetch-site", "same-origin")
        .body(Body::from(body))
        .unwrap();
    browser.request(request).await
}

#[tokio::test]
async fn what_is_set_is_printed_and_kept_in_the_history() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [
        ("letter_lines", "4 Harbour Road\n\n  Wing B  \n"),
        ("letter_signature", "Clubfoot clinic"),
        ("people_to_talk_to", "Ana: 0155 20 18 45"),
    ];
    let saved = browser.send(PAGE, PAGE, &fields).await;
    assert_eq!(saved.location(), "/settings/letterhead?done=saved", "{}", saved.text);
    let csrf = browser.get(PAGE).await.form("/settings/logo")["csrf"].clone();
    let taken = upload(&mut browser, &csrf, &picture()).await;
    assert_eq!(taken.location(), "/settings/letterhead?done=logo", "{}", taken.text);
    assert_eq!(Logo::of_clinic(clinic.dir.path()).unwrap().size, (300, 100));
    let child = clinic.child(&mut browser, AMINA).await;
    for path in ["letters/referrer-letter", "documents/plan?lang=fr"] {
        let page = browser.get(&format!("/child/{child}/{path}")).await;
        let head = page.shown(".clinic-head");
        assert!(head.contains("4 Harbour Road") && head.contains("Wing B"), "{path}: {}", page.text);
        assert_eq!(page.count(".clinic-head img[src^='data:image/png;base64,']"), 1, "{path}");
    }
    let plan = browser.get(&format!("/child/{child}/documents/plan")).await;
    assert!(plan.shown("main").contains("Ana: 0155 20 18 45"));
    let history = browser.get("/settings/history").await.shown(".history");
    for words in ["4 Harbour Road", "300 × 100 pixels", "Ana: 0155 20 18 45", "ida of the clinic"] {
        assert!(history.contains(words), "{words}: {history}");
    }
    // The next start finds nothing that was changed by hand.
    let lines =
        || fs::read_to_string(clinic.dir.path().join("clinic.history.jsonl")).unwrap().lines().count();
    let before = lines();
    let page = browser.send(PAGE, PAGE, &fields).await;
    assert_eq!(page.location(), "/settings/letterhead?done=same");
    plantigrade::clinic_history::note_changes_by_hand(
        clinic.dir.path(),
        &clinic.app.settings(),
        clinic.app.clock,
    )
    .unwrap();
    assert_eq!(lines(), before);
    let removed = browser.send(PAGE, "/settings/logo/remove", &[]).await;
    assert_eq!(removed.location(), "/settings/letterhead?done=no-logo");
    assert_eq!(Logo::of_clinic(clinic.dir.path()), None);
}

#[tokio::test]
async fn what_is_no_logo_or_too_large_is_refused_with_a_sentence() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let csrf = browser.get(PAGE).await.form("/settings/logo")["csrf"].clone();
    let refused = upload(&mut browser, &csrf, b"<svg/>").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.shown("#f-logo-error").contains("neither a PNG nor a JPEG"), "{}", refused.text);
    // 30 MB: refused by its length, in words and as a page.
    let large = upload(&mut browser, &csrf, &vec![0; 30 << 20]).await;
    assert!(large.status.is_client_error() && large.text.contains("<h1"), "{}: {}", large.status, large.text);
    assert!(large.text.contains("MB"), "{}", large.text);
    let forged = upload(&mut browser, "0000", &picture()).await;
    assert!(forged.status.is_client_error(), "{}", forged.status);
    assert_eq!(Logo::of_clinic(clinic.dir.path()), None);
    let many = browser.send(PAGE, PAGE, &[("letter_lines", "1\n2\n3\n4\n5\n6\n7")]).await;
    assert_eq!(many.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(many.shown("#f-letter-lines-error").contains("At most 6 lines"), "{}", many.text);
    assert_eq!(clinic.app.settings().letterhead.lines, Vec::<String>::new());
}

/// The telephone is saved from the page of settings.
#[tokio::test]
async fn the_telephone_for_families_is_saved() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [("clinic_name", "Hillside"), ("days", "any"), ("telephone", "0155 20 18 44")];
    let saved = browser.send("/settings", "/settings", &fields).await;
    assert_eq!(saved.location(), "/settings?done=saved", "{}", saved.text);
    assert_eq!(clinic.app.settings().telephone.as_deref(), Some("0155 20 18 44"));
}
