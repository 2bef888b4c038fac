//! Routes of the protocol and of the clinic's settings, texts and letterhead.

use super::{SETTINGS, SIGNED_IN, takes_file};
use crate::routes::{
    Route, document_texts, first_steps, form, import_maps, letterhead, looks, protocol, sends, settings,
};
use axum::routing::{get, post};

/// Those at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    vec![
        looks("/protocol", SIGNED_IN, get(protocol::page)),
        looks("/protocol/history", SIGNED_IN, get(protocol::history)),
        form("/protocol/value/{key}", SIGNED_IN, SETTINGS, get(protocol::value).post(protocol::change)),
        form("/settings", SETTINGS, SETTINGS, get(settings::page).post(settings::save)),
        looks("/settings/history", SETTINGS, get(settings::history)),
        form(
            pages::document_texts::LANGUAGES_PATH,
            SETTINGS,
            SETTINGS,
            get(document_texts::languages).post(document_texts::save_language),
        ),
        looks(pages::document_texts::TEXTS_PATH, SETTINGS, get(document_texts::list)),
        form(
            "/documents/texts/{lang}/{message}",
            SETTINGS,
            SETTINGS,
            get(document_texts::one).post(document_texts::change),
        ),
        form("/settings/letterhead", SETTINGS, SETTINGS, get(letterhead::page).post(letterhead::save)),
        form("/settings/maps", SETTINGS, SETTINGS, get(import_maps::page).post(import_maps::change)),
        looks("/first-steps", SETTINGS, get(first_steps::page)),
        form("/first-steps/clinic", SETTINGS, SETTINGS, get(first_steps::clinic).post(first_steps::save)),
    ]
}

/// Those that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    vec![
        sends("/settings/logo", SETTINGS, takes_file(post(letterhead::logo))),
        sends("/settings/logo/remove", SETTINGS, post(letterhead::remove_logo)),
        sends("/settings/closures", SETTINGS, post(settings::closures)),
        sends("/settings/second-factor", SETTINGS, post(settings::second_factor)),
        looks("/settings/maps/{key}", SETTINGS, get(import_maps::file)),
    ]
}
