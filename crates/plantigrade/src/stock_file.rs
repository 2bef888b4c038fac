//! The file of the clinic's stock list, within the data folder.

use crate::{app::App, clock::local_words, kept_file::KeptFile, web::Fail};
use guidance::brace::Stock;
use pages::RequestError;
use record::UserId;
use std::sync::PoisonError;

/// The list within the data folder.
pub const STOCK_FILE: &str = "stock.toml";
/// The previous version of the list.
pub const STOCK_FILE_BEFORE: &str = "stock.before.toml";
/// The saved list; empty if the clinic has none.
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

/// Changes the list on behalf of a fitting. `change` says whether there is anything to be written.
///
/// # Errors
/// When the list cannot be read or written.
pub fn change(app: &App, by: UserId, change: impl FnOnce(&mut Stock) -> bool) -> Result<(), Fail> {
    let _one = app.listing.lock().unwrap_or_else(PoisonError::into_inner);
    let mut stock = in_force(app).map_err(|why| Fail(RequestError::Refused(why)))?;
    if change(&mut stock) { write(app, by, &stock) } else { Ok(()) }
}

const CHANGED: &str = "# Last changed by ";

/// Writes the list with the person who changed it; the version before stays beside it.
///
/// # Errors
/// When it cannot be written. The caller holds [`App::listing`].
pub fn write(app: &App, by: UserId, stock: &Stock) -> Result<(), Fail> {
    let who: String = app.name_of(by).chars().filter(|char| !char.is_control()).collect();
    let when = local_words(app.clock.now());
    let head = format!(
        "# The clinic's own boots and bars, for the page Stock. Written by that page.\n{CHANGED}{who}, {when}.\n\n"
    );
    let file = KeptFile::of(&app.dir, STOCK_FILE);
    file.replace(&format!("{head}{}", stock.to_file()))
        .map_err(|error| Fail::fault(&format!("{} cannot be written: {error}", file.path().display())))
}

/// Who changed the list last, as the file states.
#[must_use]
pub fn changed(app: &App) -> Option<String> {
    let text = std::fs::read_to_string(app.dir.join(STOCK_FILE)).ok()?;
    let line = text.lines().take(3).find(|line| line.starts_with(CHANGED))?;
    Some(line.trim_start_matches("# ").to_owned())
}
