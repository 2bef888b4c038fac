//! What every answer tells the browser.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, Page};
use axum::http::{StatusCode, header};
use plantigrade::headers::POLICY;

fn header<'a>(page: &'a Page, name: &str) -> &'a str {
    page.headers.get(name).map_or("", |value| value.to_str().unwrap())
}

#[tokio::test]
async fn every_answer_is_locked_down_also_those_that_fail() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    for path in
        ["/day", "/sign-in", "/nowhere", "/child/nobody", "/assets/app.css", "/health", "/day?on=never"]
    {
        let page = browser.get(path).await;
        assert_eq!(header(&page, "content-security-policy"), POLICY, "{path}");
        assert_eq!(header(&page, "x-content-type-options"), "nosniff", "{path}");
        assert_eq!(header(&page, "referrer-policy"), "same-origin", "{path}");
        assert_eq!(header(&page, "x-frame-options"), "DENY", "{path}");
        assert!(header(&page, "permissions-policy").contains("camera=()"), "{path}");
    }
}

#[test]
fn the_policy_allows_nothing_from_elsewhere_and_nothing_within_a_page() {
    assert!(POLICY.contains("default-src 'none'") && POLICY.contains("frame-ancestors 'none'"));
    assert!(!POLICY.contains("unsafe") && !POLICY.contains("http") && !POLICY.contains('*'));
}

#[tokio::test]
async fn pages_are_kept_by_no_cache_and_files_for_ever_under_their_hash() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    assert_eq!(header(&browser.get("/day").await, "cache-control"), "no-store");
    assert_eq!(header(&browser.get("/nowhere").await, "cache-control"), "no-store");
    let page = browser.get(&pages::assets::css_href()).await;
    assert_eq!((page.status, header(&page, "content-type")), (StatusCode::OK, "text/css; charset=utf-8"));
    assert!(header(&page, "cache-control").contains("immutable"));
    let page = browser.get("/assets/app.css?v=0000000000000000").await;
    assert_eq!(
        header(&page, "cache-control"),
        "no-cache",
        "an old address must not be kept with new contents"
    );
    assert_eq!(browser.get("/assets/secret.txt").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn no_page_holds_a_style_or_a_script_of_its_own() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    for path in
        ["/day", "/attention", "/find", "/register", "/capacity", "/protocol", "/forecasts", "/import"]
    {
        let page = browser.get(path).await;
        assert_eq!(page.count("[style], style, script:not([src])"), 0, "{path}");
    }
}

#[tokio::test]
async fn health_answers_anybody_and_says_nothing() {
    let clinic = Clinic::new();
    let page = Browser::new(clinic.router.clone()).get("/health").await;
    assert_eq!((page.status, page.text.as_str()), (StatusCode::OK, "ok"));
    assert!(page.headers.get(header::SET_COOKIE).is_none());
}
