//! What is known of a file before its rows are read, and why a row is refused.

use super::column::ColumnKind;
use crate::exit::Failure;

/// What is known of a file before its rows are read.
pub struct DataSheet {
    pub separator: u8,
    pub heads: Vec<String>,
    pub wanted: Vec<(String, ColumnKind)>,
    /// Where each wanted column stands in the file, and which it is; in the order of the file.
    pub order: Vec<(usize, usize)>,
}

/// Why a row was refused; which one is known to whoever counts the rows.
pub enum Refusal {
    /// A cell is no number where one is needed: the cell and its column.
    NoNumber(String, String),
    /// The row has so many cells where the header has another count; the first column that does not fit.
    Length(usize, usize, String),
    /// A quotation mark does not close.
    OpenQuote,
}

impl DataSheet {
    pub fn of(separator: u8, heads: Vec<String>, wanted: &[(String, ColumnKind)]) -> Result<Self, Failure> {
        let order = places(&heads, wanted)?;
        Ok(Self { separator, heads, wanted: wanted.to_vec(), order })
    }

    /// A cell is no number.
    pub fn no_number(&self, cell: &[u8], column: usize) -> Refusal {
        Refusal::NoNumber(String::from_utf8_lossy(cell).into_owned(), self.wanted[column].0.clone())
    }

    /// A row has so many cells.
    pub fn length(&self, cells: usize) -> Refusal {
        let first = self.heads.get(cells).map_or("beyond the last", String::as_str);
        Refusal::Length(cells, self.heads.len(), first.to_owned())
    }
}

impl Refusal {
    /// The sentence for the row of this line.
    pub fn at(&self, line: u32) -> Failure {
        Failure::refused(match self {
            Self::NoNumber(cell, column) => {
                format!("“{cell}” in row {line}, column {column} is not a number.")
            }
            Self::OpenQuote => format!("A quotation mark in row {line} does not close."),
            Self::Length(cells, heads, first) => format!(
                "Row {line} has {cells} cells where the header has {heads}; the first column that does not fit is \
                 {first}."
            ),
        })
    }
}

/// Where each wanted column stands, and which it is.
fn places(heads: &[String], wanted: &[(String, ColumnKind)]) -> Result<Vec<(usize, usize)>, Failure> {
    for (name, _) in wanted {
        match heads.iter().filter(|head| *head == name).count() {
            1 => {}
            0 => {
                let there = heads.join(", ");
                return Err(Failure::refused(format!(
                    "There is no column {name}. The columns are: {there}."
                )));
            }
            _ => return Err(Failure::refused(format!("Row 1 names the column {name} more than once."))),
        }
    }
    let which = |head: &String| wanted.iter().position(|(name, _)| name == head);
    Ok(heads.iter().enumerate().filter_map(|(place, head)| Some((place, which(head)?))).collect())
}
