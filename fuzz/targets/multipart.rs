//! An upload as a browser sends it (`multipart/form-data`), for the import and for a logger. The first byte chooses
//! which; the boundary is fixed.
#![no_main]

use axum::{body::Body, http::Request};
use libfuzzer_sys::fuzz_target;

thread_local! {
    static RUNTIME: tokio::runtime::Runtime =
        tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
}

fuzz_target!(|bytes: &[u8]| {
    let Some((first, body)) = bytes.split_first() else { return };
    let request = Request::post("/")
        .header("content-type", "multipart/form-data; boundary=b0undary")
        .body(Body::from(body.to_vec()))
        .expect("a request");
    let of_logger = first % 2 == 1;
    let read = RUNTIME.with(|runtime| runtime.block_on(plantigrade::fuzzing::upload(request, of_logger)));
    let Some(read) = read else { return };
    let whole: usize = read.files.iter().map(Vec::len).sum();
    assert!(whole <= body.len(), "more came out than was sent");
    for file in read.files.iter().filter(|file| !file.is_empty()) {
        assert!(body.windows(file.len()).any(|part| part == file), "a file that was not sent");
    }
});
