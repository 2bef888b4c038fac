//! The list before a tenotomy, its ceilings, and the list of a day.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, TODAY};
use axum::http::StatusCode;
use record::ChildId;

/// Born on 14 January 2025 at 40 weeks: 7 weeks old.
const SUNNIVA: &[(&str, &str)] = &[
    ("family_name", "Vesterholt"),
    ("given_name", "Sunniva"),
    ("number", "CF-110"),
    ("born", "2025-01-14"),
    ("gestation_weeks", "40"),
    ("birth_weight_g", "3300"),
    ("sides", "left"),
    ("nature", "idiopathic"),
];

async fn add(browser: &mut Browser, child: ChildId, kind: &str, fields: &[(&str, &str)]) {
    let path = format!("/child/{child}/add/{kind}");
    let page = browser.send(&path, &path, fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{kind}: {}", page.shown(".errors"));
}

async fn sunniva() -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, SUNNIVA).await;
    add(&mut browser, child, "tenotomy-booked", &[("side", "left"), ("planned_on", "2025-03-06")]).await;
    (clinic, browser, child)
}

#[tokio::test]
async fn what_is_missing_is_named_until_it_is_recorded_and_the_day_is_that_of_the_booking() {
    let (_clinic, mut browser, child) = sunniva().await;
    let path = format!("/child/{child}/tenotomy");
    let page = browser.get(&path).await;
    assert_eq!(page.shown(".checklist-sides").trim(), "LEFT foot");
    assert!(page.shown(".checklist-day").contains("6 March 2025"), "{}", page.shown(".checklist-day"));
    assert!(page.shown("main").contains("Not complete: 5 points are missing"), "{}", page.shown("main"));
    assert!(page.shown(".ceiling").contains("No weight is recorded: weigh the child."));
    assert!(!page.shown(".ceiling").contains(" mg ("), "no number without a weight, the one at birth never");
    add(&mut browser, child, "weighed", &[("weight_g", "4800")]).await;
    add(&mut browser, child, "allergies", &[("answer", "none_known")]).await;
    add(&mut browser, child, "medicines", &[("answer", "none")]).await;
    add(
        &mut browser,
        child,
        "consent",
        &[("matter", "tenotomy"), ("answer", "given"), ("relation", "mother")],
    )
    .await;
    let page = browser.get(&path).await;
    assert!(page.shown("main").contains("Not complete: 1 point is missing"), "the angle was not measured");
    // 3 × 4.8 = 14.4 mg; 2.1 × 4.8 = 10.08 mg.
    let ceiling = page.shown(".ceiling");
    assert!(
        ceiling.contains("not more than 10.0 mg (2.1 mg/kg)") && ceiling.contains("14.4 mg (3 mg/kg)"),
        "{ceiling}"
    );
    assert!(ceiling.contains("No ceiling is known here for bupivacaine"), "{ceiling}");
    assert!(ceiling.contains("Your local formulary rules, and the licensed clinician"), "{ceiling}");
}

#[tokio::test]
async fn typed_amounts_are_computed_and_not_saved() {
    let (clinic, mut browser, child) = sunniva().await;
    add(&mut browser, child, "weighed", &[("weight_g", "4800")]).await;
    let before = clinic.entries(child).len();
    let of = |query: &str| format!("/child/{child}/tenotomy?{query}");
    let page = browser.get(&of("lidocaine.conc=1&lidocaine.unit=percent&lidocaine.ml=0.5")).await;
    // 10.08 mg are 1.008 mL of 10 mg/mL; 0.5 mL are 5 mg, 49.61 %, so that 0.507 mL are left.
    let ceiling = page.shown(".ceiling");
    assert!(ceiling.contains("1 % = 10 mg/mL: not more than 1.00 mL"), "{ceiling}");
    assert!(
        ceiling.contains("49.7 % of the ceiling together") && ceiling.contains("room for 0.50 mL"),
        "{ceiling}"
    );
    let both = "lidocaine.conc=1&lidocaine.unit=percent&lidocaine.ml=0.6&lidocaine-prilocaine.amount=0.5";
    let page = browser.get(&of(both)).await;
    assert!(
        page.shown(".ceiling-sum").contains("Too much: 109.6 % of the ceiling together"),
        "{}",
        page.shown(".ceiling-sum")
    );
    let page = browser.get(&of("lidocaine.conc=1&lidocaine.unit=mg-ml&lidocaine.ml=0.5")).await;
    assert!(page.shown(".ceiling").contains("check number and unit"), "{}", page.shown(".ceiling"));
    assert!(page.shown(".ceiling-sum").contains("It cannot be told"), "{}", page.shown(".ceiling-sum"));
    assert_eq!(clinic.entries(child).len(), before);
}

#[tokio::test]
async fn a_weight_that_cannot_be_is_asked_about_before_it_is_saved() {
    let (clinic, mut browser, child) = sunniva().await;
    let path = format!("/child/{child}/add/weighed");
    let before = clinic.entries(child).len();
    let page = browser.send(&path, &path, &[("weight_g", "48000")]).await;
    assert_ne!(page.status, StatusCode::SEE_OTHER);
    assert!(page.shown(".confirm").contains("is not expected at this age"), "{}", page.shown(".confirm"));
    assert_eq!(clinic.entries(child).len(), before);
    let page = browser.send(&path, &path, &[("weight_g", "5")]).await;
    assert!(page.shown(".errors").contains("Grams, not kilograms"), "{}", page.shown(".errors"));
}

#[tokio::test]
async fn the_clinic_settles_whether_ceilings_are_cut() {
    let (_clinic, mut browser, child) = sunniva().await;
    add(&mut browser, child, "weighed", &[("weight_g", "4800")]).await;
    let path = "/protocol/value/anaesthetic.cut_under_6_months";
    let page = browser.send(path, path, &[("value", "no-cut"), ("why", "agreed with the pharmacist")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.shown(".errors"));
    let page = browser.get(&format!("/child/{child}/tenotomy")).await;
    let ceiling = page.shown(".ceiling");
    assert!(ceiling.contains("not more than 14.4 mg (3 mg/kg)"), "{ceiling}");
    assert!(ceiling.contains("The clinic has settled that there is no cut."), "{ceiling}");
}

#[tokio::test]
async fn the_list_of_a_day_has_the_foot_and_what_is_missing_and_no_name_in_its_address() {
    let (clinic, mut browser, child) = sunniva().await;
    add(&mut browser, child, "weighed", &[("weight_g", "4800")]).await;
    let other = clinic
        .child(
            &mut browser,
            &[("family_name", "Aas"), ("given_name", "Per"), ("number", "CF-111"), ("sides", "right")],
        )
        .await;
    add(
        &mut browser,
        other,
        "appointment-made",
        &[("for_day", "2025-03-06"), ("time", "08:15"), ("purpose", "tenotomy")],
    )
    .await;
    let list = browser.get("/theatre").await;
    assert!(list.text.contains("/theatre/day?on=2025-03-06"), "{}", list.shown("main"));
    let page = browser.get("/theatre/day?on=2025-03-06").await;
    let rows: Vec<String> =
        ["tr.theatre-row:nth-child(1)", "tr.theatre-row:nth-child(2)"].map(|row| page.shown(row)).into();
    assert!(
        rows[0].contains("08:15") && rows[0].contains("Per Aas") && rows[0].contains("No foot is booked"),
        "{rows:?}"
    );
    assert!(
        rows[1].contains("LEFT") && rows[1].contains("4800 g") && rows[1].contains("Missing: Allergies"),
        "{rows:?}"
    );
    assert!(!page.shown("title").contains("Vesterholt"), "{}", page.shown("title"));
    let empty = browser.get(&format!("/theatre/day?on={TODAY}")).await;
    assert!(empty.shown("main").contains("No tenotomy is booked for this day"), "{}", empty.shown("main"));
}

#[tokio::test]
async fn the_checklist_is_reached_from_the_child_the_day_and_the_documents() {
    let (_clinic, mut browser, child) = sunniva().await;
    let link = format!("/child/{child}/tenotomy");
    add(&mut browser, child, "appointment-made", &[("for_day", TODAY), ("purpose", "tenotomy")]).await;
    for path in [format!("/child/{child}"), "/day".to_owned(), format!("/child/{child}/documents")] {
        assert!(browser.get(&path).await.text.contains(&link), "{path}");
    }
    assert!(browser.get("/day").await.text.contains("/theatre/day?on="));
}
