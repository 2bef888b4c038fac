//! The clinic's own list of boots and bars: row by row, as text, and counted by a tap.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, Page};
use axum::http::StatusCode;
use guidance::brace::Stock;

fn kept(clinic: &Clinic) -> Stock {
    Stock::read(&std::fs::read_to_string(clinic.dir.path().join("stock.toml")).unwrap()).unwrap()
}

const BOOT: [(&str, &str); 3] =
    [("boot.0.label", "small"), ("boot.0.inner_mm", "95"), ("boot.0.in_store", "2")];

async fn keep(browser: &mut Browser, fields: &[(&str, &str)]) -> Page {
    browser.send("/stock", "/stock", fields).await
}

fn pairs(form: &std::collections::BTreeMap<String, String>) -> Vec<(&str, &str)> {
    form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect()
}

#[tokio::test]
async fn a_list_is_made_row_by_row_and_a_row_taken_away() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let more = keep(&mut browser, &[&BOOT[..], &[("do", "add.boot")]].concat()).await;
    assert_eq!(more.status, StatusCode::OK, "{}", more.text);
    assert!(!clinic.dir.path().join("stock.toml").exists(), "a row more writes nothing");
    let mut form = more.form("/stock");
    assert_eq!((form["boot.0.label"].as_str(), form["boot.1.label"].as_str()), ("small", ""));
    assert!(
        more.html().select(&scraper::Selector::parse("[name='boot.1.label'][autofocus]").unwrap()).count()
            == 1
    );
    for (name, value) in [
        ("boot.1.label", "smaller"),
        ("boot.1.inner_mm", "85"),
        ("bar.0.label", "short"),
        ("bar.0.from_mm", "150"),
        ("bar.0.to_mm", "220"),
    ] {
        form.insert(name.into(), value.into());
    }
    let done = browser.post("/stock", &pairs(&form)).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    let stock = kept(&clinic);
    let boots: Vec<_> =
        stock.boots.iter().map(|boot| (boot.label.as_str(), boot.inner_mm, boot.in_store)).collect();
    assert_eq!(
        boots,
        [("smaller", 85, None), ("small", 95, Some(2))],
        "shortest first; an empty count is none"
    );
    assert_eq!((stock.bars[0].from_mm, stock.bars[0].to_mm), (150, 220));
    // Row 0 is now the smaller one.
    let fewer = keep(&mut browser, &[("do", "without.boot.0")]).await;
    let form = fewer.form("/stock");
    assert_eq!(kept(&clinic), stock, "a row less writes nothing either");
    browser.post("/stock", &pairs(&form)).await;
    assert_eq!(kept(&clinic).boots.len(), 1);
    assert_eq!(kept(&clinic).boots[0].label, "small");
}

#[tokio::test]
async fn what_cannot_be_right_stands_beside_its_field_and_nothing_is_lost() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    for (fields, field, sentence) in [
        (
            vec![("boot.0.label", "A"), ("boot.0.inner_mm", "9")],
            "boot-0-inner-mm",
            "cannot be “9”: whole millimetres from 50 to 260",
        ),
        (vec![("boot.0.label", "A")], "boot-0-inner-mm", "The length inside the boot is missing"),
        (vec![("boot.0.inner_mm", "95")], "boot-0-label", "Your own label is needed"),
        (
            vec![("boot.0.label", "A"), ("boot.0.inner_mm", "95"), ("boot.0.in_store", "-1")],
            "boot-0-in-store",
            "“-1” is not a count",
        ),
        (
            vec![("bar.0.label", "A"), ("bar.0.from_mm", "220"), ("bar.0.to_mm", "150")],
            "bar-0-to-mm",
            "is shorter than the shortest, 220 mm",
        ),
        (
            vec![
                ("boot.0.label", "A"),
                ("boot.0.inner_mm", "95"),
                ("boot.1.label", "A"),
                ("boot.1.inner_mm", "99"),
            ],
            "boot-1-label",
            "is used twice",
        ),
    ] {
        let page = keep(&mut browser, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        let html = page.html();
        let error = scraper::Selector::parse(&format!("#f-{field}-error")).unwrap();
        let told: String = html.select(&error).flat_map(|found| found.text()).collect();
        assert!(told.contains(sentence), "{sentence}: {told}");
        for (name, value) in fields {
            assert_eq!(page.form("/stock")[name], value);
        }
    }
    assert!(!clinic.dir.path().join("stock.toml").exists());
}

#[tokio::test]
async fn a_tap_counts_from_what_is_there_and_an_older_form_overwrites_nobody() {
    let (clinic, mut ida) = Clinic::signed_in().await;
    clinic.account("otto", "plaster and patience");
    let mut otto = Browser::new(clinic.router.clone());
    otto.sign_in("otto", "plaster and patience").await;
    assert_eq!(keep(&mut ida, &BOOT).await.status, StatusCode::SEE_OTHER);
    // Both have the page open with a count of 2; each takes one.
    let (of_ida, of_otto) = (ida.get("/stock").await, otto.get("/stock").await);
    for (browser, page) in [(&mut ida, &of_ida), (&mut otto, &of_otto)] {
        let mut form = page.form("/stock/count");
        form.insert("by".into(), "-1".into());
        assert_eq!(browser.post("/stock/count", &pairs(&form)).await.status, StatusCode::SEE_OTHER);
    }
    assert_eq!(kept(&clinic).boots[0].in_store, Some(0), "2 − 1 − 1");
    let mut form = of_ida.form("/stock/count");
    form.insert("by".into(), "-1".into());
    let none = ida.post("/stock/count", &pairs(&form)).await;
    assert!(none.text.contains("Somebody gave out the last one in the meantime"), "{}", none.text);
    // Ida's rows are older than Otto's count, so hers do not silently overwrite it.
    let mut rows = of_ida.form("/stock");
    rows.insert("boot.0.inner_mm".into(), "96".into());
    let clash = ida.post("/stock", &pairs(&rows)).await;
    assert_eq!(clash.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(clash.text.contains("Last changed by otto of the clinic"), "{}", clash.text);
    let otherwise = "boot small: 95 mm inside, 0 in stock; below: 96 mm inside, 2 in stock";
    assert!(clash.text.contains(otherwise), "{}", clash.text);
    assert_eq!(kept(&clinic).boots[0].in_store, Some(0));
    let mut again = clash.form("/stock");
    assert_eq!(again["boot.0.inner_mm"], "96", "what was typed stands there");
    again.insert("boot.0.in_store".into(), "0".into());
    assert_eq!(ida.post("/stock", &pairs(&again)).await.status, StatusCode::SEE_OTHER);
    let boot = kept(&clinic).boots[0].clone();
    assert_eq!((boot.inner_mm, boot.in_store), (96, Some(0)));
}

#[tokio::test]
async fn a_list_as_text_is_kept_or_refused_with_line_and_reason() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let bad = "[[boots]]\nlabel = \"A\"\ninner_mm = 9";
    let page = browser.send("/stock", "/stock/text", &[("list", bad)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        page.text.contains("Line 3: inner_mm: expected whole millimetres from 50 to 260"),
        "{}",
        page.text
    );
    assert!(page.text.contains("inner_mm = 9"), "what was typed comes back");
    let good = "[[boots]]\r\nlabel = \"A\"\r\ninner_mm = 95\r\nin_store = 2";
    let page = browser.send("/stock", "/stock/text", &[("list", good)]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let page = browser.get("/stock").await;
    assert!(page.text.contains("inner_mm = 95") && page.text.contains("nothing"), "{}", page.text);
    assert_eq!(page.form("/stock")["boot.0.inner_mm"], "95", "the rows show the same list");
}
