//! The header of a file, and why a row is refused.

use super::column::ColumnKind;
use crate::exit::Failure;

/// The header of a file and the requested columns.
pub struct DataSheet {
    pub separator: u8,
    pub heads: Vec<String>,
    pub wanted: Vec<(String, ColumnKind)>,
    /// The place of each requested column in the file and among the requested ones, in the order of the file.
    pub order: Vec<(usize, usize)>,
}

/// Why a row is refused. The caller knows the number of the row.
pub enum Refusal {
    /// A cell is not a number where one is needed: the cell and its column.
    NotANumber(String, String),
    /// The number of cells of the row, that of the header, and the first column that does not fit.
    Length(usize, usize, String),
    /// A quotation mark does not close.
    OpenQuote,
}

impl DataSheet {
    pub fn of(separator: u8, heads: Vec<String>, wanted: &[(String, ColumnKind)]) -> Result<Self, Failure> {
        let order = places(&heads, wanted)?;
        Ok(Self { separator, heads, wanted: wanted.to_vec(), order })
    }

    /// A cell that is not a number.
    pub fn not_a_number(&self, cell: &[u8], column: usize) -> Refusal {
        Refusal::NotANumber(String::from_utf8_lossy(cell).into_owned(), self.wanted[column].0.clone())
    }

    /// A row of the wrong length.
    pub fn length(&self, cells: usize) -> Refusal {
        let first = self.heads.get(cells).map_or("beyond the last", String::as_str);
        Refusal::Length(cells, self.heads.len(), first.to_owned())
    }
}

impl Refusal {
    /// The sentence for the row with this number.
    pub fn at(&self, line: u32) -> Failure {
        Failure::refused(match self {
            Self::NotANumber(cell, column) => {
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

/// The place of each requested column in the file and among the requested ones.
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
