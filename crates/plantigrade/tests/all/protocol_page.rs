//! The protocol as a page: a changed value moves the next steps at once, its history says who changed it, and what is
//! not permitted is refused beside its field.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, Page, TODAY, day};
use axum::http::StatusCode;
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
};
use std::fs;

const RANGE: &str = "/protocol/value/casting.interval_range_days";

async fn change(browser: &mut Browser, path: &str, fields: &[(&str, &str)]) -> Page {
    browser.send(path, path, fields).await
}

/// A child with a first cast of today.
async fn in_cast() -> (Clinic, Browser, String) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let visit = format!("/child/{child}/visit");
    let fields = [("right.cast", "correction"), ("left.cast", "correction")];
    let saved = browser.send(&visit, &visit, &fields).await;
    assert!(saved.status.is_redirection(), "{}", saved.text);
    (clinic, browser, format!("/child/{child}"))
}

#[tokio::test]
async fn a_changed_value_moves_the_next_steps_and_its_history_says_who_did_it() {
    let (clinic, mut browser, child) = in_cast().await;
    // Cast on 4 March 2025; the next is due after 5 to 10 days, and after 6 to 8.
    assert!(browser.get(&child).await.shown(".child-next").contains("9–14 March 2025"));
    let overdue = "/attention";
    browser.get(overdue).await;
    let fields = [("value", "6"), ("value_to", "8"), ("why", "Weekly clinic"), ("do", "save")];
    let saved = change(&mut browser, RANGE, &fields).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let shown = browser.get(&child).await.shown(".child-next");
    assert!(shown.contains("10–12 March 2025") && !shown.contains("9–14"), "{shown}");
    let page = browser.get(RANGE).await;
    for words in ["6–8 days", "5–10 days", "ida of the clinic", "Weekly clinic"] {
        assert!(page.shown(".history").contains(words), "{words}: {}", page.text);
    }
    let all = browser.get("/protocol/history").await;
    assert!(all.shown(".history").contains("The next cast is due between"), "{}", all.text);
    assert!(browser.get("/protocol").await.shown(".changed").contains("6–8 days"));
    let text = fs::read_to_string(clinic.dir.path().join("protocol.toml")).unwrap();
    assert!(text.contains("interval_range_days = [6, 8]"), "{text}");
    assert!(clinic.app.records.verify().unwrap().is_sound(), "the saved lists follow it");
    let back = change(&mut browser, RANGE, &[("do", "back"), ("why", "As published")]).await;
    assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.text);
    assert!(browser.get(&child).await.shown(".child-next").contains("9–14 March 2025"));
    assert_eq!(browser.get(RANGE).await.count(".history tbody tr"), 2);
    // A start finds the same, and nothing that was changed by hand.
    let Clinic { app, router, dir } = clinic;
    drop((app, router, browser));
    let app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    assert_eq!(*app.protocol(), guidance::Protocol::built_in());
    let lines = fs::read_to_string(dir.path().join("protocol.history.jsonl")).unwrap();
    assert_eq!(lines.lines().count(), 2, "{lines}");
}

#[tokio::test]
async fn what_is_not_permitted_is_refused_beside_its_field_with_the_range() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    for (path, fields, field, said) in [
        (
            RANGE,
            &[("value", "6"), ("value_to", "30"), ("why", "x")][..],
            "value",
            "6–30 days is outside the permitted range, 2–21 days.",
        ),
        (RANGE, &[("value", "8"), ("value_to", "6"), ("why", "x")], "value", "the smaller first"),
        (RANGE, &[("value", "8"), ("value_to", "9"), ("why", "x")], "value", "must lie within"),
        (RANGE, &[("value", "6"), ("value_to", "8"), ("why", " ")], "why", "Give the reason"),
        (RANGE, &[("value", "5"), ("value_to", "10"), ("why", "x")], "value", "It is 5–10 days already."),
        (
            "/protocol/value/scoring.worse_points",
            &[("value", "1.25"), ("why", "x")],
            "value",
            "in steps of a half",
        ),
        (
            "/protocol/value/bracing.early_reviews_weeks",
            &[("value", "6, 2"), ("why", "x")],
            "value",
            "each larger than the last",
        ),
        ("/protocol/value/bracing.outgrown_rule", &[("value", "any"), ("why", "x")], "value", "Unknown rule"),
    ] {
        let refused = change(&mut browser, path, fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{path} {fields:?}");
        let error = refused.shown(&format!("#f-{field}-error"));
        assert!(error.contains(said), "{path} {fields:?}: {error}");
    }
    assert_eq!(*clinic.app.protocol(), guidance::Protocol::built_in());
    assert!(!clinic.dir.path().join("protocol.toml").exists());
    assert!(!clinic.dir.path().join("protocol.history.jsonl").exists());
    let unknown = browser.get("/protocol/value/casting.no_such_value").await;
    assert_eq!(unknown.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn every_value_can_be_changed_on_its_page_and_back() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let page = browser.get("/protocol").await;
    assert!(page.text.len() < 150_000, "{} bytes", page.text.len());
    let built_in = clinic.app.protocol();
    assert_eq!(page.count("a.change-value"), built_in.settings.len());
    for setting in &built_in.settings {
        let path = format!("/protocol/value/{}", setting.key);
        let page = browser.get(&path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        // The form holds the value in force: sent as it is, it is read as that value.
        let same = change(&mut browser, &path, &[("why", "x")]).await;
        assert!(
            same.shown("#f-value-error").contains("already."),
            "{path}: {}",
            same.shown("#f-value-error")
        );
    }
}

#[tokio::test]
async fn the_second_of_two_people_sees_the_newer_value_first() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let open = browser.get(RANGE).await.form(RANGE);
    let fields = [("value", "6"), ("value_to", "8"), ("why", "Weekly clinic")];
    change(&mut browser, RANGE, &fields).await;
    let mut sent = open;
    sent.extend([("value".to_owned(), "7".to_owned()), ("why".to_owned(), "Later".to_owned())]);
    let sent: Vec<(&str, &str)> = sent.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let newer = browser.post(RANGE, &sent).await;
    assert_eq!(newer.status, StatusCode::UNPROCESSABLE_ENTITY);
    let told = newer.shown(".look");
    assert!(told.contains("ida of the clinic changed this to “6–8 days”"), "{told}");
    assert_eq!(clinic.app.protocol().cast_interval_range_days.to_string(), "6–8");
    let form = newer.form(RANGE);
    assert_eq!((form["value"].as_str(), form["why"].as_str()), ("7", "Later"), "what was typed is kept");
    let again: Vec<(&str, &str)> = form.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    assert_eq!(browser.post(RANGE, &again).await.status, StatusCode::SEE_OTHER);
    assert_eq!(clinic.app.protocol().cast_interval_range_days.to_string(), "7–10");
}

#[tokio::test]
async fn a_value_changed_in_the_file_while_the_program_runs_is_not_written_over() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let file = clinic.dir.path().join("protocol.toml");
    fs::write(&file, "[casting]\nmax_days = 99\n").unwrap();
    let fields = [("value", "6"), ("value_to", "8"), ("why", "Weekly clinic")];
    let refused = change(&mut browser, RANGE, &fields).await;
    assert!(refused.text.contains("was changed and cannot be used: line 2"), "{}", refused.text);
    fs::write(&file, "# By hand.\n[casting]\nmax_days = 20\n").unwrap();
    assert_eq!(change(&mut browser, RANGE, &fields).await.status, StatusCode::SEE_OTHER);
    let protocol = clinic.app.protocol();
    assert_eq!((protocol.cast_max_days, protocol.cast_interval_range_days.high), (20, 8));
    let history = browser.get("/protocol/history").await;
    let rows = history.shown(".history tbody tr");
    assert!(rows.contains("changed in the file") && rows.contains("20 days"), "{rows}");
    assert!(fs::read_to_string(&file).unwrap().starts_with("# By hand.\n"));
}

/// No change without its line, and no line without its change.
#[tokio::test]
async fn a_change_that_cannot_be_written_is_not_made() {
    let (clinic, mut browser, child) = in_cast().await;
    let page = browser.get(RANGE).await;
    let mut fields = page.form(RANGE);
    fields.extend([("value".to_owned(), "6".to_owned()), ("why".to_owned(), "x".to_owned())]);
    // A folder in the place of the earlier version: the file cannot be kept.
    fs::write(clinic.dir.path().join("protocol.toml"), "").unwrap();
    fs::create_dir(clinic.dir.path().join("protocol.before.toml")).unwrap();
    let sent: Vec<(&str, &str)> = fields.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let failed = browser.post(RANGE, &sent).await;
    assert_eq!(failed.status, StatusCode::INTERNAL_SERVER_ERROR, "{}", failed.text);
    assert_eq!(*clinic.app.protocol(), guidance::Protocol::built_in());
    assert!(browser.get(&child).await.shown(".child-next").contains("9–14 March 2025"));
    assert_eq!(
        browser.get("/protocol/history").await.count(".history tbody tr"),
        0,
        "no line without a change"
    );
}
