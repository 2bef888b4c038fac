//! Which column holds what.

use super::moment::{Date, counted, time_of_day, whole};
use super::unit::{Unit, temperature};

/// Where the parts of a row stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Layout {
    pub(super) separator: char,
    /// The whole moment, or the date.
    pub(super) moment: usize,
    /// The time of day, where it stands in a column of its own.
    pub(super) time: Option<usize>,
    pub(super) temperature: usize,
    pub(super) logger: Option<usize>,
    /// °C or °F of a column of units.
    pub(super) unit_column: Option<usize>,
    pub(super) unit: Option<Unit>,
}

/// Why no layout was found.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum NoLayout {
    /// No row holds both.
    NoRows,
    /// These columns could all be the temperature.
    Which(Vec<String>),
}

const TEMPERATURE_WORDS: [&str; 12] =
    ["temp", "celsius", "fahrenheit", "°c", "°f", "ºc", "ºf", "degc", "degf", "температ", "温度", "तापमान"];
const LOGGER_WORDS: [&str; 9] =
    ["logger", "serial", "device", "sensor id", "sensor no", "s/n", "seriennummer", "serie", "probe"];
/// Headings of temperatures that are not the boot's.
const OTHER_WORDS: [&str; 5] = ["ambient", "room", "outside", "battery", "humid"];

/// Cells of a line; quotes hold separators within.
pub(super) fn cells(line: &str, separator: char) -> Vec<&str> {
    let mut found = Vec::with_capacity(6);
    let (mut quoted, mut begin) = (false, 0);
    for (at, c) in line.char_indices() {
        if c == '"' {
            quoted = !quoted;
        } else if c == separator && !quoted {
            found.push(clean(&line[begin..at]));
            begin = at + c.len_utf8();
        }
    }
    found.push(clean(&line[begin..]));
    found
}

fn clean(cell: &str) -> &str {
    cell.trim().trim_matches('"').trim()
}

fn is_moment(cell: &str) -> bool {
    whole(cell).is_some() || counted(cell).is_some()
}

/// A row's column of the moment, and of the time where that stands apart.
fn moment_columns(cells: &[&str]) -> Option<(usize, Option<usize>)> {
    if let Some(at) = cells.iter().position(|cell| is_moment(cell)) {
        return Some((at, None));
    }
    let date = cells.iter().position(|cell| Date::read(cell).is_some())?;
    let time = cells.iter().position(|cell| time_of_day(cell).is_some())?;
    Some((date, Some(time)))
}

/// From the first lines of a file.
pub(super) fn layout(lines: &[String]) -> Result<Layout, NoLayout> {
    let separators = [';', '\t', ',', '|'];
    let mut best: Option<(usize, char, usize)> = None;
    for separator in separators {
        let fits = |line: &String| {
            let cells = cells(line, separator);
            let moment = moment_columns(&cells)?;
            let numbers = (0..cells.len()).filter(|at| *at != moment.0 && Some(*at) != moment.1);
            numbers.filter(|at| temperature(cells[*at]).is_some()).count().ge(&1).then_some(())
        };
        let good = lines.iter().filter(|line| fits(line).is_some()).count();
        let first = lines.iter().position(|line| fits(line).is_some());
        if let Some(first) = first.filter(|_| best.is_none_or(|best| good > best.0)) {
            best = Some((good, separator, first));
        }
    }
    let Some((_, separator, first)) = best else { return Err(NoLayout::NoRows) };
    let row = cells(&lines[first], separator);
    let Some((moment, time)) = moment_columns(&row) else { return Err(NoLayout::NoRows) };
    let heads: Vec<&str> = match first.checked_sub(1).map(|above| cells(&lines[above], separator)) {
        Some(heads) if heads.len() + 1 >= row.len() => heads,
        _ => Vec::new(),
    };
    let head = |at: usize| heads.get(at).map_or_else(String::new, |head| head.to_lowercase());
    let named = |at: usize, words: &[&str]| words.iter().any(|word| head(at).contains(word));
    let logger = (0..row.len()).find(|at| *at != moment && Some(*at) != time && named(*at, &LOGGER_WORDS));
    let free = |at: &usize| *at != moment && Some(*at) != time && Some(*at) != logger;
    let numeric: Vec<usize> =
        (0..row.len()).filter(free).filter(|at| temperature(row[*at]).is_some()).collect();
    let temperature = which(&numeric, &row, &named, &head)?;
    let unit_column = (0..row.len())
        .filter(free)
        .find(|at| *at != temperature && Unit::named(row[*at]).is_some() && row[*at].chars().count() <= 10);
    let unit = Unit::named(&head(temperature));
    Ok(Layout { separator, moment, time, temperature, logger, unit_column, unit })
}

/// The column of the temperature among those that hold numbers.
fn which(
    numeric: &[usize],
    row: &[&str],
    named: &dyn Fn(usize, &[&str]) -> bool,
    head: &dyn Fn(usize) -> String,
) -> Result<usize, NoLayout> {
    let by_name: Vec<usize> = numeric
        .iter()
        .copied()
        .filter(|at| named(*at, &TEMPERATURE_WORDS) || Unit::named(&head(*at)).is_some())
        .filter(|at| !named(*at, &OTHER_WORDS))
        .collect();
    let marked = |at: &usize| temperature(row[*at]).is_some_and(|(_, unit)| unit.is_some());
    // A running number has no decimals and no name of a temperature.
    let decimal = |at: &usize| row[*at].contains(['.', ',']);
    let choices = [
        by_name,
        numeric.iter().copied().filter(marked).collect(),
        numeric.iter().copied().filter(decimal).collect(),
        numeric.to_vec(),
    ];
    for choice in choices {
        match choice[..] {
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
