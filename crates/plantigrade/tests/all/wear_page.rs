//! The wear page: diary, logger's file, and the wrong child.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, Page};
use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
use record::{Body as Entry, ChildId};
use std::fmt::Write;
use wear::simulated::Setup;

/// A week of an invented logger from 10 February 2025 on.
fn file() -> String {
    let logger = Setup { days: 7, gaps: 0.0, ..Setup::ordinary() }.logger(11);
    let mut text = "serial,time,temp C\n".to_owned();
    for (at, celsius) in logger.at_s.iter().zip(&logger.celsius) {
        let (day, rest) = (10 + at / 86_400, at % 86_400);
        writeln!(
            text,
            "K-4,2025-02-{day:02} {:02}:{:02}:{:02},{celsius}",
            rest / 3600,
            rest / 60 % 60,
            rest % 60
        )
        .unwrap();
    }
    text
}

async fn sent(browser: &mut Browser, child: ChildId, text: &str) -> Page {
    let path = format!("/child/{child}/wear");
    let csrf = browser.get(&path).await.form(&path)["csrf"].clone();
    let body = format!(
        "--edge\r\nContent-Disposition: form-data; name=\"csrf\"\r\n\r\n{csrf}\r\n--edge\r\nContent-Disposition: form-data; name=\"boot\"; filename=\"boot.csv\"\r\nContent-Type: text/csv\r\n\r\n{text}\r\n--edge--\r\n"
    );
    let request = Request::post(format!("{path}/logger"))
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
        .header("sec-fetch-site", "same-origin")
        .body(Body::from(body))
        .unwrap();
    browser.request(request).await
}

#[tokio::test]
async fn a_diary_is_saved_day_by_day_and_a_day_over_24_hours_goes_back() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/wear");
    let before = clinic.entries(child).len();
    let bad = browser.send(&path, &path, &[("hours.2025-02-24", "27"), ("hours.2025-02-25", "12")]).await;
    assert_eq!(bad.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        bad.text.contains("27 hours on 24 February 2025 cannot be right: a day has 24 hours"),
        "{}",
        bad.text
    );
    assert_eq!(clinic.entries(child).len(), before, "nothing is saved of a form with a fault");
    let fields = [("hours.2025-02-24", "11,5"), ("hours.2025-02-25", "0"), ("reason.2025-02-25", "fever")];
    let good = browser.send(&path, &path, &fields).await;
    assert!(good.status.is_success() || good.status.is_redirection(), "{}", good.text);
    let told: Vec<_> = clinic
        .entries(child)
        .iter()
        .filter_map(|entry| match &entry.body {
            Entry::WearReported(told) => {
                Some((told.from.to_string(), told.hours_per_day, told.reason.clone()))
            }
            _ => None,
        })
        .collect();
    let expected =
        [("2025-02-24".to_owned(), 11.5, None), ("2025-02-25".to_owned(), 0.0, Some("fever".to_owned()))];
    assert_eq!(told, expected);
}

#[tokio::test]
async fn a_loggers_file_is_looked_at_confirmed_and_refused_for_another_child() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let text = file();
    let looked = sent(&mut browser, child, &text).await;
    assert_eq!(looked.status, StatusCode::OK, "{}", looked.text);
    assert!(looked.text.contains("This logger was in the boots of Amina Vesterholt"), "{}", looked.text);
    let logged = |child| {
        let count = |entry: &&record::Entry| matches!(entry.body, Entry::WearLogged(_));
        clinic.entries(child).iter().filter(count).count()
    };
    assert_eq!(logged(child), 0, "nothing is written before it is confirmed");
    let to = format!("/child/{child}/wear/logged");
    let mut fields = looked.form(&to);
    fields.remove("right-child");
    let unsaid: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    browser.post(&to, &unsaid).await;
    assert_eq!(logged(child), 0, "nor without a word whose boots it was in");
    let mut said = unsaid.clone();
    said.push(("right-child", "yes"));
    browser.post(&to, &said).await;
    let days = logged(child);
    assert!((5..=7).contains(&days), "{days} days");
    browser.post(&to, &said).await;
    assert_eq!(logged(child), days, "a form sent twice counts once");

    let sure = [("family_name", "Ostwick"), ("given_name", "Tuva"), ("born", "2025-01-30"), ("sure", "yes")];
    let other = clinic.child(&mut browser, &sure).await;
    let refused = sent(&mut browser, other, &text).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        refused.text.contains("This file is already saved for another child: Amina Vesterholt"),
        "{}",
        refused.text
    );
    // The same logger over the same days, in another file.
    let shorter: String = text.lines().take(400).map(|line| format!("{line}\n")).collect();
    let refused = sent(&mut browser, other, &shorter).await;
    assert!(refused.text.contains("with some of the same days"), "{}", refused.text);
    assert_eq!(logged(other), 0);
    // Of the first child's entries only one day is left, and then none: the logger can be used for another child.
    let of_logger = |entry: &record::Entry| matches!(entry.body, Entry::WearLogged(_));
    let written: Vec<_> = clinic.entries(child).into_iter().filter(of_logger).collect();
    for (at, entry) in written.iter().enumerate() {
        let refused = sent(&mut browser, other, &text).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "withdrawn so far: {at}");
        let page = format!("/child/{child}/entry/{}", entry.id);
        let reason = [("withdraw_reason", "the boots of another child")];
        let gone = browser.send(&page, &format!("{page}/withdraw"), &reason).await;
        assert_eq!(gone.status, StatusCode::SEE_OTHER, "{}", gone.text);
    }
    let free = sent(&mut browser, other, &text).await;
    assert_eq!(free.status, StatusCode::OK, "{}", free.text);
    let odd = sent(&mut browser, child, "name,born\nAnna,2020-01-01\n").await;
    assert_eq!(odd.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(odd.text.contains("No row of the first 2 holds both"), "{}", odd.text);
}
