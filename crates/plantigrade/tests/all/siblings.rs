//! Linking brothers, sisters and twins, and what is shown of them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, Page};
use axum::http::StatusCode;
use record::{Body, ChildId, Kind};

const BILAL: &[(&str, &str)] = &[
    ("family_name", "Vesterholt"),
    ("given_name", "Bilal"),
    ("number", "CF-102"),
    ("born", "2025-02-18"),
    ("sides", "right"),
    ("carer_name", "Grace Vesterholt"),
    ("carer_phone", "0700 900 123"),
    ("sure", "yes"),
];

/// Two children born on one day.
async fn two() -> (Clinic, Browser, ChildId, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let amina = clinic.child(&mut browser, AMINA).await;
    let bilal = clinic.child(&mut browser, BILAL).await;
    (clinic, browser, amina, bilal)
}

async fn link(browser: &mut Browser, one: ChildId, other: ChildId, fields: &[(&str, &str)]) -> Page {
    let other = other.to_string();
    let form = format!("/child/{one}/family?with={other}");
    browser.send(&form, &format!("/child/{one}/family"), fields).await
}

const TWINS: &[(&str, &str)] = &[("relation", "twin"), ("own_order", "1"), ("other_order", "2")];

#[tokio::test]
async fn twins_are_shown_with_both_names_wherever_one_is_shown() {
    let (clinic, mut browser, amina, bilal) = two().await;
    let proposed = browser.get(&format!("/child/{amina}/family")).await;
    assert!(proposed.text.contains("the same family name, born 18 February 2025"), "{}", proposed.text);
    let saved = link(&mut browser, amina, bilal, TWINS).await;
    assert_eq!(saved.location(), format!("/child/{amina}?done=linked"), "{}", saved.text);
    for (child, own, other) in [
        (amina, "Twin, born first. Do not confuse with", "Bilal Vesterholt"),
        (bilal, "Twin, born second. Do not confuse with", "Amina Vesterholt"),
    ] {
        let band = browser.get(&format!("/child/{child}?done=visit")).await;
        assert!(band.shown(".band .twin").contains(own), "{}", band.text);
        assert!(band.shown(".band .twin").contains(other), "{}", band.text);
        assert!(band.shown(".message.done").contains(other), "the saved message names the other twin");
        let visit = browser.get(&format!("/child/{child}/visit")).await;
        assert!(visit.shown(".band .twin").contains(other), "{}", visit.text);
        let hit =
            browser.open(&format!("/find?q={}", if child == amina { "CF-101" } else { "CF-102" })).await;
        assert!(hit.shown(".who-twin").contains(other), "{}", hit.text);
    }
    // The day list.
    let add = format!("/child/{amina}/add/appointment-made");
    let made = browser.send(&add, &add, &[("for_day", "2025-03-04"), ("purpose", "first")]).await;
    assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text);
    let day = browser.get("/day").await;
    assert!(day.shown(".day-row .who-twin").contains("Bilal Vesterholt, born second"), "{}", day.text);
    // The carer's number is shown from the twin, saying whose it is.
    let phone = browser.get(&format!("/child/{amina}")).await;
    let shown = phone.shown(".child-phone");
    assert!(shown.contains("0700 900 123") && shown.contains("from the record of"), "{shown}");
    assert!(
        phone.shown("section[aria-labelledby=people-head]").contains("Clubfoot in the family: right foot")
    );
    assert_eq!(clinic.entries(amina).iter().filter(|entry| entry.kind() == Kind::Sibling).count(), 1);
    assert_eq!(clinic.entries(bilal).iter().filter(|entry| entry.kind() == Kind::Sibling).count(), 1);
}

#[tokio::test]
async fn the_attention_list_names_the_other_twin() {
    let clinic = Clinic::on("2025-03-20");
    clinic.account(crate::clinic::NAME, crate::clinic::PASSWORD);
    let mut browser = clinic.browser_signed_in().await;
    let amina = clinic.child(&mut browser, &[AMINA, &[("referred_from", "health post")]].concat()).await;
    let bilal = clinic.child(&mut browser, BILAL).await;
    assert_eq!(link(&mut browser, amina, bilal, TWINS).await.status, StatusCode::SEE_OTHER);
    let app = clinic.app.clone();
    let calls = app.records.worklist_counts("2025-04-20".parse().unwrap(), &clinic::WorkFilter::default());
    assert!(!calls.unwrap().is_empty(), "a month later somebody has to be called");
    // Born on 18 February and never seen: an entry of that day makes the call apply today.
    let referred = record::Entry {
        id: record::EntryId::new(uuid::Uuid::now_v7()),
        child: amina,
        body: Body::Referral(record::Referral::default()),
        on: "2025-02-20".parse().unwrap(),
        at: app.clock.now(),
        by: record::UserId::new(uuid::Uuid::nil()),
        site: app.site,
        follows: None,
    };
    app.records.append(vec![referred]).unwrap();
    let page = browser.get("/attention").await;
    let row = page.shown(".call-who");
    assert!(row.contains("Amina Vesterholt") && row.contains("Bilal Vesterholt, born second"), "{row}");
}

#[tokio::test]
async fn a_form_that_contradicts_itself_or_the_records_is_refused() {
    let (clinic, mut browser, amina, bilal) = two().await;
    let later =
        [("family_name", "Vesterholt"), ("given_name", "Cleo"), ("born", "2025-02-21"), ("sure", "yes")];
    let cleo = clinic.child(&mut browser, &later).await;
    for (other, fields, why) in [
        (bilal, vec![], "Choose how the two are related"),
        (bilal, vec![("relation", "sibling"), ("own_order", "1")], "for twins only"),
        (bilal, vec![("relation", "twin"), ("own_order", "1"), ("other_order", "1")], "the same place"),
        (cleo, vec![("relation", "twin")], "twins are born on the same day or the next"),
    ] {
        let page = link(&mut browser, amina, other, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(page.shown(".errors").contains(why), "{}", page.shown(".errors"));
    }
    let own = browser.get(&format!("/child/{amina}/family?with={amina}")).await;
    assert_eq!(own.status, StatusCode::NOT_FOUND);
    assert!(clinic.entries(amina).iter().all(|entry| entry.kind() != Kind::Sibling));
}

#[tokio::test]
async fn every_page_has_a_search_box_that_finds_by_carer_and_telephone() {
    let (_clinic, mut browser, amina, bilal) = two().await;
    for path in ["/day", "/attention", "/results", &format!("/child/{amina}")] {
        let page = browser.get(path).await;
        assert_eq!(page.count("header form[role=search] input[type=search]"), 1, "{path}");
        assert_eq!(page.count("header nav[aria-label=Main] a"), 3, "{path}");
    }
    for typed in ["grace", "0700900123", "900"] {
        let page = browser.open(&format!("/find?part=brief&q={typed}")).await;
        assert!(page.text.contains(&format!("/child/{bilal}")), "{typed}: {}", page.text);
        assert!(!page.text.contains(&format!("/child/{amina}")), "{typed}: {}", page.text);
    }
    assert_eq!(browser.get("/register").await.shown(".own-pages [aria-current=page]"), "New child");
}

#[tokio::test]
async fn a_carers_name_makes_no_child_the_same() {
    let (clinic, mut browser, _amina, _bilal) = two().await;
    // The carer of another child is called so; no child is.
    let grace = [("family_name", "Vesterholt"), ("given_name", "Grace"), ("born", "2019-01-01")];
    let saved = browser.send("/register", "/register", &grace).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    assert_eq!(clinic.app.records.children_count().unwrap(), 3);
}
