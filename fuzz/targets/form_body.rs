//! The body of a form as a browser sends it (`application/x-www-form-urlencoded`): its pairs, and the visit that is
//! read from them.
#![no_main]

use axum::{body::Body, http::Request};
use libfuzzer_sys::fuzz_target;
use pages::fields::Filled;
use plantigrade::forms;

thread_local! {
    static RUNTIME: tokio::runtime::Runtime =
        tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
}

fuzz_target!(|bytes: &[u8]| {
    let request = Request::post("/")
        .header("content-type", "application/x-www-form-urlencoded")
        .body(Body::from(bytes.to_vec()))
        .expect("a request");
    let pairs = RUNTIME.with(|runtime| runtime.block_on(plantigrade::fuzzing::form_pairs(request)));
    let Some(pairs) = pairs else { return };
    let long: usize = pairs.iter().map(|(name, value)| name.len() + value.len()).sum();
    // A byte that is no UTF-8 becomes a sign of three bytes.
    assert!(long <= 3 * bytes.len(), "{long} bytes from {}", bytes.len());
    let filled: Filled = pairs.into_iter().collect();
    let Ok(visit) = forms::visit(&filled, fuzz::today()) else { return };
    assert!(visit.on <= fuzz::today());
    for draft in &visit.drafts {
        let entry = fuzz::entry_of(draft.body.clone(), visit.on);
        assert_eq!(entry.refusal(), None, "{entry:?}");
        fuzz::goes_and_comes_back(&entry);
    }
});
