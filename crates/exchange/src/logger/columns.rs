//! Which column holds the time, the temperature, the unit and the name of the logger.

use super::heading::Heading;
use super::moment::{Date, counted, time_of_day, whole};
use super::unit::{NamedUnit, Unit, temperature};
use crate::{delimited::Splitter, lists::LOGGER_LISTS};
use std::borrow::Cow;

/// Where the parts of a row are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Layout {
    pub(super) separator: u8,
    /// The whole moment, or the date.
    pub(super) moment: usize,
    /// The time of day, where it is in a column of its own.
    pub(super) time: Option<usize>,
    pub(super) temperature: usize,
    pub(super) logger: Option<usize>,
    /// °C or °F of a column of units.
    pub(super) unit_column: Option<usize>,
    /// The unit that the heading of the temperature names.
    pub(super) unit: NamedUnit,
    /// The number of the logger in the heading of the temperature.
    pub(super) serial: Option<String>,
}

/// Why no layout was found.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum NoLayout {
    /// No row holds both.
    NoRows,
    /// These columns could all be the temperature.
    Which(Vec<String>),
}

/// The separators tried; of those that fit equally many rows the first is taken. Commas come late, because
/// they are decimal marks as well.
const SEPARATORS: [u8; 4] = [b';', b'\t', b',', b'|'];

/// The cells of a row: borrowed from its line, but for those in quotation marks.
pub(super) type Cells<'a> = [Cow<'a, str>];

fn cell_of<'a>(row: &'a Cells<'_>, at: usize) -> &'a str {
    row.get(at).map_or("", |cell| cell)
}

fn is_moment(cell: &str) -> bool {
    whole(cell).is_some() || counted(cell).is_some()
}

/// A row's column of the moment, and of the time where that is separate.
fn moment_columns(cells: &Cells<'_>) -> Option<(usize, Option<usize>)> {
    if let Some(at) = cells.iter().position(|cell| is_moment(cell)) {
        return Some((at, None));
    }
    let date = cells.iter().position(|cell| Date::read(cell).is_some())?;
    let time = cells.iter().position(|cell| time_of_day(cell).is_some())?;
    Some((date, Some(time)))
}

/// Whether a row holds a moment and a temperature.
fn fits(cells: &Cells<'_>) -> bool {
    let Some(moment) = moment_columns(cells) else { return false };
    let mut others = (0..cells.len()).filter(|at| *at != moment.0 && Some(*at) != moment.1);
    others.any(|at| cells.get(at).is_some_and(|cell| temperature(cell).is_some()))
}

/// From the first lines of a file.
pub(super) fn layout(lines: &[String]) -> Result<Layout, NoLayout> {
    let mut best: Option<(usize, u8, usize)> = None;
    for separator in SEPARATORS {
        let mut splitter = Splitter::new(separator);
        let fits: Vec<bool> = lines.iter().map(|line| fits(&splitter.line(line))).collect();
        let good = fits.iter().filter(|fits| **fits).count();
        let first = fits.iter().position(|fits| *fits);
        if let Some(first) = first.filter(|_| best.is_none_or(|best| good > best.0)) {
            best = Some((good, separator, first));
        }
    }
    let Some((_, separator, first)) = best else { return Err(NoLayout::NoRows) };
    let mut splitter = Splitter::new(separator);
    let Some(row) = lines.get(first).map(|line| splitter.line(line)) else { return Err(NoLayout::NoRows) };
    let Some((moment, time)) = moment_columns(&row) else { return Err(NoLayout::NoRows) };
    let above = first.checked_sub(1).and_then(|above| lines.get(above));
    let heads = match above.map(|line| splitter.line(line)) {
        Some(heads) if heads.len() + 1 >= row.len() => joined(&heads, char::from(separator), row.len()),
        _ => Vec::new(),
    };
    let headings: Vec<Heading> = heads.iter().map(|head| Heading::of(head)).collect();
    let heading = |at: usize| headings.get(at).cloned().unwrap_or_default();
    let head = |at: usize| heads.get(at).map_or_else(String::new, |head| head.to_lowercase());
    let named = |at: usize, parts: &[String]| parts.iter().any(|part| head(at).contains(part.as_str()));
    // The heading of a temperature may name its logger without being the column of the loggers' names.
    let of_temperature = |at: usize| {
        let Heading { unit, serial } = heading(at);
        unit != NamedUnit::None || (serial.is_some() && named(at, &LOGGER_LISTS.temperature))
    };
    let logger = (0..row.len())
        .filter(|at| *at != moment && Some(*at) != time && !of_temperature(*at))
        .find(|at| named(*at, &LOGGER_LISTS.logger));
    let free = |at: &usize| *at != moment && Some(*at) != time && Some(*at) != logger;
    let numeric: Vec<usize> =
        (0..row.len()).filter(free).filter(|at| temperature(cell_of(&row, *at)).is_some()).collect();
    let unit_of = |at: usize| heading(at).unit;
    let temperature = which(&numeric, &row, (&named, &unit_of), &head)?;
    let is_unit = |cell: &str| Unit::named(cell).one().is_some() && cell.chars().count() <= 10;
    let mut others = (0..row.len()).filter(free).filter(|at| *at != temperature);
    let unit_column = others.find(|at| is_unit(cell_of(&row, *at)));
    let Heading { unit, serial } = heading(temperature);
    Ok(Layout { separator, moment, time, temperature, logger, unit_column, unit, serial })
}

/// The headings, one for each cell of a row. Where the last heading is that of the temperature and has the separator
/// within it, as in "Temp, °C", without quotation marks, its pieces are put together again.
fn joined(heads: &Cells<'_>, separator: char, cells: usize) -> Vec<String> {
    let last = cells.saturating_sub(1);
    let is_temperature = |head: &str| {
        let low = head.to_lowercase();
        LOGGER_LISTS.temperature.iter().any(|part| low.contains(part.as_str()))
    };
    match (heads.get(..last), heads.get(last..)) {
        (Some(before), Some([first, pieces @ ..])) if !pieces.is_empty() && is_temperature(first) => {
            let whole =
                pieces.iter().fold(first.to_string(), |whole, piece| format!("{whole}{separator} {piece}"));
            before.iter().map(ToString::to_string).chain([whole]).collect()
        }
        _ => heads.iter().map(ToString::to_string).collect(),
    }
}

/// Whether the heading of a column has one of some parts.
type HeadingHas<'a> = &'a dyn Fn(usize, &[String]) -> bool;

/// The column of the temperature among those that hold numbers.
fn which(
    numeric: &[usize],
    row: &Cells<'_>,
    (named, unit_of): (HeadingHas<'_>, &dyn Fn(usize) -> NamedUnit),
    head: &dyn Fn(usize) -> String,
) -> Result<usize, NoLayout> {
    let by_name: Vec<usize> = numeric
        .iter()
        .copied()
        .filter(|at| named(*at, &LOGGER_LISTS.temperature) || unit_of(*at) != NamedUnit::None)
        .filter(|at| !named(*at, &LOGGER_LISTS.elsewhere))
        .collect();
    let marked = |at: &usize| temperature(cell_of(row, *at)).is_some_and(|(_, unit)| unit.is_some());
    // A running number has no decimals and no name of a temperature.
    let decimal = |at: &usize| cell_of(row, *at).contains(['.', ',']);
    let choices = [
        by_name,
        numeric.iter().copied().filter(marked).collect(),
        numeric.iter().copied().filter(decimal).collect(),
        numeric.to_vec(),
    ];
    for choice in choices {
        match *choice {
            [] => {}
            [one] => return Ok(one),
            _ => {
                let name = |at: &usize| {
                    let head = head(*at);
                    if head.is_empty() { crate::column_letter(*at) } else { format!("“{head}”") }
                };
                return Err(NoLayout::Which(choice.iter().map(name).collect()));
            }
        }
    }
    Err(NoLayout::NoRows)
}
