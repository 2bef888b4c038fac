//! Routes of lists of children and of what the clinic as a whole works with: stock, places, theatre and results.

use super::{CAPACITY, CHILDREN, CLINICAL, CONTACT, RESULTS, SETTINGS, SIGNED_IN, STOCK, THEATRE};
use crate::routes::{
    Route, attention, brace_problems, call, capacity, chart_files, day, find, forecasts, form, looks, papers,
    register, results, sends, sheets, stock, theatre,
};
use axum::routing::{get, post};

/// Those at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    vec![
        looks("/day", CHILDREN, get(day::page)),
        looks("/calls", CHILDREN, get(call::list)),
        looks("/attention", CLINICAL, get(attention::page)),
        looks("/attention/lost", CHILDREN, get(attention::lost)),
        form("/find", CHILDREN, CHILDREN, get(find::page).post(find::search)),
        looks("/theatre", THEATRE, get(theatre::page)),
        looks("/theatre/day", THEATRE, get(theatre::day)),
        form("/register", CONTACT, CONTACT, get(register::form).post(register::register)),
        form("/stock", STOCK, STOCK, get(stock::page).post(stock::save)),
        looks("/trouble", CLINICAL, get(brace_problems::page)),
        looks("/capacity", CAPACITY, get(capacity::page)),
        sends("/capacity/compare", CAPACITY, post(capacity::compare)),
        looks("/sheets", SIGNED_IN, get(sheets::list)),
        looks("/results", RESULTS, get(results::page)),
        looks("/results/definitions", RESULTS, get(results::definitions)),
        looks("/results/year", RESULTS, get(results::year)),
        looks("/results/agreement", RESULTS, get(results::agreement)),
        looks("/results/{measure}", RESULTS, get(results::measure)),
        looks("/forecasts", RESULTS, get(forecasts::page)),
    ]
}

/// Those that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    vec![
        sends("/day/arrived", CONTACT, post(day::arrived)),
        sends("/day/missed", CONTACT, post(day::missed)),
        sends("/day/undo", CONTACT, post(day::undo)),
        looks("/day/pdf", CHILDREN, get(papers::clinic_day)),
        looks("/calls/pdf", CHILDREN, get(papers::calls)),
        looks("/theatre/day/pdf", THEATRE, get(papers::theatre_day)),
        looks("/sheets/{key}/pdf", SIGNED_IN, get(papers::sheet)),
        looks("/stock/pdf", STOCK, get(papers::to_order)),
        looks("/results/{measure}/chart/{file}", RESULTS, get(chart_files::of_results)),
        looks("/sheets/{key}", SIGNED_IN, get(sheets::one)),
        sends("/stock/text", STOCK, post(stock::save_text)),
        sends("/stock/count", STOCK, post(stock::count)),
        sends("/capacity/keep", SETTINGS, post(capacity::save)),
        sends("/capacity/undo", SETTINGS, post(capacity::undo)),
        looks("/results/agreement.csv", RESULTS, get(results::agreement_table)),
    ]
}
