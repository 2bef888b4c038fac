//! A column as it is read, and as it was kept.

/// What a column is kept as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// Numbers; anything else is refused.
    Number,
    /// Levels, whatever they are.
    Level,
    /// Numbers where every cell is one, else levels.
    Either,
}

/// A column as it was kept.
#[derive(Debug, Clone)]
pub enum DataColumn {
    /// Numbers, not-a-number where missing.
    Numbers(Vec<f64>),
    /// Levels in order, and each row's; `u32::MAX` where missing.
    Levels(Vec<String>, Vec<u32>),
}

impl DataColumn {
    /// How many rows lack a value.
    pub(super) fn lacking(&self) -> usize {
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
