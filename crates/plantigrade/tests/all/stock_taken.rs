//! What a fitting takes out of the clinic's stock, and how it is put back.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, Page};
use axum::http::StatusCode;
use guidance::brace::Stock;
use record::{Body, ChildId, EntryId};
use std::collections::BTreeMap;

const LIST: &str = "[[boots]]\nlabel = \"small\"\ninner_mm = 95\nin_store = 2\n[[boots]]\nlabel = \"next\"\ninner_mm = 105\nin_store = 1\n[[boots]]\nlabel = \"heap\"\ninner_mm = 125\n[[bars]]\nlabel = \"short\"\nfrom_mm = 150\nto_mm = 220\nin_store = 1\n";

/// A clinic with a list and a child whose feet, 84 and 82 mm, both suit a boot of 95 mm.
async fn measured(list: &str) -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    if !list.is_empty() {
        std::fs::write(clinic.dir.path().join("stock.toml"), list).unwrap();
    }
    let child = child(&clinic, &mut browser, AMINA).await;
    (clinic, browser, child)
}

async fn child(clinic: &Clinic, browser: &mut Browser, fields: &[(&str, &str)]) -> ChildId {
    let child = clinic.child(browser, fields).await;
    let path = format!("/child/{child}/brace");
    let values = [
        ("on", "2025-03-03"),
        ("right.foot_length_mm", "84"),
        ("right.abduction_deg", "65"),
        ("right.dorsiflexion_deg", "20"),
        ("left.foot_length_mm", "82"),
        ("left.abduction_deg", "65"),
        ("left.dorsiflexion_deg", "20"),
        ("shoulder_mm.bideltoid", "165"),
    ];
    let page = browser.send(&path, &format!("{path}/measure"), &values).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    child
}

fn counts(clinic: &Clinic) -> Vec<(String, Option<u16>)> {
    let text = std::fs::read_to_string(clinic.dir.path().join("stock.toml")).unwrap();
    let stock = Stock::read(&text).unwrap();
    let boots = stock.boots.into_iter().map(|boot| (boot.label, boot.in_store));
    boots.chain(stock.bars.into_iter().map(|bar| (bar.label, bar.in_store))).collect()
}

/// Numbers of small, next, heap and short.
fn numbers(clinic: &Clinic) -> [Option<u16>; 4] {
    let counts: Vec<Option<u16>> = counts(clinic).into_iter().map(|(_, count)| count).collect();
    counts.try_into().unwrap()
}

async fn form(browser: &mut Browser, child: ChildId) -> BTreeMap<String, String> {
    browser.get(&format!("/child/{child}/brace")).await.form(&format!("/child/{child}/brace/fit"))
}

async fn post(browser: &mut Browser, path: &str, form: &BTreeMap<String, String>) -> Page {
    let pairs: Vec<(&str, &str)> = form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    browser.post(path, &pairs).await
}

/// Saves the settings with some values changed, and gives what the page then says.
async fn fitted(browser: &mut Browser, child: ChildId, changed: &[(&str, &str)]) -> String {
    let mut values = form(browser, child).await;
    for (name, value) in changed {
        values.insert((*name).to_owned(), (*value).to_owned());
    }
    values.retain(|_, value| value != "-");
    // Boots that are long for the feet are asked about.
    values.insert("confirm".into(), "tried on".into());
    let page = post(browser, &format!("/child/{child}/brace/fit"), &values).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let place = page.location().to_owned();
    browser.get(&place).await.shown(".message.done")
}

/// The last fitting.
fn last(clinic: &Clinic, child: ChildId) -> EntryId {
    let entries = clinic.entries(child);
    let fitting = |entry: &&record::Entry| matches!(entry.body, Body::BraceFitted(_) | Body::BraceChanged(_));
    entries.iter().rfind(fitting).unwrap().id
}

#[tokio::test]
async fn a_fitting_takes_one_pair_and_the_bar_once_and_says_what_is_left() {
    let (clinic, mut browser, child) = measured(LIST).await;
    let page = browser.get(&format!("/child/{child}/brace")).await;
    assert!(page.shown(".bench-save").contains("95 mm inside, 2 pairs in stock"), "{}", page.text);
    let values = form(&mut browser, child).await;
    for (name, value) in [
        ("brace.right.size", "small"),
        ("brace.left.size", "small"),
        ("brace.left.length_mm", ""),
        ("stock.take", "yes"),
        ("stock.bar", "short"),
    ] {
        assert_eq!(values[name], value, "{name}");
    }
    let path = format!("/child/{child}/brace/fit");
    let first = post(&mut browser, &path, &values).await;
    assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text);
    assert_eq!(numbers(&clinic), [Some(1), Some(1), None, Some(0)], "one pair for two boots, and one bar");
    let place = first.location().to_owned();
    let said = browser.get(&place).await.shown(".message.done");
    assert!(said.contains("small: 1 pair taken out of stock; 1 pair in stock now."), "{said}");
    assert!(said.contains("short: 1 bar taken out of stock; no bar in stock now."), "{said}");
    // The length inside follows from the list.
    let entries = clinic.entries(child);
    let Some(Body::BraceFitted(saved)) = entries.last().map(|entry| &entry.body) else {
        panic!("{entries:?}")
    };
    assert_eq!(saved.brace.boots.iter().map(|boot| boot.length_mm).collect::<Vec<_>>(), [Some(95); 2]);
    // The same form again, as after a connection that broke.
    assert_eq!(post(&mut browser, &path, &values).await.status, StatusCode::SEE_OTHER);
    assert_eq!(numbers(&clinic), [Some(1), Some(1), None, Some(0)]);
    // A list saved from its own form keeps what was taken for whom.
    let list = browser.get("/stock").await.form("/stock");
    assert_eq!(post(&mut browser, "/stock", &list).await.status, StatusCode::SEE_OTHER);
    assert_eq!(post(&mut browser, &path, &values).await.status, StatusCode::SEE_OTHER);
    assert_eq!(numbers(&clinic), [Some(1), Some(1), None, Some(0)]);
}

#[tokio::test]
async fn what_is_not_in_stock_is_never_below_zero_and_never_in_silence() {
    let (clinic, mut browser, amina) = measured(&LIST.replace("in_store = 2", "in_store = 0")).await;
    let said = fitted(&mut browser, amina, &[("stock.bar", "short")]).await;
    assert!(said.contains("small: nothing taken out of stock; no pair in stock now."), "{said}");
    assert!(said.contains("short: 1 bar taken"), "{said}");
    assert_eq!(numbers(&clinic), [Some(0), Some(1), None, Some(0)]);
    let other = [("family_name", "Ostwick"), ("given_name", "Tuva"), ("born", "2025-01-30"), ("sure", "yes")];
    let tuva = child(&clinic, &mut browser, &other).await;
    let changed = [
        ("brace.right.size", "heap"),
        ("brace.left.size", ""),
        ("brace.left.size_other", "own"),
        ("stock.bar", "short"),
    ];
    let said = fitted(&mut browser, tuva, &changed).await;
    for words in [
        "heap: nothing taken out of stock; the stock list does not count it.",
        "own: nothing taken out of stock; it is not on the stock list.",
        "short: nothing taken out of stock; no bar in stock now.",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert_eq!(numbers(&clinic), [Some(0), Some(1), None, Some(0)]);
}

#[tokio::test]
async fn a_pair_of_the_familys_own_an_angle_and_the_same_size_take_nothing() {
    let (clinic, mut browser, child) = measured(LIST).await;
    // The box without a tick is not sent.
    let said = fitted(&mut browser, child, &[("stock.take", "-")]).await;
    assert!(said.contains("small: nothing taken out of stock; 2 pairs in stock now."), "{said}");
    fitted(&mut browser, child, &[("brace", "settings"), ("brace.left.abduction_deg", "60")]).await;
    assert_eq!(numbers(&clinic)[0], Some(2), "an angle");
    // A longer bar with the boots that are worn already.
    let said = fitted(&mut browser, child, &[("brace", "size"), ("stock.bar", "short")]).await;
    assert!(said.contains("short: 1 bar taken"), "{said}");
    assert_eq!(numbers(&clinic), [Some(2), Some(1), None, Some(0)]);
    let changed = [("brace", "size"), ("brace.right.size", "next"), ("brace.left.size", "next")];
    let said = fitted(&mut browser, child, &changed).await;
    assert!(said.contains("next: 1 pair taken out of stock; no pair in stock now."), "{said}");
    assert_eq!(numbers(&clinic), [Some(2), Some(0), None, Some(0)]);
}

#[tokio::test]
async fn without_a_list_or_with_one_that_cannot_be_read_the_fitting_is_saved_and_it_is_said() {
    for (list, words) in
        [("", "The clinic has no stock list"), ("boots = 3", "The stock list cannot be read")]
    {
        let (clinic, mut browser, child) = measured(list).await;
        let said = fitted(&mut browser, child, &[("brace.right.size", "small"), ("stock.take", "yes")]).await;
        assert!(matches!(clinic.entries(child).last().unwrap().body, Body::BraceFitted(_)));
        assert!(said.contains(words), "{words}: {said}");
        let kept = std::fs::read_to_string(clinic.dir.path().join("stock.toml")).unwrap_or_default();
        assert_eq!(kept, list, "nothing is written");
    }
}

#[tokio::test]
async fn a_withdrawn_fitting_is_put_back_with_one_tap_and_only_once() {
    let (clinic, mut browser, child) = measured(LIST).await;
    fitted(&mut browser, child, &[]).await;
    assert_eq!(numbers(&clinic), [Some(1), Some(1), None, Some(0)]);
    assert!(!browser.get("/stock").await.text.contains("To be put back?"));
    let path = format!("/child/{child}/entry/{}", last(&clinic, child));
    let gone = browser.send(&path, &format!("{path}/withdraw"), &[("withdraw_reason", "wrong child")]).await;
    assert_eq!(gone.location(), format!("{path}#stock"), "the page with the question");
    assert!(browser.get("/stock").await.text.contains("To be put back?"));
    let page = browser.get(&path).await;
    assert!(page.shown("#stock").contains("still out of stock"), "{}", page.text);
    let mut step = page.form(&format!("{path}/stock"));
    step.insert("stock_step".into(), "put-back".into());
    for _ in 0..2 {
        assert_eq!(post(&mut browser, &format!("{path}/stock"), &step).await.status, StatusCode::SEE_OTHER);
        assert_eq!(numbers(&clinic), [Some(2), Some(1), None, Some(1)]);
    }
    let page = browser.get(&path).await;
    assert!(page.shown("#stock").contains("small: 1 pair put back; 2 pairs in stock now."), "{}", page.text);
    assert!(!browser.get("/stock").await.text.contains("To be put back?"));
    // A withdrawn fitting takes nothing again.
    step.insert("stock_step".into(), "take".into());
    post(&mut browser, &format!("{path}/stock"), &step).await;
    assert_eq!(numbers(&clinic), [Some(2), Some(1), None, Some(1)]);
}

#[tokio::test]
async fn a_corrected_size_is_put_back_and_the_right_one_taken() {
    let (clinic, mut browser, child) = measured(LIST).await;
    fitted(&mut browser, child, &[("stock.bar", "-")]).await;
    let path = format!("/child/{child}/entry/{}", last(&clinic, child));
    let mut correction = browser.get(&path).await.form(&format!("{path}/correct"));
    for (name, value) in correction.iter_mut() {
        if name.ends_with("size") {
            "next".clone_into(value);
        } else if name.ends_with("length_mm") {
            "105".clone_into(value);
        }
    }
    correction.insert("correct_reason".into(), "the other box".into());
    correction.insert("confirm".into(), "tried on".into());
    let done = post(&mut browser, &format!("{path}/correct"), &correction).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert_eq!(done.location(), format!("{path}#stock"));
    let mut step = browser.get(&path).await.form(&format!("{path}/stock"));
    step.insert("stock_step".into(), "put-back".into());
    post(&mut browser, &format!("{path}/stock"), &step).await;
    assert_eq!(numbers(&clinic), [Some(2), Some(1), None, Some(1)]);
    step.insert("stock_step".into(), "take".into());
    for _ in 0..2 {
        post(&mut browser, &format!("{path}/stock"), &step).await;
        assert_eq!(numbers(&clinic), [Some(2), Some(0), None, Some(1)]);
    }
}

#[tokio::test]
async fn what_was_recorded_again_elsewhere_can_stay_out_of_stock() {
    let (clinic, mut browser, child) = measured(LIST).await;
    fitted(&mut browser, child, &[]).await;
    let path = format!("/child/{child}/entry/{}", last(&clinic, child));
    browser.send(&path, &format!("{path}/withdraw"), &[("withdraw_reason", "recorded anew")]).await;
    let mut step = browser.get(&path).await.form(&format!("{path}/stock"));
    for what in ["stays-out", "put-back"] {
        step.insert("stock_step".into(), what.into());
        post(&mut browser, &format!("{path}/stock"), &step).await;
        assert_eq!(numbers(&clinic), [Some(1), Some(1), None, Some(0)], "{what}");
    }
    assert!(!browser.get("/stock").await.text.contains("To be put back?"));
    assert!(browser.get(&path).await.shown("#stock").contains("and stays out"));
}

#[tokio::test]
async fn the_form_of_a_visit_takes_from_stock_too() {
    let (clinic, mut browser, child) = measured(LIST).await;
    let path = format!("/child/{child}/visit");
    let visit = [
        ("on", "2025-03-04"),
        ("brace", "fitted"),
        ("brace.regime", "full_time"),
        ("brace.right.size", "small"),
        ("brace.left.size", "next"),
        ("confirm", "tried on"),
    ];
    let page = browser.send(&path, &path, &visit).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    // Feet of two sizes open two pairs.
    assert_eq!(numbers(&clinic), [Some(1), Some(0), None, Some(1)]);
    let place = page.location().to_owned();
    let said = browser.get(&place).await.text;
    assert!(said.contains("small: 1 pair taken out of stock; 1 pair in stock now."), "{said}");
    assert!(said.contains("next: 1 pair taken out of stock; no pair in stock now."), "{said}");
}

#[tokio::test]
async fn a_length_that_contradicts_the_list_and_two_sizes_for_one_boot_go_back() {
    let (clinic, mut browser, child) = measured(LIST).await;
    let path = format!("/child/{child}/brace");
    for (field, value, words) in [
        (
            "brace.right.length_mm",
            "101",
            "by the stock list small is 95 mm long inside, but 101 mm is entered",
        ),
        ("brace.right.size_other", "own", "Leave one of the two empty"),
    ] {
        let page = browser.send(&path, &format!("{path}/fit"), &[(field, value)]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
        assert!(page.shown(".errors").contains(words), "{}", page.shown(".errors"));
    }
    assert_eq!(numbers(&clinic)[0], Some(2));
    // A worn lining makes 100 of 95.
    fitted(&mut browser, child, &[("brace.right.length_mm", "100")]).await;
    assert_eq!(numbers(&clinic)[0], Some(1));
}
