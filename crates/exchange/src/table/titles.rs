//! What is written above a table and holds for each of its rows: "Name: …", "Hospital number" with its value in
//! the next cell, as on a sheet for one child.

use super::{Grid, Table};
use crate::{Meaning, words};

/// The table with columns for what is written above it about the child, where its own columns do not say which
/// child a row is about.
pub(super) fn with_titles(table: Table, header: usize) -> Table {
    if header == 0 || table.headers.iter().any(|header| names_child(header)) {
        return table;
    }
    let titles = titles(&table.grid, header);
    if !titles.iter().any(|(meaning, ..)| is_child(*meaning)) {
        return table;
    }
    let mut grid = if table.grid.typed { Grid::typed() } else { Grid::default() };
    for row in 0..table.grid.height() {
        let width = table.headers.len().max(table.grid.width_of(row));
        let blank = table.grid.is_blank(row) || row < table.first;
        for column in 0..width {
            let cell = table.grid.cell(row, column);
            grid.push(cell.text, cell.kind);
        }
        // Rows that are wider than the headings stay so, and are refused as before.
        if !blank && width == table.headers.len() {
            titles.iter().for_each(|(_, _, value)| grid.push(value, super::CellKind::Text));
        }
        if table.grid.is_damaged(row) {
            grid.mark_damaged();
        }
        grid.end_row();
    }
    grid.down.clone_from(&table.grid.down);
    grid.across.clone_from(&table.grid.across);
    let added = titles.iter().map(|(_, label, _)| label.clone());
    let headers = table.headers.iter().cloned().chain(added).collect();
    Table { headers, grid, ..table }
}

/// Whether a heading is that of a number or a name of the child.
pub(super) fn names_child(header: &str) -> bool {
    words::readings(header).first().is_some_and(|reading| is_child(reading.sense.meaning))
}

const fn is_child(meaning: Meaning) -> bool {
    matches!(meaning, Meaning::Number | Meaning::Name | Meaning::FamilyName | Meaning::GivenName)
}

fn may_stand_above(meaning: Meaning) -> bool {
    is_child(meaning) || matches!(meaning, Meaning::Born | Meaning::Sex | Meaning::Side)
}

/// Labels above the headings with their meaning and value; a meaning that comes twice is left out, since
/// nothing tells which holds.
pub(super) fn titles(grid: &Grid, header: usize) -> Vec<(Meaning, String, String)> {
    let mut found: Vec<(Meaning, String, String)> = Vec::new();
    for row in 0..header {
        for column in 0..grid.width_of(row).min(40) {
            let text = grid.cell(row, column).trimmed();
            let (label, value) = match text.split_once(':') {
                Some((label, value)) if !value.trim().is_empty() => (label.trim(), value.trim()),
                _ => (text.trim_end_matches([':', ' ']), next_value(grid, row, column)),
            };
            if let Some(meaning) =
                meaning_of(label).filter(|_| !value.is_empty() && meaning_of(value).is_none())
            {
                found.push((meaning, label.to_owned(), value.to_owned()));
            }
        }
    }
    let meanings: Vec<Meaning> = found.iter().map(|(meaning, ..)| *meaning).collect();
    found.retain(|(meaning, ..)| meanings.iter().filter(|other| *other == meaning).count() == 1);
    found
}

fn next_value(grid: &Grid, row: usize, column: usize) -> &str {
    let next = (column + 1..grid.width_of(row).min(column + 4)).map(|at| grid.cell(row, at).trimmed());
    next.into_iter().find(|text| !text.is_empty()).unwrap_or("")
}

fn meaning_of(label: &str) -> Option<Meaning> {
    let short = !label.is_empty() && label.chars().count() <= 40;
    let reading = words::readings(label).into_iter().next().filter(|_| short)?;
    Some(reading.sense.meaning).filter(|&meaning| may_stand_above(meaning) && reading.side.is_none())
}
