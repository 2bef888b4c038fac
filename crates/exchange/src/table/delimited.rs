//! A sheet from text with delimiters.

use super::{CellKind, Grid, MOST_CELLS, MOST_COLUMNS, MOST_ROWS, ReadError};
use crate::delimited::{Record, Records, SEPARATORS};

/// The names of [`SEPARATORS`].
const NAMES: [&str; SEPARATORS.len()] = ["comma", "semicolon", "tab", "pipe"];

/// More broken rows than this and the whole file is refused.
const MOST_BROKEN_ROWS: usize = 1000;

/// The name of a separator.
pub(super) fn name_of(separator: u8) -> &'static str {
    let names = SEPARATORS.iter().zip(NAMES);
    names.into_iter().find(|(known, _)| **known == separator).map_or("comma", |(_, name)| name)
}

/// Cells and rows of the text. A row whose quotation marks do not close is marked as damaged.
pub(super) fn parse(text: &str, separator: u8, file: &str) -> Result<Grid, ReadError> {
    let (mut grid, mut broken, mut first_broken) = (Grid::default(), 0, 0);
    let (mut records, mut record) = (Records::new(text.as_bytes(), separator), Record::default());
    // A line that only names the separator keeps its number and holds nothing.
    if text.starts_with("sep=") && text.len() > 5 && records.read(&mut record) {
        grid.end_row();
    }
    while records.read(&mut record) {
        let row = grid.height() + 1;
        if record.is_damaged() {
            broken += 1;
            first_broken = if broken == 1 { row } else { first_broken };
            if broken > MOST_BROKEN_ROWS {
                return Err(ReadError::Quotes { file: file.to_owned(), row: first_broken });
            }
            grid.mark_damaged();
        } else if record.len() > MOST_COLUMNS {
            return Err(ReadError::Columns { file: file.to_owned(), row, columns: record.len() });
        }
        // The text is sound, and cut where there is a separator of one byte.
        for cell in record.texts().into_iter().flatten() {
            grid.push(cell, CellKind::Text);
        }
        grid.end_row();
        if grid.height() > MOST_ROWS {
            return Err(ReadError::Rows(file.to_owned()));
        }
        if grid.cells() > MOST_CELLS {
            return Err(ReadError::Cells(file.to_owned()));
        }
    }
    Ok(grid)
}
