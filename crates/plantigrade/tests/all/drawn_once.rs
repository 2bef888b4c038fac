//! A page that many open at the same time is drawn for one of them.

use crate::clinic::{AMINA, Clinic};
use axum::http::StatusCode;
use futures::future::join_all;

const CLIENTS: usize = 16;

#[tokio::test(flavor = "multi_thread")]
async fn the_first_page_of_a_day_is_drawn_once_for_sixteen() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    clinic.child(&mut browser, AMINA).await;
    for path in ["/attention", "/results", "/capacity"] {
        // The same session in sixteen browsers, as on the devices of one person or in tabs that are restored.
        let before = clinic.app.drawing.drawn();
        let asked = (0..CLIENTS).map(|_| {
            let mut one = browser.clone();
            async move { one.get(path).await }
        });
        let pages = join_all(asked).await;
        for page in &pages {
            assert_eq!(page.status, StatusCode::OK, "{path}: {}", page.text);
            assert_eq!(page.text, pages[0].text, "{path}");
        }
        assert_eq!(clinic.app.drawing.drawn() - before, 1, "{path}");
    }
}
