//! Records that were copied or moved to where nothing is known of their witness.

use crate::{
    clinic::{NAME, TODAY},
    trust::{Site, browser, register},
};
use axum::http::StatusCode;
use plantigrade::held::HoldReason;
use record::Role;
use std::fs;

#[tokio::test]
async fn records_that_were_moved_are_used_and_everybody_is_told_until_a_lead_confirms() {
    let site = Site::new();
    site.with_people(&[Role::Clinician]);
    let app = site.start(TODAY).unwrap();
    let mut ida = browser(&app, NAME).await;
    register(&mut ida, 1).await;
    drop((ida, app));
    // Nothing is known of their witness in the place to which they are moved.
    fs::rename(site.dir.path().join("witness"), site.dir.path().join("left behind")).unwrap();

    let app = site.start(TODAY).unwrap();
    let mut osei = browser(&app, Role::Clinician.key()).await;
    let told = osei.get("/day").await.shown(".records-notice");
    assert!(told.contains("copied or moved") && told.contains("cannot be told"), "{told}");
    register(&mut osei, 2).await;
    let page = osei.get("/records").await;
    assert!(!page.text.contains("/records/accept"), "a lead confirms: {}", page.shown("main"));
    let mut ida = browser(&app, NAME).await;
    let blank = ida.send("/records", "/records/accept", &[("why", " ")]).await;
    assert_eq!(blank.status, StatusCode::UNPROCESSABLE_ENTITY);
    let sent = ida.send("/records", "/records/accept", &[("why", "the new computer of the clinic")]).await;
    assert_eq!(sent.location(), "/records?done=confirmed", "{}", sent.text);
    assert!(!ida.get("/day").await.text.contains("copied or moved"));
    assert!(ida.get("/records").await.shown("main").contains("the new computer of the clinic"));
    drop((osei, ida, app));

    // From then on the new witness knows what was saved.
    let app = site.start(TODAY).unwrap();
    assert!(app.held.is_none() && app.records.place_to_confirm().unwrap().is_none());
    assert_eq!(app.records.children_count().unwrap(), 2);
    drop(app);
    // A key that was taken away from beside its log is no move.
    fs::remove_file(site.dir.path().join("witness/witness.key")).unwrap();
    let app = site.start(TODAY).unwrap();
    assert!(matches!(app.held.as_ref().map(|held| &held.why), Some(HoldReason::NotThoseSaved(..))));
}
