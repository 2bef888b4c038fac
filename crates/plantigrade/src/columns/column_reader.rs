//! Reads the cells of one column, and joins the parts of a column.

use super::{
    column::{ColumnKind, DataColumn},
    is_missing,
    number::number,
};
use rustc_hash::FxHashMap;

/// Cells of at most this many bytes are looked up as one number.
const SHORT: usize = 7;

/// Reads the cells of one column.
pub struct ColumnReader {
    kind: ColumnKind,
    numbers: Vec<f64>,
    codes: Vec<u32>,
    short: FxHashMap<u64, u32>,
    long: FxHashMap<Vec<u8>, u32>,
    names: Vec<Vec<u8>>,
    /// The last short cell and its code: neighbouring cells are often equal.
    last: Option<(u64, u32)>,
    /// Whether a column that may be either has a cell that is not a number, and has to be read again as levels.
    pub not_numbers: bool,
}

impl ColumnReader {
    pub fn new(kind: ColumnKind) -> Self {
        Self {
            kind,
            numbers: Vec::new(),
            codes: Vec::new(),
            short: FxHashMap::default(),
            long: FxHashMap::default(),
            names: Vec::new(),
            last: None,
            not_numbers: false,
        }
    }

    /// Adds a cell; false if it should be a number and is not.
    #[must_use]
    pub fn add(&mut self, cell: &[u8], separator: u8) -> bool {
        if self.kind == ColumnKind::Level {
            let code = self.code(cell);
            self.codes.push(code);
            return true;
        }
        match number(cell, separator) {
            Some(number) if number.is_finite() => self.numbers.push(number),
            _ if is_missing(cell) => self.numbers.push(f64::NAN),
            _ if self.kind == ColumnKind::Either => {
                self.not_numbers = true;
                self.numbers.push(f64::NAN);
            }
            _ => return false,
        }
        true
    }

    fn code(&mut self, cell: &[u8]) -> u32 {
        let Some(key) = key(cell) else { return self.long_code(cell) };
        if let Some((last, code)) = self.last
            && last == key
        {
            return code;
        }
        let code = match self.short.get(&key) {
            Some(code) => *code,
            None => {
                let code = if is_missing(cell) { u32::MAX } else { self.named(cell) };
                self.short.insert(key, code);
                code
            }
        };
        self.last = Some((key, code));
        code
    }

    /// No word for a missing value is longer than a short cell.
    fn long_code(&mut self, cell: &[u8]) -> u32 {
        if let Some(code) = self.long.get(cell) {
            return *code;
        }
        let code = self.named(cell);
        self.long.insert(cell.to_vec(), code);
        code
    }

    fn named(&mut self, cell: &[u8]) -> u32 {
        self.names.push(cell.to_vec());
        self.names.len() as u32 - 1
    }

    /// Appends the rows of further parts of the same column.
    pub fn join(&mut self, parts: Vec<Self>) {
        self.numbers.reserve_exact(parts.iter().map(|part| part.numbers.len()).sum());
        self.codes.reserve_exact(parts.iter().map(|part| part.codes.len()).sum());
        for part in parts {
            self.not_numbers |= part.not_numbers;
            self.numbers.extend(part.numbers);
            let codes: Vec<u32> = part.names.iter().map(|name| self.code(name)).collect();
            let here = |code: &u32| codes.get(*code as usize).copied().unwrap_or(u32::MAX);
            self.codes.extend(part.codes.iter().map(here));
        }
    }

    /// The column, with levels in order: as numbers if all are numbers, otherwise as text.
    pub fn finish(mut self) -> DataColumn {
        if self.kind != ColumnKind::Level {
            return DataColumn::Numbers(self.numbers);
        }
        let names: Vec<String> =
            self.names.iter().map(|name| String::from_utf8_lossy(name).into_owned()).collect();
        let mut order: Vec<usize> = (0..names.len()).collect();
        let values: Option<Vec<f64>> = self.names.iter().map(|name| number(name, b',')).collect();
        match values {
            Some(values) => order.sort_by(|a, b| values[*a].total_cmp(&values[*b])),
            None => order.sort_by(|a, b| names[*a].cmp(&names[*b])),
        }
        let mut place = vec![0_u32; order.len()];
        order.iter().enumerate().for_each(|(new, old)| place[*old] = new as u32);
        let here = |code: u32| place.get(code as usize).copied().unwrap_or(u32::MAX);
        self.codes.iter_mut().for_each(|code| *code = here(*code));
        DataColumn::Levels(order.iter().map(|at| names[*at].clone()).collect(), self.codes)
    }
}

/// A short cell as a number, with its length in the eighth byte.
fn key(cell: &[u8]) -> Option<u64> {
    if cell.len() > SHORT {
        return None;
    }
    let mut bytes = [0_u8; 8];
    bytes[..cell.len()].copy_from_slice(cell);
    bytes[SHORT] = cell.len() as u8;
    Some(u64::from_le_bytes(bytes))
}
