//! Routes of photographs and videos: their pages, what is sent, and the pictures and videos themselves.

use super::{CLINICAL, RECORD};
use crate::{
    access_noting::{PARTS_PATH, VIDEO_PARTS_PATH},
    photograph_uploads::PICTURES_BYTES,
    routes::{Route, form, import, looks, photographs, sends, videos},
    video_uploads::VIDEO_FORM_BYTES,
    web::Shared,
};
use axum::{
    extract::DefaultBodyLimit,
    middleware::from_fn,
    routing::{MethodRouter, get, post},
};

/// Those at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    vec![
        form(
            "/child/{id}/photographs",
            CLINICAL,
            RECORD,
            takes_pictures(get(photographs::page).post(photographs::send)),
        ),
        form(
            "/child/{id}/photographs/upload/{upload}",
            RECORD,
            RECORD,
            get(photographs::names_form).post(photographs::save_names),
        ),
        looks("/child/{id}/photographs/view/{feet}/{view}", CLINICAL, get(photographs::pair)),
        form(
            "/child/{id}/photographs/{entry}/measure",
            RECORD,
            RECORD,
            get(photographs::measure_form).post(photographs::measure),
        ),
        form(
            "/child/{id}/letters/{key}/photographs",
            RECORD,
            RECORD,
            get(photographs::letter_form).post(photographs::save_letter),
        ),
        form(
            "/child/{id}/photographs/{entry}/length",
            RECORD,
            RECORD,
            get(photographs::length_form).post(photographs::length),
        ),
        form("/child/{id}/videos", CLINICAL, RECORD, takes_video(get(videos::page).post(videos::send))),
        form(
            "/child/{id}/videos/upload/{upload}",
            RECORD,
            RECORD,
            get(videos::names_form).post(videos::save_names),
        ),
    ]
}

/// Those that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    vec![
        sends("/child/{id}/photographs/consent", RECORD, post(photographs::answer)),
        form(PARTS_PATH, RECORD, RECORD, get(photographs::arrived).post(photographs::take)),
        sends("/child/{id}/photographs/arrived", RECORD, post(photographs::finish)),
        looks("/child/{id}/photographs/{entry}/{size}", CLINICAL, get(photographs::kept_picture)),
        looks("/child/{id}/photographs/{entry}/part/{part}", CLINICAL, get(photographs::picture_part)),
        looks("/child/{id}/letters/{key}/with/{entry}", CLINICAL, get(photographs::letter_with_photographs)),
        looks("/child/{id}/letters/{key}/with/{entry}/pdf", CLINICAL, get(photographs::letter_pdf)),
        looks(
            "/child/{id}/letters/{key}/with/{entry}/letter/pdf",
            CLINICAL,
            get(photographs::whole_letter_pdf),
        ),
        looks("/child/{id}/photographs/upload/{upload}/{number}", RECORD, get(photographs::waiting_picture)),
        sends("/child/{id}/videos/consent", RECORD, post(videos::answer)),
        form(VIDEO_PARTS_PATH, RECORD, RECORD, get(videos::arrived).post(videos::take)),
        sends("/child/{id}/videos/arrived", RECORD, post(videos::finish)),
        looks("/child/{id}/videos/{entry}/film", CLINICAL, get(videos::kept)),
        looks("/child/{id}/videos/upload/{upload}/film", RECORD, get(videos::waiting)),
    ]
}

/// A path that accepts several pictures.
fn takes_pictures(methods: MethodRouter<Shared>) -> MethodRouter<Shared> {
    let not_too_large = |request, next| import::at_most(PICTURES_BYTES, request, next);
    methods.layer(DefaultBodyLimit::max(PICTURES_BYTES)).layer(from_fn(not_too_large))
}

/// A path that accepts a video.
fn takes_video(methods: MethodRouter<Shared>) -> MethodRouter<Shared> {
    let not_too_large = |request, next| import::at_most(VIDEO_FORM_BYTES, request, next);
    methods.layer(DefaultBodyLimit::max(VIDEO_FORM_BYTES)).layer(from_fn(not_too_large))
}
