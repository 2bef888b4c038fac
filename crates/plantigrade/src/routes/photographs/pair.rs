//! Two days of one view of one foot.

use super::shown::strip_view;
use crate::web::{Fail, PageResult, Shared, Visitor, page as show, work};
use axum::extract::{Path, Query, State};
use pages::{Here, PhotographPairView, PhotographShown};
use record::{ChildId, EntryId, PhotographView, Sides};
use serde::Deserialize;

/// Which two.
#[derive(Debug, Deserialize)]
pub struct PairQuery {
    first: Option<String>,
    second: Option<String>,
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, feet, view)): Path<(ChildId, String, String)>,
    Query(asked): Query<PairQuery>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let (feet, view) =
        Sides::from_key(&feet).zip(PhotographView::from_key(&view)).ok_or_else(Fail::not_found)?;
    let drawn = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let mut photographs = strip_view(app, &known, today)?.photographs;
        photographs.retain(|one| one.feet == feet && one.view == view);
        let chosen = chosen(&photographs, &asked).ok_or_else(Fail::not_found)?;
        let who = app.who(&known.outlook.course);
        Ok(pages::photograph_pair(&frame, &PhotographPairView { who, feet, view, photographs, chosen }))
    });
    show(drawn.await?)
}

/// The two that were asked for, the earlier first; otherwise the one asked for and the first of all, or the first and
/// the last.
fn chosen(photographs: &[PhotographShown], asked: &PairQuery) -> Option<(EntryId, EntryId)> {
    let place = |text: &Option<String>| {
        let id: EntryId = text.as_deref()?.parse().ok()?;
        photographs.iter().position(|one| one.entry == id)
    };
    let second = place(&asked.second).unwrap_or(photographs.len().checked_sub(1)?);
    let first = place(&asked.first).unwrap_or(0);
    let id = |place: usize| photographs.get(place).map(|one| one.entry);
    id(first.min(second)).zip(id(first.max(second)))
}
