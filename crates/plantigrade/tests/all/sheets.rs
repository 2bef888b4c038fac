//! Blank sheets for a power cut: they have what the forms have, and a sheet entered later keeps both days.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Clinic, Page};
use axum::http::StatusCode;
use pages::{BlankSheet, fields};
use record::Kind;
use scraper::Selector;
use std::collections::BTreeSet;

fn on_sheet(page: &Page) -> BTreeSet<String> {
    let cells = Selector::parse("[data-field]").unwrap();
    let html = page.html();
    html.select(&cells)
        .filter_map(|cell| cell.value().attr("data-field"))
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Fields of the form that nobody fills in on paper: what the program needs, what a stock list offers, and the days
/// that it proposes.
const NOT_ON_PAPER: [&str; 10] =
    ["csrf", "seen", "once", "draft", "show", "discard", "confirm", "closed_seen", "next.day", "stock.take"];

#[tokio::test]
async fn the_visit_sheet_has_every_field_of_the_form_and_no_other() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let form = browser.get(&format!("/child/{child}/visit")).await;
    let inputs = Selector::parse("form.visit :is(input, select, textarea)").unwrap();
    let html = form.html();
    let of_form: BTreeSet<String> = html
        .select(&inputs)
        .filter_map(|input| input.value().attr("name"))
        .filter(|name| !NOT_ON_PAPER.contains(name) && !name.starts_with("next.purpose."))
        .map(str::to_owned)
        .collect();
    let sheet = browser.get("/sheets/visit").await;
    assert_eq!(sheet.status, StatusCode::OK);
    let on_sheet = on_sheet(&sheet);
    let missing: Vec<_> = of_form.difference(&on_sheet).collect();
    // Wear is asked only of a child in the brace, the label of a bar only of a clinic with a list of stock.
    let sometimes = ["wear.from", "wear.hours", "wear.reason", "stock.bar"];
    let more: Vec<_> =
        on_sheet.difference(&of_form).filter(|name| !sometimes.contains(&name.as_str())).collect();
    assert!(
        missing.is_empty() && more.is_empty(),
        "missing on the sheet: {missing:?}; not in the form: {more:?}"
    );
    assert!(of_form.len() > 60, "{}", of_form.len());
}

/// The order of the form: the first field of each part comes in the same order on the sheet.
#[tokio::test]
async fn the_visit_sheet_is_in_the_order_of_the_form() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let form = browser.get(&format!("/child/{child}/visit")).await.text;
    let sheet = browser.get("/sheets/visit").await.text;
    let names = [
        "right.lateral_border",
        "right.abduction_deg",
        "right.tenotomy",
        "right.cast",
        "right.dimeglio.equinus",
        "right.walking.pain",
        "right.relapse",
        "problem.note",
        "consent.matter",
        "next.other_day",
        "note",
    ];
    let places = |text: &str, attribute: &str| -> Vec<Option<usize>> {
        names.iter().map(|name| text.find(&format!("{attribute}=\"{name}\""))).collect()
    };
    let (in_form, on_sheet) = (places(&form, "name"), places(&sheet, "data-field"));
    let rises = |places: &[Option<usize>]| places.iter().all(Option::is_some) && places.is_sorted();
    assert!(rises(&in_form), "{names:?}: {in_form:?}");
    assert!(rises(&on_sheet), "{names:?}: {on_sheet:?}");
}

#[tokio::test]
async fn the_tenotomy_sheet_has_every_declared_field_of_each_foot() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let sheet = browser.get("/sheets/tenotomy").await;
    let there = on_sheet(&sheet);
    for kind in [Kind::TenotomyDone, Kind::CastApplied] {
        let declared = fields::of_kind(kind);
        assert!(declared.len() > 4, "{kind:?}");
        for field in declared.iter().filter(|field| field.name != fields::SIDE) {
            for side in record::Side::BOTH {
                let name = format!("{side}.{}.{}", kind.wire(), field.name);
                assert!(there.contains(&name), "{name}: {there:?}");
            }
            assert!(sheet.text.contains(&*field.label), "{}", field.label);
        }
    }
}

/// A sheet of an earlier day, entered today: the entry has both days, and its page shows both.
#[tokio::test]
async fn a_sheet_entered_later_keeps_the_day_of_the_visit_and_the_day_of_writing() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/visit");
    let fields = [("on", "2025-02-27"), ("left.abduction_deg", "20")];
    let saved = browser.send(&path, &path, &fields).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let entries = clinic.entries(child);
    let entry = entries.iter().find(|entry| entry.kind() == Kind::Assessment).unwrap();
    assert_eq!(entry.on.to_string(), "2025-02-27");
    let page = browser.get(&format!("/child/{child}/entry/{}", entry.id)).await;
    let whole = page.shown("main");
    assert!(whole.contains("27 February 2025") && whole.contains("4 March 2025"), "{whole}");
    assert_eq!(BlankSheet::from_key("visit"), Some(BlankSheet::Visit));
    assert_eq!(browser.get("/sheets/wish-list").await.status, StatusCode::NOT_FOUND);
}
