//! Weights of partial agreement.

/// Weight of two ratings `i` and `j` in `k` ordered categories: 1 for full agreement, 0 for none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weights {
    /// 1 if the ratings are equal, else 0.
    #[default]
    Identity,
    /// 1 − |i − j|/(k − 1) (Cicchetti and Allison 1971).
    Linear,
    /// 1 − (i − j)²/(k − 1)² (Fleiss and Cohen 1973).
    Quadratic,
}

impl Weights {
    /// A short name: `none`, `linear` or `quadratic`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Identity => "none",
            Self::Linear => "linear",
            Self::Quadratic => "quadratic",
        }
    }

    /// The weight of two categories, counted from 0; from 0 to 1.
    ///
    /// ```
    /// use statistics::agreement::Weights;
    /// assert_eq!(Weights::Linear.credit(0, 1, 5), 0.75);
    /// assert_eq!(Weights::Quadratic.credit(0, 1, 5), 0.9375);
    /// ```
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
