//! Routes about one child: the record, visits, documents, and what is said and ordered about it.

use super::{CHILDREN, CLINICAL, CONTACT, PROTECT, RECORD, takes_file};
use crate::routes::{
    Route, add, brace_fitting, brace_problems, call, chart_files, child, diary_scan, document_handed,
    document_pdf, documents, entry, erasure, family_copy, form, join, letters, looks, move_appointment,
    papers, put_off, restricted, second_score, sends, siblings, stock_of_entry, tenotomy, visit,
    visit_remedy, wear,
};
use axum::routing::{get, post};

/// Those at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    vec![
        looks("/child/{id}", CHILDREN, get(child::page)),
        form("/child/{id}/put-off", RECORD, RECORD, get(put_off::form).post(put_off::save)),
        form("/child/{id}/call", CONTACT, CONTACT, get(call::form).post(call::save)),
        looks("/child/{id}/join", RECORD, get(join::find)),
        form("/child/{id}/join/{other}", RECORD, RECORD, get(join::form).post(join::save)),
        form(
            "/child/{id}/appointment/{entry}/move",
            CONTACT,
            CONTACT,
            get(move_appointment::form).post(move_appointment::save),
        ),
        form(
            "/child/{id}/visit/{on}/change",
            RECORD,
            RECORD,
            get(visit_remedy::form).post(visit_remedy::save),
        ),
        form("/child/{id}/wear", CLINICAL, RECORD, get(wear::page).post(wear::save)),
        form(
            "/child/{id}/wear/scan",
            RECORD,
            RECORD,
            takes_file(get(diary_scan::form).post(diary_scan::read)),
        ),
        sends("/child/{id}/wear/logger", RECORD, takes_file(post(wear::logger))),
        form("/child/{id}/family", CHILDREN, CONTACT, get(siblings::page).post(siblings::save)),
        form("/child/{id}/visit", RECORD, RECORD, get(visit::form).post(visit::save)),
        form(
            "/child/{id}/second-score/{first}",
            RECORD,
            RECORD,
            get(second_score::form).post(second_score::save),
        ),
        looks("/child/{id}/both-scores/{second}", CLINICAL, get(second_score::both)),
        looks("/child/{id}/brace", RECORD, get(brace_fitting::form)),
        looks("/child/{id}/brace/sheet", CLINICAL, get(brace_fitting::sheet)),
        looks("/child/{id}/documents", CLINICAL, get(documents::list)),
        looks("/child/{id}/tenotomy", CLINICAL, get(tenotomy::page)),
        form(
            "/child/{id}/handed-over",
            RECORD,
            RECORD,
            get(document_handed::form).post(document_handed::save),
        ),
        looks("/child/{id}/letters", CLINICAL, get(letters::list)),
        form(
            "/child/{id}/trouble",
            CLINICAL,
            RECORD,
            get(brace_problems::of_child).post(brace_problems::save),
        ),
        // Judged by the kind of the entry as well.
        form("/child/{id}/add/{kind}", CONTACT, CONTACT, get(add::form).post(add::save)),
        looks("/child/{id}/entry/{entry}", CHILDREN, get(entry::page)),
        form("/child/{id}/erasure", PROTECT, PROTECT, get(erasure::form).post(erasure::ask)),
        form("/child/{id}/restriction", PROTECT, PROTECT, get(restricted::form).post(restricted::save)),
    ]
}

/// Those that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    vec![
        looks("/child/{id}/documents/{key}", CLINICAL, get(documents::one)),
        looks("/child/{id}/letters/{key}", CLINICAL, get(letters::one)),
        looks("/child/{id}/letters/{key}/pdf", CLINICAL, get(letters::pdf)),
        looks("/child/{id}/record-file/{file}", RECORD, get(letters::record_file)),
        looks("/child/{id}/chart/{file}", CLINICAL, get(chart_files::of_child)),
        looks("/child/{id}/documents/{key}/pdf", CLINICAL, get(document_pdf::one)),
        looks("/child/{id}/tenotomy/pdf", CLINICAL, get(papers::checklist)),
        looks("/child/{id}/family-copy", RECORD, get(family_copy::download)),
        sends("/child/{id}/hold", PROTECT, post(erasure::hold)),
        sends("/child/{id}/open-restricted", CHILDREN, post(restricted::open)),
        sends("/child/{id}/wear/logged", RECORD, post(wear::save_logged)),
        sends("/child/{id}/visit/preview", RECORD, post(visit::preview)),
        sends("/child/{id}/brace/measure", RECORD, post(brace_fitting::measure)),
        sends("/child/{id}/brace/fit", RECORD, post(brace_fitting::fit)),
        // Judged by the kind of the amended entry as well.
        sends("/child/{id}/entry/{entry}/correct", CONTACT, post(entry::correct)),
        sends("/child/{id}/entry/{entry}/withdraw", CONTACT, post(entry::withdraw)),
        sends("/child/{id}/entry/{entry}/take-back", RECORD, post(entry::take_back)),
        sends("/child/{id}/entry/{entry}/stock", RECORD, post(stock_of_entry::save)),
    ]
}
