//! Every page, for somebody signed in, over the invented clinic and over an empty one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, TODAY, day};
use axum::http::StatusCode;
use clinic::WorkKind;
use guidance::CAUTION;
use pages::AddKind;
use plantigrade::{
    app::Mode,
    clock::Clock,
    routes::{self, DEMO_ACCOUNT},
    serve,
};
use std::sync::Arc;

/// The invented clinic behind its router, and a browser signed in through the link.
async fn invented() -> (tempfile::TempDir, Arc<plantigrade::app::App>, Browser) {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = serve::demo_app(dir.path(), 40, 7, Clock::new(Some(day(TODAY))), mode).unwrap();
    let path = serve::demo_path(&app).unwrap();
    let app = Arc::new(app);
    let mut browser = Browser::new(routes::router(app.clone()));
    let page = browser.get(&path).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/day"));
    let mut late = Browser::new(routes::router(app.clone()));
    assert_eq!(late.get(&path).await.location(), "/sign-in", "the link works once");
    (dir, app, browser)
}

#[tokio::test]
async fn the_invented_stock_is_counted_and_something_has_to_be_ordered() {
    let (_dir, _app, mut browser) = invented().await;
    let page = browser.get("/stock").await;
    let cells = scraper::Selector::parse("table tbody tr").unwrap();
    let rows: Vec<String> =
        page.html().select(&cells).map(|row| row.text().collect::<Vec<_>>().join("|")).collect();
    let counted = rows.iter().filter(|row| row.contains("shelf ")).count();
    assert!(counted > 3, "{rows:?}");
    let ordered = rows.iter().filter(|row| {
        row.rsplit('|').next().is_some_and(|last| last.trim().parse::<u32>().is_ok_and(|pairs| pairs > 0))
    });
    assert!(ordered.count() > 0, "{rows:?}");
}

#[tokio::test]
async fn every_page_of_the_empty_clinic_renders_with_one_heading() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    for path in [
        "/day",
        "/people",
        "/account",
        "/theatre",
        "/theatre/day",
        "/attention",
        "/find",
        "/register",
        "/capacity",
        "/results",
        "/results/definitions",
        "/results/agreement",
        "/results/year",
        "/results/year?year=2023&site=nowhere",
        "/results/relapse",
        "/results/missing?as_of=2024-01-01&side=left",
        "/practice",
        "/practice/sign/medial_crease",
        "/practice/levels",
        "/practice/levels/empty_heel/0.5",
        "/practice/photographs",
        "/practice/progress",
        "/practice/record",
        "/practice/together",
        "/protocol",
        "/protocol/history",
        "/protocol/value/casting.interval_days",
        "/settings",
        "/settings/history",
        "/documents/languages",
        "/documents/texts",
        "/documents/texts/ar/plan-title",
        "/settings/maps",
        "/settings/letterhead",
        "/sheets",
        "/sheets/visit",
        "/sheets/tenotomy",
        "/settings/copies",
        "/backups",
        "/records",
        "/first-steps",
        "/first-steps/clinic",
        "/forecasts",
        "/import",
        "/import/past",
        "/devices",
        "/enrol",
        "/trust",
        "/find?q=nobody",
        "/attention?page=99",
        "/attention/lost",
        "/calls",
        "/calls?on=2025-03-01",
        "/help",
        "/help/signs",
        "/help/picture",
        "/help/words",
    ] {
        let page = browser.open(path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}: {}", page.text);
        assert_eq!(page.count("h1"), 1, "{path}");
    }
}

/// The largest page of a child, so that it is quick on a slow network.
const LARGEST_BYTES: usize = 150_000;

#[tokio::test]
async fn every_page_of_every_invented_child_renders() {
    let (_dir, app, mut browser) = invented().await;
    let (children, _) = app.records.children(None, None, 0, 1000).unwrap();
    assert!(children.len() >= 30, "{}", children.len());
    for child in &children {
        let page = browser.get(&format!("/child/{}", child.child)).await;
        assert_eq!(page.status, StatusCode::OK, "{}: {}", child.child, page.text);
        assert!(page.text.contains(CAUTION), "a page that suggests a step carries the caution");
        assert!(page.text.len() < LARGEST_BYTES, "{}: {} bytes", child.child, page.text.len());
        let all = browser.get(&format!("/child/{}?entries=all", child.child)).await;
        assert_eq!(all.status, StatusCode::OK, "{}", all.text);
        assert_eq!(all.count(".day-of .entry"), app.records.entries(child.child).unwrap().len());
        let visit = browser.get(&format!("/child/{}/visit", child.child)).await;
        assert_eq!(visit.status, StatusCode::OK, "{}: {}", child.child, visit.text);
    }
    for path in ["/day", "/attention", "/find", "/find?q=a"] {
        assert_eq!(browser.open(path).await.status, StatusCode::OK, "{path}");
    }
}

#[tokio::test]
async fn every_small_form_and_every_entry_of_a_child_renders() {
    let (_dir, app, mut browser) = invented().await;
    let child = app.records.children(None, None, 0, 1).unwrap().0[0].child;
    for kind in AddKind::all() {
        let page = browser.get(&format!("/child/{child}/add/{}", kind.key())).await;
        assert_eq!(page.status, StatusCode::OK, "{}: {}", kind.key(), page.text);
    }
    for entry in app.records.entries(child).unwrap() {
        let page = browser.get(&format!("/child/{child}/entry/{}", entry.id)).await;
        assert_eq!(page.status, StatusCode::OK, "{}: {}", entry.kind().words(), page.text);
        assert_eq!(page.count("h1"), 1);
    }
}

/// Rows of the list, without the calls folded in them and what was put off.
const ROWS: &str = "section.calls > ul.call-list > li.call";

#[tokio::test]
async fn attention_lists_what_the_archive_counts_page_by_page() {
    let (_dir, app, mut browser) = invented().await;
    let filter = clinic::WorkFilter { kind: Some(WorkKind::Row), ..clinic::WorkFilter::default() };
    let total = app.records.worklist(day(TODAY), &filter, 0, 0).unwrap().1;
    assert!(total > 0, "the invented clinic has something that needs attention");
    let mut shown = 0;
    for number in 1..=total.div_ceil(40) {
        shown += browser.get(&format!("/attention?page={number}")).await.count(ROWS);
    }
    assert_eq!(shown, total);
    let mut by_urgency = 0;
    for urgency in ["today", "this-week", "soon", "watch"] {
        let first = browser.get(&format!("/attention?urgency={urgency}")).await;
        by_urgency += first.count(ROWS);
        for number in 2..=total.div_ceil(40) {
            let page = browser.get(&format!("/attention?urgency={urgency}&page={number}")).await;
            // Past the last page the last one is shown again.
            if page.text.contains(&format!("Page {number} of")) {
                by_urgency += page.count(ROWS);
            }
        }
    }
    assert_eq!(by_urgency, total);
    let some = app.records.calls_by_rule(day(TODAY)).unwrap();
    let (rule, count) = some.last().unwrap();
    assert_eq!(browser.get(&format!("/attention?rule={rule}")).await.count(ROWS), (*count).min(40), "{rule}");
}

#[tokio::test]
async fn the_invented_account_is_shown_marked_invented_and_works() {
    let (_dir, app, _browser) = invented().await;
    let mut browser = Browser::new(routes::router(app));
    let page = browser.get("/sign-in").await;
    assert!(page.text.contains(DEMO_ACCOUNT.0) && page.text.contains(DEMO_ACCOUNT.1));
    assert!(page.shown(".invented").contains("no child here is real"));
    assert_eq!(browser.sign_in(DEMO_ACCOUNT.0, DEMO_ACCOUNT.1).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_real_clinic_shows_no_account() {
    let clinic = Clinic::new();
    let page = Browser::new(clinic.router.clone()).get("/sign-in").await;
    assert!(!page.text.contains(DEMO_ACCOUNT.1) && page.count(".invented") == 0);
}

#[tokio::test]
async fn a_child_is_found_by_parts_of_the_name_the_number_and_the_birth_date() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    for query in ["amina", "vester", "Vesterhold", "CF-101", "cf101", "2025-02-18"] {
        let page = browser.open(&format!("/find?q={query}")).await;
        assert!(page.text.contains(&format!("/child/{child}")), "{query}: {}", page.shown("#found"));
        let part = browser.open(&format!("/find?q={query}&part=1")).await;
        assert!(part.text.contains(&format!("/child/{child}")) && !part.text.contains("<html"), "{query}");
    }
    assert_eq!(browser.open("/find?q=quite+another").await.count("li.found"), 0);
}

#[tokio::test]
async fn a_day_past_shows_what_was_known_then() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/add/note");
    let page = browser.send(&path, &path, &[("on", "2025-03-04"), ("text", "Came with her aunt")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER);
    assert!(browser.get(&format!("/child/{child}")).await.text.contains("Came with her aunt"));
    let before = browser.get(&format!("/child/{child}?as_of=2025-03-03")).await;
    assert_eq!(before.status, StatusCode::OK);
    assert!(!before.text.contains("Came with her aunt"));
    assert_eq!(
        browser.get(&format!("/child/{child}?as_of=2025-03-05")).await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
}

#[tokio::test]
async fn a_child_in_casts_is_told_what_is_likely_with_its_interval_and_why() {
    let (_dir, app, mut browser) = invented().await;
    let (children, _) = app.records.children(None, Some("in-correction"), 0, 1000).unwrap();
    assert!(!children.is_empty(), "somebody is in casts");
    let mut forecast = 0;
    for child in &children {
        let page = browser.get(&format!("/child/{}", child.child)).await;
        if page.count(".likely-said") == 0 {
            continue;
        }
        forecast += 1;
        assert!(
            page.text.contains("nine in ten") || page.text.contains("in 100"),
            "an interval stands beside it"
        );
        assert!(page.text.contains("not a promise"));
        assert_eq!(page.count(".likely-foot details.why"), page.count(".likely-foot"), "why, for each foot");
    }
    assert!(forecast > 0, "of {} children in casts nobody is forecast", children.len());
}

#[tokio::test]
async fn the_page_on_the_forecasts_says_how_many_feet_it_rests_on() {
    let (_dir, app, mut browser) = invented().await;
    let page = browser.get("/forecasts").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    let tested = app.records.forecast_review(day(TODAY)).unwrap().unwrap();
    assert!(tested.report.feet > 0, "the invented clinic has finished feet");
    assert!(page.text.contains(&format!("{} finished f", tested.report.feet)));
    let (_empty, mut browser) = Clinic::signed_in().await;
    let page = browser.get("/forecasts").await;
    assert!(page.text.contains("based on published figures only"), "{}", page.text);
}
