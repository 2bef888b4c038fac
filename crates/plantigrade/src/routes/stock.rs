//! The cupboard: the clinic's own list, and what the next quarter will need.

use crate::{
    app::App,
    cupboard::Asked,
    web::{Answer, Fail, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use guidance::brace::Stock;
use pages::{Frame, Here, Message, StockView, fields::Filled};
use record::DayRange;
use serde::Deserialize;

/// The list within the data folder.
pub const STOCK_FILE: &str = "stock.toml";
/// The list before the last change.
const STOCK_FILE_BEFORE: &str = "stock.before.toml";
/// A quarter.
const QUARTER_DAYS: i32 = 91;

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct Said {
    done: Option<String>,
}

/// The list in force; empty where the clinic has none.
///
/// # Errors
/// One sentence, when the list cannot be read.
pub fn in_force(app: &App) -> Result<Stock, String> {
    let path = app.dir.join(STOCK_FILE);
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Stock::default()),
        Err(error) => return Err(format!("{} cannot be read: {error}.", path.display())),
    };
    Stock::read(&text).map_err(|error| crate::exit::sentence(&format!("{}, {error}", path.display())))
}

/// The page.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(said): Query<Said>) -> Answer {
    let mut frame = app.frame(&visitor, Here::Stock);
    if said.done.as_deref() == Some("kept") {
        frame.message = Some(Message::Done("The list is kept. The one before it is beside it.".to_owned()));
    }
    shown(work(&app, move |app| drawn(app, &frame, None)).await?)
}

/// Keeps the list of the form.
pub async fn keep(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> Answer {
    let frame = app.frame(&visitor, Here::Stock);
    let kept = work(&app, move |app| match Stock::read(filled.value(pages::stock::LIST)) {
        Ok(stock) => write(app, &stock).map(|()| None),
        Err(error) => {
            let text = crate::exit::sentence(&error.to_string());
            drawn(app, &frame, Some(filled.wrong(pages::stock::LIST, text))).map(Some)
        }
    });
    match kept.await? {
        None => to("/stock?done=kept"),
        Some(form) => again(form),
    }
}

fn write(app: &App, stock: &Stock) -> Result<(), Fail> {
    let head = "# The clinic's own boots and bars, for the page Stock. Written by that page.\n\n";
    let (path, new) = (app.dir.join(STOCK_FILE), app.dir.join(format!("{STOCK_FILE}.new")));
    let written = std::fs::write(&new, format!("{head}{}", stock.to_toml())).and_then(|()| {
        if path.exists() {
            std::fs::copy(&path, app.dir.join(STOCK_FILE_BEFORE))?;
        }
        std::fs::rename(&new, &path)
    });
    written.map_err(|error| Fail::fault(&format!("{} cannot be written: {error}", path.display())))
}

fn drawn(app: &App, frame: &Frame, filled: Option<Filled>) -> Result<maud::Markup, Fail> {
    let (stock, trouble) = match in_force(app) {
        Ok(stock) => (stock, None),
        Err(why) => (Stock::default(), Some(why)),
    };
    let today = app.clock.today();
    let window = DayRange::new(today, today + QUARTER_DAYS);
    let asked = Asked { protocol: &app.protocol, stock: &stock, window };
    let needs = app.cupboard.needs(&app.archive, asked)?;
    let view = StockView {
        filled: filled.unwrap_or_else(|| pages::stock::filled(&stock)),
        boots: needs.boots(&stock),
        bars: needs.bars(),
        counted: (needs.counted, needs.unmeasured),
        stock,
        trouble,
        window,
    };
    Ok(pages::stock(frame, &view))
}
