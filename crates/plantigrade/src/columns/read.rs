//! Reading the columns that are asked for.

use super::{
    cells::{Cells, number, separator, without_mark},
    is_missing,
};
use crate::exit::Failure;
use std::{collections::HashMap, path::Path};

/// The rows that hold a value in every column asked for, and how many lack one, by column.
pub type Complete = (Vec<usize>, Vec<(String, usize)>);

/// What a column is kept as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Numbers; anything else is refused.
    Number,
    /// Levels, whatever they are.
    Level,
    /// Numbers where every cell is one, else levels.
    Either,
}

/// A column as it was kept.
#[derive(Debug, Clone)]
pub enum Column {
    /// Numbers, not-a-number where missing.
    Numbers(Vec<f64>),
    /// Levels in order, and each row's; `u32::MAX` where missing.
    Levels(Vec<String>, Vec<u32>),
}

impl Column {
    /// Whether a row's cell is missing.
    #[must_use]
    pub fn missing(&self, row: usize) -> bool {
        match self {
            Self::Numbers(numbers) => numbers[row].is_nan(),
            Self::Levels(_, codes) => codes[row] == u32::MAX,
        }
    }

    /// The numbers of some rows; a level's code where the column holds levels.
    #[must_use]
    pub fn numbers(&self, rows: &[usize]) -> Vec<f64> {
        match self {
            Self::Numbers(numbers) => rows.iter().map(|row| numbers[*row]).collect(),
            Self::Levels(_, codes) => rows.iter().map(|row| f64::from(codes[*row])).collect(),
        }
    }
}

/// The columns asked for, by name.
#[derive(Debug, Clone)]
pub struct Table {
    names: Vec<String>,
    columns: Vec<Column>,
    /// Rows below the header, blank lines left out.
    pub rows: usize,
    /// The row as a spreadsheet numbers it, of each row kept.
    lines: Vec<u32>,
}

/// A column while it is read.
struct Reading {
    kind: Kind,
    numbers: Vec<f64>,
    codes: Vec<u32>,
    levels: HashMap<Vec<u8>, u32>,
    names: Vec<String>,
    /// An `Either` that met a cell that is no number, and is read again as levels.
    not_numbers: bool,
}

impl Table {
    /// Reads columns of a file; a column asked for twice must be asked for as the same kind.
    ///
    /// # Errors
    /// A file that cannot be read, a column that is not there or there twice, a row that is too short, or
    /// a cell that is no number where one is needed: each with row and column.
    pub fn read(path: &Path, wanted: &[(&str, Kind)]) -> Result<Self, Failure> {
        let bytes = std::fs::read(path)
            .map_err(|error| Failure::failed(format!("{} could not be read: {error}.", path.display())))?;
        let mut wanted: Vec<(String, Kind)> =
            wanted.iter().map(|(name, kind)| ((*name).to_owned(), *kind)).collect();
        wanted.sort_by(|a, b| a.0.cmp(&b.0));
        wanted.dedup_by(|a, b| a.0 == b.0);
        let first = Self::pass(&bytes, &wanted)?;
        match first {
            Ok(table) => Ok(table),
            // Some column of either kind holds words: it is read again as levels.
            Err(words) => {
                for at in words {
                    wanted[at].1 = Kind::Level;
                }
                Self::pass(&bytes, &wanted)?
                    .map_err(|_| Failure::failed("The file changed while it was read."))
            }
        }
    }

    fn pass(bytes: &[u8], wanted: &[(String, Kind)]) -> Result<Result<Self, Vec<usize>>, Failure> {
        let bytes = without_mark(bytes);
        let separator = separator(bytes);
        let mut cells = Cells::new(bytes, separator);
        let heads = header(&mut cells)?;
        let places = places(&heads, wanted)?;
        let mut columns: Vec<Reading> = wanted.iter().map(|(_, kind)| Reading::new(*kind)).collect();
        let mut lines = Vec::new();
        let mut line = 1_u32;
        let (mut at, mut blank) = (0, true);
        while let Some(cell) = cells.next() {
            blank &= cell.text.is_empty();
            if at == 0 {
                line += 1;
            }
            if let Some(Some(column)) = places.get(at)
                && !(cell.last && at == 0 && heads.len() > 1)
            {
                let name = &wanted[*column].0;
                columns[*column].add(&cell.text, separator, || format!("row {line}, column {name}"))?;
            }
            at += 1;
            if cell.last {
                end_of_row(at, blank, line, &heads)?;
                if !(blank && at == 1 && heads.len() > 1) {
                    lines.push(line);
                }
                (at, blank) = (0, true);
            }
        }
        let words: Vec<usize> = (0..columns.len()).filter(|at| columns[*at].not_numbers).collect();
        if !words.is_empty() {
            return Ok(Err(words));
        }
        let names = wanted.iter().map(|(name, _)| name.clone()).collect();
        let columns = columns.into_iter().map(Reading::finish).collect();
        Ok(Ok(Self { names, columns, rows: lines.len(), lines }))
    }

    /// A column that was asked for.
    ///
    /// # Errors
    /// When it was not.
    pub fn column(&self, name: &str) -> Result<&Column, Failure> {
        let at = self.names.iter().position(|known| known == name);
        at.map(|at| &self.columns[at]).ok_or_else(|| Failure::failed(format!("Column {name} was not read.")))
    }

    /// Where a cell stands, as it is said to a person.
    #[must_use]
    pub fn place(&self, row: usize, column: &str) -> String {
        format!("row {}, column {column}", self.lines[row])
    }

    /// The rows in which none of these columns is missing, and for each column how many rows it lacks.
    ///
    /// # Errors
    /// As [`Self::column`].
    pub fn complete(&self, names: &[&str]) -> Result<Complete, Failure> {
        let columns = names.iter().map(|name| self.column(name)).collect::<Result<Vec<_>, _>>()?;
        let rows = (0..self.rows).filter(|row| !columns.iter().any(|column| column.missing(*row))).collect();
        let lacking = |column: &Column| (0..self.rows).filter(|row| column.missing(*row)).count();
        let mut counts: Vec<(String, usize)> = names
            .iter()
            .zip(&columns)
            .map(|(name, column)| ((*name).to_owned(), lacking(column)))
            .filter(|(_, count)| *count > 0)
            .collect();
        counts.dedup();
        Ok((rows, counts))
    }
}

fn header(cells: &mut Cells) -> Result<Vec<String>, Failure> {
    let mut heads = Vec::new();
    while let Some(cell) = cells.next() {
        heads.push(String::from_utf8_lossy(&cell.text).into_owned());
        if cell.last {
            return Ok(heads);
        }
    }
    Err(Failure::refused("The file is empty: a header with the names of the columns is expected in row 1."))
}

/// For each column of the file which of the wanted ones it is.
fn places(heads: &[String], wanted: &[(String, Kind)]) -> Result<Vec<Option<usize>>, Failure> {
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
    Ok(heads.iter().map(|head| wanted.iter().position(|(name, _)| name == head)).collect())
}

fn end_of_row(cells: usize, blank: bool, line: u32, heads: &[String]) -> Result<(), Failure> {
    if cells == heads.len() || (blank && cells == 1) {
        return Ok(());
    }
    Err(Failure::refused(format!(
        "Row {line} has {cells} cells where the header has {}; the first column that does not fit is {}.",
        heads.len(),
        heads.get(cells).map_or("beyond the last", String::as_str)
    )))
}

impl Reading {
    fn new(kind: Kind) -> Self {
        Self {
            kind,
            numbers: Vec::new(),
            codes: Vec::new(),
            levels: HashMap::new(),
            names: Vec::new(),
            not_numbers: false,
        }
    }

    fn add(&mut self, cell: &[u8], separator: u8, place: impl Fn() -> String) -> Result<(), Failure> {
        if self.kind == Kind::Level {
            let code = if is_missing(cell) { u32::MAX } else { self.code(cell) };
            self.codes.push(code);
            return Ok(());
        }
        match number(cell, separator) {
            Some(number) if number.is_finite() => self.numbers.push(number),
            _ if is_missing(cell) => self.numbers.push(f64::NAN),
            _ if self.kind == Kind::Either => {
                self.not_numbers = true;
                self.numbers.push(f64::NAN);
            }
            _ => {
                let said = String::from_utf8_lossy(cell);
                return Err(Failure::refused(format!("“{said}” in {} is not a number.", place())));
            }
        }
        Ok(())
    }

    fn code(&mut self, cell: &[u8]) -> u32 {
        if let Some(code) = self.levels.get(cell) {
            return *code;
        }
        let code = self.names.len() as u32;
        self.levels.insert(cell.to_vec(), code);
        self.names.push(String::from_utf8_lossy(cell).into_owned());
        code
    }

    /// Levels are put in order: as numbers where all are, else as text.
    fn finish(self) -> Column {
        if self.kind != Kind::Level {
            return Column::Numbers(self.numbers);
        }
        let mut order: Vec<usize> = (0..self.names.len()).collect();
        let value = |at: usize| number(self.names[at].as_bytes(), b',');
        if order.iter().all(|at| value(*at).is_some()) {
            order.sort_by(|a, b| value(*a).unwrap_or(0.0).total_cmp(&value(*b).unwrap_or(0.0)));
        } else {
            order.sort_by(|a, b| self.names[*a].cmp(&self.names[*b]));
        }
        let mut place = vec![0_u32; order.len()];
        order.iter().enumerate().for_each(|(new, old)| place[*old] = new as u32);
        let codes =
            self.codes.iter().map(|code| place.get(*code as usize).copied().unwrap_or(u32::MAX)).collect();
        Column::Levels(order.iter().map(|at| self.names[*at].clone()).collect(), codes)
    }
}
