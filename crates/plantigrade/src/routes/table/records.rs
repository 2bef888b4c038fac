//! Routes about the records as a whole: imports, backups, encryption, who opened what, and what is erased.

use super::{ACCESS_LOG, PROTECT, RECORD, RECORDS, SIGNED_IN, takes_file};
use crate::routes::{
    Route, access_log, backups, copies, encryption, erasure, form, import, import_pairs, import_undo, looks,
    records, restricted, retention, sends,
};
use axum::routing::{get, post};

/// Those at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    vec![
        form("/settings/copies", RECORDS, RECORDS, get(copies::page).post(copies::make)),
        looks("/backups", RECORDS, get(backups::page)),
        looks("/records", SIGNED_IN, get(records::page)),
        form("/import", RECORDS, RECORDS, takes_file(get(import::form).post(import::upload))),
        looks("/import/look", RECORDS, get(import::look_again)),
        sends("/import/confirm", RECORDS, post(import::confirm)),
        looks("/import/pairs", RECORDS, get(import_pairs::part)),
        looks("/import/past", RECORDS, get(import_undo::past)),
        form("/import/past/{id}", RECORDS, RECORDS, get(import_undo::form).post(import_undo::undo)),
        form("/access-log", ACCESS_LOG, ACCESS_LOG, get(access_log::page).post(access_log::check)),
        looks("/erasures", PROTECT, get(erasure::list)),
        form("/erasures/{number}", PROTECT, PROTECT, get(erasure::one).post(erasure::decide)),
        looks("/retention", PROTECT, get(retention::page)),
        form("/restricted", PROTECT, PROTECT, get(restricted::list).post(restricted::acknowledge)),
        form(
            pages::encryption::ENCRYPTION_PATH,
            RECORDS,
            RECORDS,
            get(encryption::page).post(encryption::change),
        ),
        form(
            pages::encryption::SHEET_PATH,
            RECORDS,
            RECORDS,
            get(encryption::sheet).post(encryption::confirm),
        ),
        form(
            pages::encryption::FIRST_PATH,
            RECORDS,
            RECORDS,
            get(encryption::first).post(encryption::first_change),
        ),
    ]
}

/// Those that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    vec![
        looks("/access-log.csv", ACCESS_LOG, get(access_log::csv)),
        looks("/access-log.json", ACCESS_LOG, get(access_log::json)),
        sends("/backups/passphrase", RECORDS, post(backups::passphrase)),
        sends("/backups/recovery-code", RECORDS, post(backups::recovery_code)),
        sends("/backups/settings", RECORDS, post(backups::save)),
        sends("/backups/make", RECORDS, post(backups::make)),
        sends("/backups/drill", RECORDS, post(backups::drill)),
        sends("/records/accept", RECORDS, post(records::accept)),
        sends("/records/clock", RECORD, post(records::confirm_clock)),
        sends("/import/settle", RECORDS, post(import::settle)),
        sends("/import/forget", RECORDS, post(import::forget)),
        looks("/import/map", RECORDS, get(import::map_file)),
        looks("/import/refused", RECORDS, get(import::refused)),
    ]
}
