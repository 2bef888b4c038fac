//! Papers that the clinic prints for itself, as PDF: each is built from what its page shows, for the same reader.

use super::{
    call,
    day::{self, DayQuery, day_of},
    document_pdf::{PaperQuery, answer, refused},
    stock, tenotomy, theatre,
};
use crate::web::{Fail, PageResult, Shared, Visitor, work};
use axum::extract::{Path, Query, State};
use letters::{
    ClinicPaper,
    pdf::{PaperSize, paper_pdf},
};
use pages::{BlankSheet, Here};
use record::ChildId;
use std::collections::BTreeMap;

fn typeset(paper: &ClinicPaper, size: PaperSize) -> Result<Vec<u8>, Fail> {
    paper_pdf(paper, size).map_err(refused)
}

/// The list before a tenotomy.
pub async fn checklist(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(query): Query<BTreeMap<String, String>>,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let (frame, size) = (app.frame(&visitor, Here::Child), on.paper(app.settings().paper)?);
    let bytes = work(&app, move |app| {
        let view = tenotomy::view(app, child, &query)?;
        typeset(&pages::tenotomy::tenotomy_paper(&frame, &view), size)
    });
    Ok(answer("tenotomy-checklist", bytes.await?))
}

/// The tenotomies of a day.
pub async fn theatre_day(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<DayQuery>,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let day = day_of(&app, query.on.as_deref())?;
    let (frame, size) = (app.frame(&visitor, Here::Theatre), on.paper(app.settings().paper)?);
    let bytes = work(&app, move |app| {
        let view = theatre::day_view(app, day)?;
        typeset(&pages::tenotomy::theatre_day_paper(&frame, &view), size)
    });
    Ok(answer("theatre-list", bytes.await?))
}

/// A blank sheet for a power cut.
pub async fn sheet(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(key): Path<String>,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let sheet = BlankSheet::from_key(&key).ok_or_else(Fail::not_found)?;
    let (frame, size) = (app.frame(&visitor, Here::Settings), on.paper(app.settings().paper)?);
    let bytes = work(&app, move |_| typeset(&pages::blank_sheet_paper(&frame, sheet), size));
    Ok(answer(&format!("{}-sheet", sheet.key()), bytes.await?))
}

/// The clinic's day.
pub async fn clinic_day(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<DayQuery>,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let size = on.paper(app.settings().paper)?;
    let (frame, view) = day::for_reader(&app, &visitor, query.on.as_deref()).await?;
    let bytes = work(&app, move |_| typeset(&pages::day_paper(&frame, &view), size));
    Ok(answer("day", bytes.await?))
}

/// The families to call.
pub async fn calls(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<DayQuery>,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let day = day_of(&app, query.on.as_deref())?;
    let (frame, size) = (app.frame(&visitor, Here::Day), on.paper(app.settings().paper)?);
    let bytes = work(&app, move |app| typeset(&pages::calls_paper(&frame, &call::list_of(app, day)?), size));
    Ok(answer("calls", bytes.await?))
}

/// Boots and bars to order.
pub async fn to_order(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let (frame, size) = (app.frame(&visitor, Here::Stock), on.paper(app.settings().paper)?);
    let bytes = work(&app, move |app| typeset(&pages::stock_paper(&frame, &stock::saved_view(app)?), size));
    Ok(answer("stock", bytes.await?))
}
