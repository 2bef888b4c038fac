//! The family's copy: every entry, in words and as data, with the right side, and nothing about other people.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    access_log::{person, rows},
    clinic::{Clinic, TODAY, day},
    commands::{code, err, out, run},
};
use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    family_copy, serve,
};
use record::{Body as Contents, Role, Side};
use scraper::{Html, Selector};
use serde_json::Value;
use std::io::{Cursor, Read};
use tower::ServiceExt;

/// The page and the data of a zip.
fn unpacked(bytes: &[u8]) -> (String, Value) {
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = |name: &str| {
        let mut text = String::new();
        zip.by_name(name).unwrap().read_to_string(&mut text).unwrap();
        text
    };
    (text("record.html"), serde_json::from_str(&text("record.json")).unwrap())
}

/// Every child of an invented clinic: as many entries in the page and in the data as in the record, and each foot
/// named as in the record.
#[test]
fn the_copy_of_every_invented_child_has_every_entry_with_its_side() {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let app: App = serve::demo_app(dir.path(), 90, 7, Clock::new(Some(day(TODAY))), mode).unwrap();
    let children = app.records.children(None, None, 0, 1000).unwrap().0;
    let names: Vec<String> =
        children.iter().map(|child| format!("{} {}", child.given_name, child.family_name)).collect();
    let (mut sided, mut siblings, mut withdrawn) = (0, 0, 0);
    for (child, name) in children.iter().zip(&names) {
        let entries = app.records.entries(child.child).unwrap();
        let (made, kept) = ((app.clock.now(), app.clock.today()), app.pictures());
        let copy = family_copy::of_child(&app.records, &kept, child.child, "Invented".into(), made);
        let copy = copy.unwrap().unwrap();
        let (page, data) = unpacked(&copy.bytes);
        let html = Html::parse_document(&page);
        let articles: Vec<String> = html
            .select(&Selector::parse("article").unwrap())
            .map(|article| article.text().collect::<String>())
            .collect();
        assert_eq!((articles.len(), copy.entries), (entries.len(), entries.len()), "{name}");
        let listed = data["entries"].as_array().unwrap();
        assert_eq!(listed.len(), entries.len(), "{name}");
        assert_eq!(data["entries_count"], entries.len());
        assert!(page.contains("all <strong>") && page.contains(name.trim()), "{name}");
        for (article, value) in articles.iter().zip(listed) {
            let id = value["id"].as_str().unwrap();
            let entry = entries.iter().find(|entry| entry.id.to_string() == id).unwrap();
            assert!(article.contains(&entry.on.words()), "{article}");
            assert!(article.contains("Written by ") && value["written_by"].is_string(), "{article}");
            withdrawn += usize::from(value["state"] == "withdrawn");
            if let (Some(side), false) = (entry.body.side(), matches!(entry.body, Contents::Correction(_))) {
                let (right, left) =
                    (article.to_lowercase().contains("right"), article.to_lowercase().contains("left"));
                assert!(if side == Side::Right { right } else { left }, "{side:?}: {article}");
                assert_eq!(value["body"]["side"], side.word(), "{value}");
                sided += 1;
            }
            if let Contents::Sibling(link) = &entry.body {
                siblings += 1;
                assert!(value["body"].get("other").is_none(), "{value}");
                assert!(!page.contains(&link.other.to_string()), "the id of another child");
                let other = children.iter().position(|one| one.child == link.other).unwrap();
                let given = &children[other].given_name;
                assert!(!page.contains(given.as_str()), "the name of a twin: {given}");
            }
        }
        assert!(
            !copy.file_name.contains(child.family_name.as_str()) || child.family_name.is_empty(),
            "{}",
            copy.file_name
        );
    }
    assert!(
        sided > 500 && siblings >= 2,
        "{sided} entries with a side, {siblings} links, {withdrawn} withdrawn"
    );
}

#[tokio::test]
async fn clinicians_and_leads_download_it_and_it_is_noted() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let child = clinic.child(&mut lead, crate::clinic::AMINA).await;
    let path = format!("/child/{child}/family-copy");
    let (_, mut coordinator) = person(&clinic, "liv", Role::Coordinator).await;
    assert_eq!(coordinator.get(&path).await.status, StatusCode::FORBIDDEN);
    let token = lead.cookie("session").unwrap().to_owned();
    let request = Request::get(&path)
        .header(header::HOST, "localhost")
        .header(header::COOKIE, format!("session={token}"))
        .body(Body::empty())
        .unwrap();
    let response = clinic.router.clone().oneshot(request).await.unwrap();
    assert_eq!(response.status(), StatusCode::OK);
    let name = response.headers()[header::CONTENT_DISPOSITION].to_str().unwrap().to_owned();
    assert_eq!(name, "attachment; filename=\"record-CF-101.zip\"");
    let bytes = axum::body::to_bytes(response.into_body(), usize::MAX).await.unwrap();
    let (page, data) = unpacked(&bytes);
    assert!(page.contains("Amina Vesterholt") && page.contains("What is left out"));
    assert_eq!(data["format"], "plantigrade family copy");
    let noted = rows(&clinic);
    assert!(noted.iter().any(|one| one.what == "/child/{id}/family-copy" && one.child == Some(child)));
    let file = clinic.dir.path().join("copy.zip");
    let args = ["family-copy", "CF-101", "--file", file.to_str().unwrap()];
    let written = run(clinic.dir.path(), &args);
    assert_eq!(code(&written), 0, "{}", err(&written));
    assert!(out(&written).contains(&format!("{} entries written", clinic.entries(child).len())));
    assert_eq!(unpacked(&std::fs::read(&file).unwrap()).1["entries_count"], data["entries_count"]);
    assert_ne!(code(&run(clinic.dir.path(), &args)), 0, "an existing file is not overwritten");
    assert!(rows(&clinic).iter().any(|one| one.what == "family-copy" && one.child == Some(child)));
}
