//! How much two different categories count as agreement.

/// Credit for two ratings `i` and `j` of `k` ordered categories.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weights {
    /// None unless they are the same.
    #[default]
    Identity,
    /// 1 − |i − j|/(k − 1) (Cicchetti and Allison 1971).
    Linear,
    /// 1 − (i − j)²/(k − 1)² (Fleiss and Cohen 1973).
    Quadratic,
}

impl Weights {
    /// The name as it is printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Identity => "none",
            Self::Linear => "linear",
            Self::Quadratic => "quadratic",
        }
    }

    /// The credit, from 0 to 1.
    #[must_use]
    pub fn credit(self, i: usize, j: usize, categories: usize) -> f64 {
        let apart = i.abs_diff(j) as f64 / (categories.max(2) - 1) as f64;
        match self {
            Self::Identity => f64::from(u8::from(i == j)),
            Self::Linear => 1.0 - apart,
            Self::Quadratic => 1.0 - apart * apart,
        }
    }
}
