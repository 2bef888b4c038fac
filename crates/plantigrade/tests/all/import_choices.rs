//! What a sheet means is chosen in the preview: planned again, saved for the next sheet, never taken unseen.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{Browser, Clinic, Page},
    importing::{csrf, upload},
};
use axum::http::{StatusCode, header};
use plantigrade::{importing::UploadedSheet, saved_maps};
use std::collections::BTreeMap;

/// Two visits; the score is under an unknown heading.
const SHEET: &str = "\
Hosp No,Name,DOB,Sex,Visit,Side,Quorl,Cast no
711,\"Brannock, Lio\",23/01/2025,M,13/02/2025,R,5.5,1
711,\"Brannock, Lio\",23/01/2025,M,20/02/2025,R,4.5,2
";
const HEADINGS: [&str; 8] = ["Hosp No", "Name", "DOB", "Sex", "Visit", "Side", "Quorl", "Cast no"];
/// The place of the column “Quorl”.
const SCORE: &str = "meaning-6";

type Form = BTreeMap<String, String>;

async fn preview(browser: &mut Browser) -> Page {
    let csrf = csrf(browser).await;
    let page = upload(browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    page
}

fn with(form: &Form, name: &str, value: &str) -> Form {
    let mut form = form.clone();
    form.insert(name.to_owned(), value.to_owned());
    form
}

async fn send(browser: &mut Browser, path: &str, form: &Form) -> Page {
    let fields: Vec<(&str, &str)> =
        form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    browser.post(path, &fields).await
}

/// Chooses and follows to the page that shows it.
async fn settle(browser: &mut Browser, form: &Form) -> Page {
    let page = send(browser, "/import/settle", form).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let place = page.location().to_owned();
    browser.get(&place).await
}

/// The totals on record.
fn totals(clinic: &Clinic) -> Vec<String> {
    let mut found = Vec::new();
    for id in clinic.app.records.by_number("711").unwrap() {
        for entry in clinic.entries(id) {
            if let record::Body::Assessment(body) = &entry.body {
                found.push(format!("{} {:?}", entry.on, body.stated_total));
            }
        }
    }
    found
}

#[tokio::test]
async fn a_chosen_meaning_is_planned_imported_saved_and_used_again() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let page = preview(&mut browser).await;
    let form = page.form("/import/confirm");
    assert_eq!(form[SCORE], "", "a heading that nobody can know was guessed");
    assert_eq!(page.shown("dl.counts div:last-child dd"), "0", "assessments before the choice");

    let page = settle(&mut browser, &with(&form, SCORE, "total")).await;
    assert_eq!(page.shown("dl.counts div:last-child dd"), "2", "assessments after the choice: {}", page.text);
    let form = page.form("/import/confirm");
    assert_eq!(form[SCORE], "total");
    assert!(form.contains_key("foot-6") && form.contains_key("coding-6"), "{form:?}");

    let headings = HEADINGS.map(str::to_owned);
    assert_eq!(saved_maps::find(clinic.dir.path(), &headings).unwrap(), None, "saved before the import");
    let done = send(&mut browser, "/import/confirm", &form).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    assert!(done.text.contains("Your choices are saved"), "{}", done.text);
    assert_eq!(totals(&clinic).len(), 2, "{:?}", totals(&clinic));
    let late = send(&mut browser, "/import/settle", &with(&form, SCORE, "ignore")).await;
    assert!(late.text.contains("imported already"), "{}", late.text);

    let page = preview(&mut browser).await;
    assert!(page.text.contains("The choices that this clinic saved"), "{}", page.text);
    assert!(page.text.contains("nothing new in this file"), "{}", page.text);
    let form = page.form("/import/forget");
    let forgotten = send(&mut browser, "/import/forget", &form).await;
    let place = forgotten.location().to_owned();
    let page = browser.get(&place).await;
    assert!(!page.text.contains("The choices that this clinic saved"), "{}", page.text);
    assert_eq!(page.form("/import/confirm")[SCORE], "");
    assert_eq!(saved_maps::find(clinic.dir.path(), &headings).unwrap(), None);
}

/// Saved choices that cannot be used are not passed over in silence.
#[tokio::test]
async fn saved_choices_that_do_not_fit_or_cannot_be_read_are_named() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let headings = HEADINGS.map(str::to_owned);
    let plain = preview(&mut browser).await.form("/import/confirm");
    for (map, words) in [
        ("[columns]\n\"No such heading\" = \"total\"\n", "do not fit this file"),
        ("columns = [", "cannot be read"),
    ] {
        saved_maps::save(clinic.dir.path(), &headings, map, "3 May 2024").unwrap();
        let page = preview(&mut browser).await;
        assert!(page.text.contains(words), "{map}: {}", page.text);
        assert!(!page.text.contains("for sheets with these headings are used"), "{map}: {}", page.text);
        assert_eq!(page.form("/import/confirm")[SCORE], plain[SCORE], "{map}");
    }
}

#[tokio::test]
async fn a_column_that_looks_like_a_score_is_left_out_only_by_a_tick() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let form = preview(&mut browser).await.form("/import/confirm");
    let held = send(&mut browser, "/import/confirm", &form).await;
    assert_eq!(held.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", held.text);
    assert!(held.shown(".held-back").contains("Quorl"), "{}", held.shown(".held-back"));
    assert!(held.shown(".field-error").contains("Not imported"), "{}", held.text);
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);

    let html = held.html();
    let ticks = scraper::Selector::parse(".held-back input[type=checkbox]").unwrap();
    let mut form = held.form("/import/confirm");
    for tick in html.select(&ticks) {
        form.insert(tick.attr("name").unwrap().to_owned(), "yes".to_owned());
    }
    let done = send(&mut browser, "/import/confirm", &form).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    assert_eq!(clinic.app.records.children_count().unwrap(), 1);
    assert!(totals(&clinic).is_empty(), "{:?}", totals(&clinic));
    assert!(!done.text.contains("Your choices are saved"), "a tick is for this time only");
}

#[tokio::test]
async fn what_was_chosen_and_not_shown_is_never_imported() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let shown = preview(&mut browser).await.form("/import/confirm");
    // The menu is changed and Import pressed at once, without a script.
    let page = send(&mut browser, "/import/confirm", &with(&shown, SCORE, "total")).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("Nothing is imported yet"), "{}", page.text);
    assert_eq!(page.form("/import/confirm")[SCORE], "total");
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);

    // The page of before, still open in another window, no longer counts.
    for path in ["/import/settle", "/import/confirm"] {
        let stale = send(&mut browser, path, &with(&shown, SCORE, "ignore")).await;
        assert_eq!(stale.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        assert!(stale.text.contains("changed meanwhile"), "{path}: {}", stale.text);
        assert_eq!(stale.form("/import/confirm")[SCORE], "total", "{path}");
    }
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);
}

#[tokio::test]
async fn what_no_menu_offers_is_not_taken() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let form = preview(&mut browser).await.form("/import/confirm");
    for (name, value) in
        [(SCORE, "shoe_size"), ("foot-5", "middle"), ("header_row", "90"), ("answer:nothing", "x")]
    {
        let page = send(&mut browser, "/import/settle", &with(&form, name, value)).await;
        let taken = page.status == StatusCode::SEE_OTHER;
        // The column of sides has no menu of feet, so the choice of its foot is ignored.
        assert!(!taken || name == "foot-5", "{name}={value} was taken");
        if !taken {
            assert!(page.text.contains("Not taken"), "{name}: {}", page.text);
            assert_eq!(page.form("/import/confirm")[SCORE], "");
        }
    }
}

#[tokio::test]
async fn the_map_file_says_to_the_command_what_was_chosen_on_the_page() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let form = preview(&mut browser).await.form("/import/confirm");
    let form = with(&with(&form, SCORE, "total"), "order-4", "day first");
    let page = settle(&mut browser, &form).await;
    let token = page.form("/import/confirm")["token"].clone();
    let map = browser.get(&format!("/import/map?token={token}")).await;
    assert!(map.headers[header::CONTENT_DISPOSITION].to_str().unwrap().contains("sheet-map.toml"));
    let sheet =
        UploadedSheet::read(SHEET.as_bytes(), "visits.csv", Some(("sheet-map.toml", &map.text))).unwrap();
    let score = &sheet.map.columns[6];
    assert_eq!(score.meaning, Some(exchange::Meaning::Total), "{}", map.text);
    assert_eq!(sheet.map.date_order, Some(exchange::DateOrder::DayFirst), "{}", map.text);
}

#[tokio::test]
async fn nobody_sees_or_changes_the_plan_of_another_person() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let form = preview(&mut browser).await.form("/import/confirm");
    clinic.account("bo", "another pass phrase");
    let mut other = Browser::new(clinic.router.clone());
    other.sign_in("bo", "another pass phrase").await;
    let theirs = with(&with(&form, "csrf", &csrf(&mut other).await), SCORE, "total");
    for path in ["/import/settle", "/import/forget", "/import/confirm"] {
        assert_eq!(send(&mut other, path, &theirs).await.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
    }
    for path in ["/import/look", "/import/map", "/import/refused"] {
        let page = other.get(&format!("{path}?token={}", form["token"])).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
    }
    let page = browser.get(&format!("/import/look?token={}", form["token"])).await;
    assert_eq!(page.form("/import/confirm")[SCORE], "");
}
