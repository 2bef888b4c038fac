//! Routes of the first page, the manual, and what the program tells about itself.

use super::{OPEN, SIGNED_IN};
use crate::{
    access::first_page,
    routes::{Route, assets, help, looks, watching},
    web::Visitor,
};
use axum::{response::Redirect, routing::get};

/// Those at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    vec![
        looks("/help", SIGNED_IN, get(help::contents)),
        // The part on signing in is open; the gate knows which.
        looks("/help/{part}", SIGNED_IN, get(help::part)),
    ]
}

/// Those that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    vec![
        looks("/", SIGNED_IN, get(first)),
        looks("/assets/{file}", OPEN, get(assets::file)),
        // What they tell depends on the address from which they are asked.
        looks("/health", OPEN, get(watching::health)),
        looks("/metrics", OPEN, get(watching::figures)),
    ]
}

/// The first page, by what the visitor may see.
async fn first(visitor: Visitor) -> Redirect {
    Redirect::to(first_page(visitor.rights()))
}
