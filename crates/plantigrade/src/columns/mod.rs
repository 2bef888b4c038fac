//! Columns of a delimited text file, for statistics: only what is asked for is kept.
//!
//! The text is cut into cells by [`exchange::delimited`]: a plain file in pieces side by side, any other from
//! end to end. Numbers are kept as numbers, anything else as the number of its
//! level. Missing cells stay missing. Rows are numbered as a spreadsheet shows them: the header is row 1.
//!
//! It knows nothing of children or feet; visits come in through `importing`.

mod column;
mod number;
mod pieces;
mod read;
mod reading;
mod sheet;

pub use column::{ColumnKind, DataColumn};
pub use read::{DataTable, UsedRows};

/// Words for a cell in which nothing was written down.
pub const MISSING: [&str; 6] = ["", "NA", "N/A", "NaN", "NULL", "."];

/// Whether a cell says that nothing is known.
#[must_use]
pub fn is_missing(cell: &[u8]) -> bool {
    MISSING.iter().any(|word| cell.eq_ignore_ascii_case(word.as_bytes()))
}
