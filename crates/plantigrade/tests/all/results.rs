//! Results: the rows kept stay those that a fresh reading gives, and what leaves the clinic is withheld.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Clinic, day};
use audit::Measure;
use axum::http::StatusCode;
use plantigrade::{demo, histories::read_clinic};
use record::{Body, CastApplied, ChildId, Entry, EntryId, Side};
use std::collections::BTreeMap;

const LATER: &str = "2025-03-04";

/// The invented clinic written into the records of a clinic.
async fn with_children(number: usize) -> (Clinic, crate::clinic::Browser) {
    let (clinic, browser) = Clinic::signed_in().await;
    let entries = demo::clinic(number, 3, day(LATER));
    for chunk in entries.chunks(500) {
        clinic.app.archive.append(chunk.to_vec()).unwrap();
    }
    (clinic, browser)
}

fn sorted(clinic: &audit::Clinic) -> BTreeMap<String, String> {
    // Numbers of sites and clinicians depend on the order of reading; what they stand for does not.
    let row = |row: &audit::ChildHistory| {
        let who: Vec<_> = row
            .feet()
            .map(|foot| {
                (clinic.sites[foot.site as usize], clinic.clinicians[foot.clinician as usize].clone())
            })
            .collect();
        let mut plain = row.clone();
        plain.feet.iter_mut().flatten().for_each(|foot| (foot.site, foot.clinician) = (0, 0));
        (row.child.to_string(), format!("{plain:?} {who:?}"))
    };
    clinic.children.iter().map(row).collect()
}

#[tokio::test]
async fn a_child_written_about_is_in_the_results_at_once() {
    let (clinic, _) = with_children(40).await;
    let (app, today) = (clinic.app.clone(), day(LATER));
    let before = app.histories.clinic(&app.archive, today).unwrap().unwrap();
    let child = before.children[7].child;
    let feet = before.feet();
    drop(before);
    let mut entry: Entry = app.archive.entries(child).unwrap()[0].clone();
    entry.id = EntryId::new(uuid::Uuid::now_v7());
    entry.child = ChildId::new(uuid::Uuid::now_v7());
    entry.on = today;
    entry.body = Body::CastApplied(CastApplied::on(Side::Left));
    let new = entry.child;
    app.archive.append(vec![entry]).unwrap();
    app.histories.forget(Some(new));
    let after = app.histories.clinic(&app.archive, today).unwrap().unwrap();
    assert_eq!(after.feet(), feet + 1);
    assert_eq!(sorted(&after), sorted(&read_clinic(&app.archive, today).unwrap()));
}

/// Rows moved on day by day for a year are those that a reading of the last day gives.
#[tokio::test]
async fn rows_moved_to_a_later_day_are_those_read_on_it() {
    let (clinic, _) = with_children(40).await;
    let app = clinic.app.clone();
    let from = day("2024-03-01");
    for step in (0..=365).step_by(15) {
        let known = app.histories.clinic(&app.archive, from + step).unwrap().unwrap();
        if step % 60 == 0 {
            let fresh = read_clinic(&app.archive, from + step).unwrap();
            assert_eq!(sorted(&known), sorted(&fresh), "after {step} days");
        }
    }
}

#[tokio::test]
async fn every_measure_has_its_page_its_table_and_its_past() {
    let (_clinic, mut browser) = with_children(60).await;
    for measure in Measure::ALL {
        let key = measure.key();
        let page = browser.get(&format!("/results/{key}?as_of=2024-12-31")).await;
        assert_eq!(page.status, StatusCode::OK, "{key}: {}", page.text);
        assert!(page.text.contains("31 December 2024") && !page.text.contains("NaN"), "{key}");
        let table = browser.get(&format!("/results/{key}.csv")).await;
        assert!(table.text.starts_with("measure,name,as_of,"), "{key}: {}", table.text);
        for line in table.text.lines().filter(|line| !line.contains("withheld")) {
            let cells: Vec<&str> = line.split(',').collect();
            if cells.len() == 14 && cells[4] != "curve" {
                assert!(!matches!(cells[7], "1" | "2" | "3" | "4"), "{key}: {line}");
            }
        }
    }
    assert_eq!(browser.get("/results/no-such-measure").await.status, StatusCode::NOT_FOUND);
}
