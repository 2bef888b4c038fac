//! A column of a table.

/// How a column is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// Numbers; anything else is refused.
    Number,
    /// Levels, whatever they are.
    Level,
    /// Numbers if every cell is a number, otherwise levels.
    Either,
}

/// A column after reading.
#[derive(Debug, Clone)]
pub enum DataColumn {
    /// Numbers; missing values are not-a-number.
    Numbers(Vec<f64>),
    /// Levels in order, and the level of each row; `u32::MAX` if missing.
    Levels(Vec<String>, Vec<u32>),
}

impl DataColumn {
    /// Number of rows without a value.
    pub(super) fn missing_count(&self) -> usize {
        match self {
            Self::Numbers(numbers) => numbers.iter().filter(|number| number.is_nan()).count(),
            Self::Levels(_, codes) => codes.iter().filter(|code| **code == u32::MAX).count(),
        }
    }

    /// Whether a row's cell is missing.
    #[must_use]
    pub fn missing(&self, row: usize) -> bool {
        match self {
            Self::Numbers(numbers) => numbers[row].is_nan(),
            Self::Levels(_, codes) => codes[row] == u32::MAX,
        }
    }
}
