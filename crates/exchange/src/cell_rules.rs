//! How the cells of a file are to be read, apart from what their columns mean: words a person has explained,
//! codings and units, cells that only repeat an earlier state, cells that mean "as above".

use crate::{Meaning, table::Cell, table::Table, written::unguarded};
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

/// What is known about single cells and values. A table is never changed: the rules are asked for each cell.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct CellRules {
    /// By column: a value as written, and what it stands for.
    replaced: BTreeMap<usize, HashMap<String, String>>,
    /// Cells that hold for a row from the row above it: row and column, and the row that is meant.
    above: HashMap<(usize, usize), usize>,
    /// Cells that say nothing: further rows of a merged cell that counts once.
    blank: HashSet<(usize, usize)>,
    /// Columns of angles in degrees, whatever their values look like.
    pub(crate) degrees: BTreeSet<usize>,
}

impl CellRules {
    /// Notes what a value of a column stands for; an empty text for nothing.
    pub(crate) fn replace(&mut self, column: usize, value: &str, meant: String) {
        self.replaced.entry(column).or_default().insert(value.to_owned(), meant);
    }

    /// Notes that a blank cell means what is written in the row `from`.
    pub(crate) fn as_above(&mut self, row: usize, column: usize, from: usize) {
        self.above.insert((row, column), from);
    }

    /// Notes that a cell repeats one that counts once.
    pub(crate) fn blank(&mut self, row: usize, column: usize) {
        self.blank.insert((row, column));
    }

    /// The cell as it is to be read.
    pub(crate) fn cell<'a>(&'a self, table: &'a Table, row: usize, column: usize) -> Cell<'a> {
        if !self.blank.is_empty() && self.blank.contains(&(row, column)) {
            return Cell::EMPTY;
        }
        let row = match self.above.is_empty() {
            true => row,
            false => self.above.get(&(row, column)).copied().unwrap_or(row),
        };
        let cell = table.cell(row, column);
        let cell = Cell { text: unguarded(cell.text), ..cell };
        let meant = self.replaced.get(&column).and_then(|values| values.get(cell.trimmed()));
        meant.map_or(cell, |text| Cell { text, kind: crate::table::CellKind::Text })
    }
}

/// A length, weight or angle with its unit, as the reader of cells takes it.
pub(crate) fn with_unit(meaning: Option<Meaning>, unit: &str, text: &str) -> Option<String> {
    let crate::values::Read::Value(value) = crate::values::number(text) else { return None };
    let plain = |value: f64| format!("{}", (value * 1000.0).round() / 1000.0);
    match (meaning?, unit) {
        (Meaning::FootLength, "cm") => Some(plain(value * 10.0)),
        (Meaning::BirthWeight, "kg") => Some(plain(value * 1000.0)),
        (Meaning::Angle(_), "points") => Some(format!("{} points", plain(value))),
        _ => None,
    }
}

/// The units that a map file can name.
pub(crate) const UNITS: [&str; 6] = ["mm", "cm", "g", "kg", "degrees", "points"];
