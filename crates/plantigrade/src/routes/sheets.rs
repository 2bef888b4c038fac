//! Blank sheets for a power cut: what there is, and each to print in a stack.

use crate::web::{Fail, PageResult, Shared, Visitor, page as shown};
use axum::extract::{Path, State};
use pages::{BlankSheet, Here};

/// What there is, and how it is entered later.
pub async fn list(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    shown(pages::blank_sheets(&app.frame(&visitor, Here::Settings)))
}

/// One sheet.
pub async fn one(State(app): State<Shared>, visitor: Visitor, Path(key): Path<String>) -> PageResult {
    let sheet = BlankSheet::from_key(&key).ok_or_else(Fail::not_found)?;
    shown(pages::blank_sheet(&app.frame(&visitor, Here::Settings), sheet))
}
