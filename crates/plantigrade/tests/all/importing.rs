//! A file brought in through the page: looked at, confirmed, never twice.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, Page};
use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};

/// Two visits of one invented child, one of another, and one row with a score that cannot be.
pub const SHEET: &str = "\
Hosp No,Name,DOB,Sex,Visit,Side,PC,EH,RE,MC,CLB,LHT,Total,Cast no
701,\"Brannock, Lio\",23/01/2025,M,13/02/2025,R,1,1,1,1,1,1,6,1
701,\"Brannock, Lio\",23/01/2025,M,20/02/2025,R,1,0.5,1,0.5,1,0.5,4.5,2
702,\"Ostwick, Tuva\",30/01/2025,F,20/02/2025,L,0.5,0.5,1,1,1,0.5,4.5,1
702,\"Ostwick, Tuva\",30/01/2025,F,27/02/2025,L,0.7,0.5,1,1,1,0.5,4.5,2
";

pub async fn upload(browser: &mut Browser, csrf: &str, name: &str, bytes: &[u8]) -> Page {
    let mut body = format!("--edge\r\nContent-Disposition: form-data; name=\"csrf\"\r\n\r\n{csrf}\r\n--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\nContent-Type: text/csv\r\n\r\n").into_bytes();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    let request = Request::post("/import")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
        .header("sec-fetch-site", "same-origin")
        .body(Body::from(body))
        .unwrap();
    browser.request(request).await
}

pub async fn csrf(browser: &mut Browser) -> String {
    browser.get("/import").await.form("/import")["csrf"].clone()
}

#[tokio::test]
async fn a_file_is_looked_at_then_confirmed_and_a_second_time_adds_nothing() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let csrf = csrf(&mut browser).await;
    let page = upload(&mut browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(
        page.text.contains("nothing is saved yet") && page.text.contains("Import 3 rows"),
        "{}",
        page.text
    );
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);

    let form = page.form("/import/confirm");
    let token = form["token"].clone();
    let fields: Vec<(&str, &str)> =
        form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let done = browser.post("/import/confirm", &fields).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    assert_eq!(clinic.app.records.children_count().unwrap(), 2);
    let entries = clinic.app.records.entries_count().unwrap();
    let again = browser.post("/import/confirm", &fields).await;
    assert_eq!(again.status, StatusCode::OK);
    assert_eq!(clinic.app.records.entries_count().unwrap(), entries, "a second confirmation adds nothing");

    let page = upload(&mut browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    assert!(page.text.contains("nothing new in this file"), "{}", page.text);

    let refused = browser.get(&format!("/import/refused?token={token}")).await;
    assert_eq!(refused.status, StatusCode::OK);
    assert!(
        refused.text.contains("0.7")
            && refused.text.contains("Ostwick")
            && !refused.text.contains("Brannock"),
        "{}",
        refused.text
    );
}

#[tokio::test]
async fn a_plan_is_for_whoever_made_it() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let mine = csrf(&mut browser).await;
    let token =
        upload(&mut browser, &mine, "visits.csv", SHEET.as_bytes()).await.form("/import/confirm")["token"]
            .clone();
    clinic.account("bo", "another pass phrase");
    let mut other = Browser::new(clinic.router.clone());
    other.sign_in("bo", "another pass phrase").await;
    let theirs = csrf(&mut other).await;
    let page = other.post("/import/confirm", &[("csrf", &theirs), ("token", &token)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(
        other.get(&format!("/import/refused?token={token}")).await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);
}

#[tokio::test]
async fn what_is_no_sheet_gets_one_sentence() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let csrf = csrf(&mut browser).await;
    for (name, bytes) in [
        ("empty.csv", &b""[..]),
        ("picture.xlsx", &b"\x89PNG\r\n\x1a\n not a workbook"[..]),
        ("visits.ods", &b"\x00\x01 nothing of the kind"[..]),
    ] {
        let page = upload(&mut browser, &csrf, name, bytes).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}: {}", page.text);
        assert!(page.shown(".field-error").contains(name), "{name}: {}", page.shown(".field-error"));
    }
    let page = upload(&mut browser, &csrf, "", b"").await;
    assert!(page.shown(".field-error").contains("No file was chosen"), "{}", page.text);
    assert_eq!(
        upload(&mut browser, "wrong", "visits.csv", SHEET.as_bytes()).await.status,
        StatusCode::FORBIDDEN
    );
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);
}

#[tokio::test]
async fn a_file_beyond_the_limit_is_refused_with_the_limit() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let csrf = csrf(&mut browser).await;
    let page = upload(&mut browser, &csrf, "visits.csv", &vec![b'a'; (64 << 20) + 1]).await;
    assert_eq!(page.status, StatusCode::PAYLOAD_TOO_LARGE, "{}", page.text);
    assert!(page.text.contains("64 MB"), "{}", page.text);
}

/// The command takes it; the page, which holds plans in memory, names the limit and the way out.
#[tokio::test]
async fn a_file_of_more_rows_than_a_page_may_hold_is_refused_with_the_way_out() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let csrf = csrf(&mut browser).await;
    // 25,000 rows with remarks of 2,000 letters are 50 MB: more than the page's 40, less than the file's 64.
    let row = format!("000701,Ole By,2024-01-05,2024-02-01,R,5,cast,{}\n", "x".repeat(2_000));
    let sheet = format!("Hosp No,Name,DOB,Date,Side,Total,Done,Notes\n{}", row.repeat(25_000));
    let page = upload(&mut browser, &csrf, "visits.csv", sheet.as_bytes()).await;
    let error = page.shown(".field-error");
    assert!(error.contains("visits.csv has 25000 rows"), "{error}");
    assert!(error.contains("plantigrade import FILE"), "{error}");
}

#[tokio::test]
async fn an_import_is_undone_on_its_page_with_a_reason() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let csrf = csrf(&mut browser).await;
    let page = upload(&mut browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    let form = page.form("/import/confirm");
    let fields: Vec<(&str, &str)> =
        form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    browser.post("/import/confirm", &fields).await;
    let archive = &clinic.app.records;
    let [import] = &archive.past_imports().unwrap()[..] else { panic!("one import") };
    let (path, entries) = (format!("/import/past/{}", import.id), archive.entries_count().unwrap());
    assert_eq!((import.file.as_str(), import.entries, import.children), ("visits.csv", entries, 2));
    let list = browser.get("/import/past").await;
    assert!(list.text.contains("visits.csv") && list.text.contains(&path), "{}", list.text);

    let form = browser.get(&path).await;
    assert!(form.text.contains(&format!("Withdraw {entries} entries")), "{}", form.text);
    let refused = browser.post(&path, &[("csrf", &csrf), ("reason", "  ")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.shown(".field-error").contains("A reason is needed"), "{}", refused.text);
    let without = browser.post(&path, &[("reason", "wrong file")]).await;
    assert_eq!(without.status, StatusCode::FORBIDDEN);
    assert_eq!(archive.children_count().unwrap(), 2);

    for _ in 0..2 {
        let done = browser.post(&path, &[("csrf", &csrf), ("reason", "wrong file")]).await;
        assert_eq!((done.status, done.location()), (StatusCode::SEE_OTHER, path.as_str()));
    }
    assert_eq!((archive.children_count().unwrap(), archive.entries_count().unwrap()), (0, 2 * entries));
    let after = browser.get(&path).await;
    assert!(after.text.contains("It was undone") && after.text.contains("wrong file"), "{}", after.text);
    assert!(!browser.get("/find").await.text.contains("Brannock"));

    let page = upload(&mut browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    assert!(page.text.contains("Import 3 rows"), "{}", page.text);
    let nobody = browser.get("/import/past/01907e2a-0000-7000-8000-0000000000e1").await;
    assert_eq!(nobody.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn very_many_children_who_may_be_the_same_come_in_parts() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let csrf = csrf(&mut browser).await;
    let mut sheet = "Hosp No,Name,DOB,Visit,Side,Total\n".to_owned();
    for number in 0..120 {
        let pair = number / 2;
        let born = format!("2024-{:02}-{:02}", pair / 28 + 1, pair % 28 + 1);
        sheet += &format!("P{number},Lio Twin{pair:02}x,{born},2025-02-13,R,4\n");
    }
    let page = upload(&mut browser, &csrf, "twins.csv", sheet.as_bytes()).await;
    let token = page.form("/import/confirm")["token"].clone();
    let count = |text: &str| text.matches("They are kept apart until a person decides").count();
    assert_eq!(count(&page.text), 50 + 60, "fifty pairs, and the rows that name them");
    let second = browser.get(&format!("/import/pairs?token={token}&part=2")).await;
    assert_eq!((second.status, count(&second.text)), (StatusCode::OK, 10));
    assert!(second.text.contains("pairs 51 to 60 of 60"), "{}", second.text);
    let beyond = browser.get(&format!("/import/pairs?token={token}&part=9")).await;
    assert_eq!(count(&beyond.text), 10);
    // Joined they can be once they are imported, and not before.
    assert_eq!(page.count(".pairs a[href*='/join/']") + second.count(".pairs a[href*='/join/']"), 0);
    let form = page.form("/import/confirm");
    let fields: Vec<(&str, &str)> = form.iter().map(|(name, value)| (&**name, &**value)).collect();
    let done = browser.post("/import/confirm", &fields).await;
    assert_eq!(done.count(".pairs a[href*='/join/']"), 50, "{}", done.text);
    let html = done.html();
    let join = html.select(&scraper::Selector::parse(".pairs a[href*='/join/']").unwrap()).next().unwrap();
    let joined = browser.get(join.attr("href").unwrap()).await;
    assert_eq!(joined.status, StatusCode::OK, "{}", joined.text);
    assert!(joined.text.contains("P0") && joined.text.contains("P1"), "{}", joined.shown("h1"));
    let second = browser.get(&format!("/import/pairs?token={token}&part=2")).await;
    assert_eq!(second.count(".pairs a[href*='/join/']"), 10);
}
