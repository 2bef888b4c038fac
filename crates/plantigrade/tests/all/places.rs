//! The places of a day and the days on which the clinic is closed: the same on every page on which a day is chosen.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, Page, TODAY};
use axum::http::StatusCode;
use record::{Body, ChildId, Day};

// 4 March 2025, the day of these tests, was a Tuesday. Closed: Friday 7 and Tuesday 11 March.
const CAPACITY: &str = "[cast_clinic]\ntuesday = 3\nwednesday = 2\nfriday = 4\n[brace_clinic]\nwednesday = 9\n\
    [[closures]]\nfrom = \"2025-03-07\"\nwhy = \"painting\"\n[[closures]]\nfrom = \"2025-03-11\"\n";
const CLOSED: &str = "2025-03-07";

/// A child expected today for a cast, in a clinic with saved places.
async fn expected() -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    std::fs::write(clinic.dir.path().join("capacity.toml"), CAPACITY).unwrap();
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/add/appointment-made");
    for day in [TODAY, "2025-03-12"] {
        let fields = [("for_day", day), ("purpose", "cast")];
        assert_eq!(browser.send(&path, &path, &fields).await.status, StatusCode::SEE_OTHER);
    }
    (clinic, browser, child)
}

fn offered(page: &Page, name: &str) -> Vec<String> {
    let html = page.html();
    let found = scraper::Selector::parse(&format!("input[name='{name}']")).unwrap();
    let values = html.select(&found).filter_map(|radio| radio.attr("value"));
    values.filter(|value| value.parse::<Day>().is_ok()).map(str::to_owned).collect()
}

fn made(clinic: &Clinic, child: ChildId) -> Vec<String> {
    let entries = clinic.entries(child);
    let made = entries.iter().filter_map(|entry| match &entry.body {
        Body::AppointmentMade(made) => Some(made.for_day.to_string()),
        _ => None,
    });
    made.collect()
}

fn appointment(clinic: &Clinic, child: ChildId) -> record::EntryId {
    let entries = clinic.entries(child);
    entries.iter().find(|entry| matches!(entry.body, Body::AppointmentMade(_))).unwrap().id
}

#[tokio::test]
async fn every_page_that_offers_days_counts_the_same_places_and_leaves_out_closed_days() {
    let (clinic, mut browser, child) = expected().await;
    let entry = appointment(&clinic, child);
    let call = browser.get(&format!("/child/{child}/call?follows={entry}")).await;
    let moved = browser.get(&format!("/child/{child}/appointment/{entry}/move")).await;
    let visit = browser.get(&format!("/child/{child}/visit")).await;
    for (page, name) in [(&call, "day"), (&moved, "day"), (&visit, "next.day")] {
        let days = offered(page, name);
        assert!(!days.is_empty(), "{}", page.text);
        assert!(!days.iter().any(|day| day == CLOSED || day == "2025-03-11"), "{days:?}");
    }
    // Of a Wednesday only the cast places count for a cast, not those for braces.
    for page in [&call, &moved] {
        assert!(page.text.contains("0 of 2 cast places booked"), "Wednesday 5 March: {}", page.text);
        assert!(!page.text.contains("of 11 "), "{}", page.text);
    }
    let day = browser.get("/day?on=2025-03-12").await;
    assert!(day.shown(".tally").contains("11 places"), "{}", day.shown(".tally"));
    let closed = browser.get(&format!("/day?on={CLOSED}")).await;
    assert!(closed.shown(".message").contains("The clinic is closed: painting."), "{}", closed.text);
    assert!(!closed.shown(".tally").contains("places"), "{}", closed.shown(".tally"));
}

/// Sends a form with a closed day, is asked, and sends the same again.
async fn asked_once(
    clinic: &Clinic,
    browser: &mut Browser,
    child: ChildId,
    page: &str,
    fields: &[(&str, &str)],
) {
    let before = made(clinic, child);
    let asked = browser.send(page, page, fields).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY, "{page}: {}", asked.text);
    let errors = asked.shown(".errors");
    assert!(errors.contains("On Friday 7 March 2025 the clinic is closed: painting."), "{page}: {errors}");
    assert_eq!(made(clinic, child), before, "{page}: nothing is saved");
    let values = asked.form(page);
    let pairs: Vec<(&str, &str)> = values.iter().map(|(name, value)| (&**name, &**value)).collect();
    let saved = browser.post(page, &pairs).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{page}: {}", saved.shown(".errors"));
    let after = made(clinic, child);
    assert_eq!((after.len(), after.last().map(String::as_str)), (before.len() + 1, Some(CLOSED)), "{page}");
}

#[tokio::test]
async fn an_appointment_on_a_closed_day_is_asked_about_once() {
    let (clinic, mut browser, child) = expected().await;
    let entry = appointment(&clinic, child);
    let pages = [
        (format!("/child/{child}/call"), [("reached", "yes"), ("day", "other"), ("other_day", CLOSED)]),
        (
            format!("/child/{child}/visit"),
            [("note", "seen"), ("next.day", "other"), ("next.other_day", CLOSED)],
        ),
        (
            format!("/child/{child}/add/appointment-made"),
            [("for_day", CLOSED), ("purpose", "cast"), ("time", "")],
        ),
    ];
    let moved = format!("/child/{child}/appointment/{entry}/move");
    asked_once(&clinic, &mut browser, child, &moved, &[("day", "other"), ("other_day", CLOSED)]).await;
    for (page, fields) in &pages {
        asked_once(&clinic, &mut browser, child, page, fields).await;
    }
}

/// A moved appointment, changed and sent again, is not reported as moved.
#[tokio::test]
async fn a_move_changed_after_it_was_saved_is_not_reported_as_saved() {
    let (clinic, mut browser, child) = expected().await;
    let path = format!("/child/{child}/appointment/{}/move", appointment(&clinic, child));
    let mut values = browser.get(&path).await.form(&path);
    for (to, status) in [
        ("2025-03-05", StatusCode::SEE_OTHER),
        ("2025-03-05", StatusCode::SEE_OTHER),
        ("2025-03-06", StatusCode::UNPROCESSABLE_ENTITY),
    ] {
        values.insert("day".to_owned(), to.to_owned());
        let pairs: Vec<(&str, &str)> = values.iter().map(|(name, value)| (&**name, &**value)).collect();
        let sent = browser.post(&path, &pairs).await;
        assert_eq!(sent.status, status, "{to}: {}", sent.shown(".errors"));
    }
    assert_eq!(made(&clinic, child).last().map(String::as_str), Some("2025-03-05"));
}
