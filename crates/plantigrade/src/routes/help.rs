//! The manual.

use crate::web::{Fail, PageResult, Shared, Visitor, page as shown};
use axum::extract::{Path, State};
use pages::{HelpPart, Here};

/// What is where.
pub async fn contents(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    shown(pages::help(&app.frame(&visitor, Here::Elsewhere), HelpPart::Contents))
}

/// One part.
pub async fn part(State(app): State<Shared>, visitor: Visitor, Path(key): Path<String>) -> PageResult {
    let part = HelpPart::from_key(&key).ok_or_else(Fail::not_found)?;
    shown(pages::help(&app.frame(&visitor, Here::Elsewhere), part))
}
