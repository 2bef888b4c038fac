//! Pictures that come in parts over a bad network.

use crate::{
    clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, Page},
    photographs::{answer, consented, jpeg},
};
use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
use record::ChildId;
use uuid::Uuid;

/// A file being sent for a child.
struct Sending<'a> {
    browser: &'a mut Browser,
    child: ChildId,
    file: Uuid,
    total: usize,
    token: String,
}

impl<'a> Sending<'a> {
    async fn of(browser: &'a mut Browser, child: ChildId, total: usize) -> Self {
        let path = format!("/child/{child}/photographs");
        let token = browser.get(&path).await.form(&path)["csrf"].clone();
        Self { browser, child, file: Uuid::now_v7(), total, token }
    }

    fn address(&self) -> String {
        format!("/child/{}/photographs/part?file={}&total={}", self.child, self.file, self.total)
    }

    async fn part(&mut self, start: usize, bytes: &[u8]) -> Page {
        let request = Request::post(format!("{}&start={start}", self.address()))
            .header(header::CONTENT_TYPE, "application/octet-stream")
            .header("sec-fetch-site", "same-origin")
            .header("x-form-token", &self.token)
            .body(Body::from(bytes.to_vec()))
            .unwrap();
        self.browser.request(request).await
    }

    async fn arrived(&mut self) -> Page {
        let address = self.address();
        self.browser.get(&address).await
    }

    async fn finished(&mut self) -> Page {
        let path = format!("/child/{}/photographs", self.child);
        let once = self.browser.get(&path).await.form(&path)["once"].clone();
        let files = format!("{}:{}", self.file, self.total);
        let fields = [("csrf", self.token.as_str()), ("once", once.as_str()), ("files", files.as_str())];
        self.browser.post(&format!("{path}/arrived"), &fields).await
    }
}

#[tokio::test]
async fn a_broken_sending_goes_on_where_it_stopped() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let picture = jpeg(1);
    let (half, whole) = (picture.len() / 2, picture.len());
    let mut sending = Sending::of(&mut browser, child, whole).await;
    assert_eq!(sending.arrived().await.text, "0");
    assert_eq!(sending.part(0, &picture[..half]).await.text, half.to_string());
    // The answer was lost: it is sent again, and taken once. One that leaves a gap is not taken.
    assert_eq!(sending.part(0, &picture[..half]).await.text, half.to_string());
    assert_eq!(sending.part(half + 10, &picture[half + 10..]).await.text, half.to_string());
    let early = sending.finished().await;
    assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(early.shown(".errors").contains("not received completely"), "{}", early.text);
    assert_eq!(sending.arrived().await.text, half.to_string());
    assert_eq!(sending.part(half, &picture[half..]).await.text, whole.to_string());
    let done = sending.finished().await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    let names = done.location().to_owned();
    assert_eq!(sending.arrived().await.text, "0", "the parts are forgotten");
    assert_eq!(browser.get(&names).await.count(".photograph-name"), 1);
}

#[tokio::test]
async fn parts_are_taken_from_who_may_and_with_a_consent_only() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let other_child = consented(&clinic, &mut browser, &[("family_name", "Brekke"), ("number", "B-1")]).await;
    let picture = jpeg(1);
    clinic.account("una", PASSWORD);
    let mut other = Browser::new(clinic.router.clone());
    other.sign_in("una", PASSWORD).await;
    assert_ne!(NAME, "una");
    let mut sending = Sending::of(&mut browser, child, picture.len()).await;
    assert_eq!(sending.part(0, &picture[..100]).await.text, "100");
    // For another child, or by somebody else, nothing has arrived.
    let address = sending.address();
    let elsewhere = address.replace(&child.to_string(), &other_child.to_string());
    assert_eq!(sending.browser.get(&elsewhere).await.text, "0");
    assert_eq!(other.get(&address).await.text, "0");
    // Without the token of the form, too much at once, nothing, or a file that is too large.
    let token = std::mem::replace(&mut sending.token, "0".repeat(64));
    assert_eq!(sending.part(100, &picture[100..200]).await.status, StatusCode::FORBIDDEN);
    sending.token = token;
    assert!(sending.part(100, &vec![0; (1 << 20) + 1]).await.status.is_client_error());
    assert!(sending.part(100, &[]).await.status.is_client_error());
    assert_eq!(sending.arrived().await.text, "100");
    sending.total = 25 << 20;
    assert!(sending.part(0, &picture[..100]).await.status.is_client_error());
    sending.total = picture.len();
    answer(sending.browser, child, "withdrawn").await;
    let refused = sending.part(100, &picture[100..200]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(refused.text, "No consent to photographs is in force.");
}
