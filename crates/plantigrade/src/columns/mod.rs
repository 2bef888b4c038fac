//! Columns of a delimited text file, for statistics: only the requested columns are stored.
//!
//! [`exchange::delimited`] cuts the text into cells: a plain file in pieces that are read in parallel, any other
//! from beginning to end. Numbers are stored as numbers, anything else as the number of its level. Missing cells
//! stay missing. Rows are numbered as in a spreadsheet: the header is row 1.
//!
//! This module knows nothing of children or feet; visits are imported by `importing`.

mod column;
mod column_reader;
mod number;
mod pieces;
mod read;
mod sheet;

pub use column::{ColumnKind, DataColumn};
pub use read::{DataTable, UsedRows};

/// Words for a missing value.
pub const MISSING: [&str; 6] = ["", "NA", "N/A", "NaN", "NULL", "."];

/// Whether a cell is a missing value.
#[must_use]
pub fn is_missing(cell: &[u8]) -> bool {
    MISSING.iter().any(|word| cell.eq_ignore_ascii_case(word.as_bytes()))
}
