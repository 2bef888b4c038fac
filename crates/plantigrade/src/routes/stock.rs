//! Stock: the clinic's own list of boots and bars, and what the next quarter will need.

use crate::{
    app::App,
    forms,
    stock_file::{STOCK_FILE_BEFORE, changed, in_force, write},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use guidance::brace::Stock;
use pages::{
    Frame, Here, Message, RequestError, StockChild, StockView,
    fields::{self, Filled},
    stock::rows::{self, StockKind},
};
use record::{DayRange, UserId};
use serde::Deserialize;
use sha2::{Digest, Sha256};
use std::sync::PoisonError;

/// The period for which the needs are forecast: a quarter.
const QUARTER_DAYS: i32 = 91;

/// What was just saved.
#[derive(Debug, Deserialize)]
pub struct StockQuery {
    done: Option<String>,
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<StockQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Stock);
    frame.message = match asked.done.as_deref() {
        Some("kept") => {
            Some(Message::Done(format!("List saved. The previous version is in {STOCK_FILE_BEFORE}.")))
        }
        Some("counted") => Some(Message::Done("The count was changed by one.".to_owned())),
        _ => None,
    };
    shown(work(&app, move |app| drawn(app, &frame, Forms::default())).await?)
}

/// Saves the list of the rows, or adds or removes a row of the form.
pub async fn save(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Stock));
    if let Some(done) = with_changed_rows(&filled) {
        let drawn = work(&app, move |app| {
            drawn(app, &frame, Forms { rows: Some(done.0), new_row: done.1, ..Forms::default() })
        });
        return shown(drawn.await?);
    }
    let saved = work(&app, move |app| match forms::stock(&filled) {
        Ok(stock) => {
            let clash = save_list(app, by, stock, filled.value(fields::SEEN))?;
            clash
                .map(|clash| {
                    drawn(app, &frame, Forms { rows: Some(filled), clash: Some(clash), ..Forms::default() })
                })
                .transpose()
        }
        Err(errors) => {
            let rows = Some(Filled { errors, ..filled });
            drawn(app, &frame, Forms { rows, ..Forms::default() }).map(Some)
        }
    });
    answered(saved.await?)
}

/// Saves the list as text.
pub async fn save_text(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Stock));
    let saved = work(&app, move |app| match Stock::read(filled.value(pages::stock::LIST)) {
        Ok(stock) => {
            let clash = save_list(app, by, stock, filled.value(fields::SEEN))?;
            clash
                .map(|clash| {
                    drawn(app, &frame, Forms { text: Some(filled), clash: Some(clash), ..Forms::default() })
                })
                .transpose()
        }
        Err(error) => {
            let text = crate::exit::sentence(&error.to_string());
            let text = Some(filled.wrong(pages::stock::LIST, text));
            drawn(app, &frame, Forms { text, ..Forms::default() }).map(Some)
        }
    });
    answered(saved.await?)
}

fn answered(form: Option<maud::Markup>) -> PageResult {
    form.map_or_else(|| to("/stock?done=kept"), again)
}

/// The form with a row added or removed, if such a button was pressed.
fn with_changed_rows(filled: &Filled) -> Option<(Filled, Option<(StockKind, usize)>)> {
    let mut parts = filled.given(rows::DO)?.split('.');
    let (what, kind) = (parts.next()?, StockKind::from_key(parts.next()?)?);
    match what {
        "add" => {
            let more = kind.with_row(filled.clone());
            let last = kind.rows(&more).last().copied();
            Some((more, last.map(|row| (kind, row))))
        }
        "without" => Some((kind.without_row(filled.clone(), parts.next()?.parse().ok()?), None)),
        _ => None,
    }
}

/// Saves a list, unless somebody saved another since the version `seen`: then how that one differs.
fn save_list(app: &App, by: UserId, mut stock: Stock, seen: &str) -> Result<Option<Vec<String>>, Fail> {
    let _one = app.listing.lock().unwrap_or_else(PoisonError::into_inner);
    // A list that cannot be read is replaced by the new one; the old file stays as the previous version.
    if let Ok(now) = in_force(app) {
        if version(&now) != seen {
            return Ok(Some(now.otherwise(&stock)));
        }
        // The form has the sizes and the counts; what was taken for whom is kept.
        stock.taken = now.taken;
    }
    write(app, by, &stock).map(|()| None)
}

/// Adds one to a count, or takes one off.
pub async fn count(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let by = visitor.user()?;
    work(&app, move |app| {
        let _one = app.listing.lock().unwrap_or_else(PoisonError::into_inner);
        let refused = |text: &str| Fail(RequestError::Refused(text.to_owned()));
        let mut stock = in_force(app).map_err(|why| refused(&why))?;
        let label = filled.value(rows::LABEL);
        let counted = match StockKind::from_key(filled.value(rows::KIND)) {
            Some(StockKind::Boot) => {
                stock.boots.iter_mut().find(|boot| boot.label == label).map(|boot| &mut boot.in_store)
            }
            Some(StockKind::Bar) => {
                stock.bars.iter_mut().find(|bar| bar.label == label).map(|bar| &mut bar.in_store)
            }
            None => None,
        };
        let count = counted.and_then(Option::as_mut).ok_or_else(|| {
            refused("This size is no longer on the list, or is no longer counted. Nothing was changed.")
        })?;
        match filled.value(rows::BY) {
            "1" => *count = (*count + 1).min(10_000),
            "-1" if *count > 0 => *count -= 1,
            "-1" => {
                return Err(refused("Somebody gave out the last one in the meantime. Nothing was changed."));
            }
            _ => return Err(Fail(RequestError::Stale)),
        }
        write(app, by, &stock)
    })
    .await?;
    to("/stock?done=counted")
}

/// The version of a list; the same for the same contents.
fn version(stock: &Stock) -> String {
    Sha256::digest(stock.to_toml()).iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

/// The first page of children for whom boots or a bar will be needed, and the number of all.
fn children(app: &App) -> Result<(Vec<StockChild>, usize), Fail> {
    let (rows, total) = super::attention::of_kind(app, clinic::WorkKind::Stock, 0)?;
    let rows = rows.into_iter().filter_map(|found| super::attention::row(app, found));
    Ok((rows.map(|row| StockChild { who: row.who, call: row.attention }).collect(), total))
}

/// Contents of the forms that differ from the saved list.
#[derive(Default)]
struct Forms {
    rows: Option<Filled>,
    new_row: Option<(StockKind, usize)>,
    text: Option<Filled>,
    clash: Option<Vec<String>>,
}

fn drawn(app: &App, frame: &Frame, forms: Forms) -> Result<maud::Markup, Fail> {
    Ok(pages::stock(frame, &view(app, forms)?))
}

/// The saved list and the needs, without a form.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn saved_view(app: &App) -> Result<StockView, Fail> {
    view(app, Forms::default())
}

fn view(app: &App, forms: Forms) -> Result<StockView, Fail> {
    let (stock, warning) = match in_force(app) {
        Ok(stock) => (stock, None),
        Err(why) => (Stock::default(), Some(why)),
    };
    let today = app.clock.today();
    let window = DayRange::new(today, today + QUARTER_DAYS);
    let needs = app.records.stock_needs(&stock, window)?;
    // A form keeps the version from which it was made; after a clash it is the version just shown.
    let of_form = [&forms.rows, &forms.text].into_iter().flatten().find_map(|form| form.given(fields::SEEN));
    let seen = of_form.filter(|_| forms.clash.is_none()).map_or_else(|| version(&stock), str::to_owned);
    Ok(StockView {
        filled: forms.text.unwrap_or_else(|| pages::stock::filled(&stock)),
        rows: forms.rows.unwrap_or_else(|| rows::of_list(&stock)),
        new_row: forms.new_row,
        seen,
        changed: changed(app),
        clash: forms.clash,
        boots: needs.boots(&stock),
        bars: needs.bars(),
        children: children(app)?,
        counted: (needs.counted, needs.unmeasured),
        returns: super::stock_of_entry::returns(app, &stock)?,
        stock,
        warning,
        window,
    })
}
