//! Errors: why no result can be computed from the given numbers.

/// Why there is no result. Rows and columns count from 0 in the fields and from 1 in the messages.
///
/// ```
/// use statistics::{StatError, survival::Spells};
/// let error = Spells::new(&[2.0, -1.0], &[true, true]).unwrap_err();
/// assert_eq!(error, StatError::NegativeTime { row: 1, value: -1.0 });
/// assert_eq!(error.to_string(), "row 2: the time -1 is below zero");
/// ```
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StatError {
    /// No rows.
    #[error("there are no rows")]
    NoRows,
    /// Two slices that must have the same length differ in length.
    #[error("{what} has {found} values where {expected} are expected, one for each row")]
    Lengths {
        /// Which slice.
        what: &'static str,
        /// Rows.
        expected: usize,
        /// Values found.
        found: usize,
    },
    /// A value that is not finite.
    #[error("row {}: {what} is not a number", row + 1)]
    NotFinite {
        /// Row, from 0.
        row: usize,
        /// Which value.
        what: &'static str,
    },
    /// A time below zero.
    #[error("row {}: the time {value} is below zero", row + 1)]
    NegativeTime {
        /// Row, from 0.
        row: usize,
        /// The time.
        value: f64,
    },
    /// A spell that ends where or before it starts.
    #[error("row {}: the time under observation starts at {start} and ends at {stop}; it must end after it starts", row + 1)]
    EmptySpell {
        /// Row, from 0.
        row: usize,
        /// Start.
        start: f64,
        /// End.
        stop: f64,
    },
    /// A weight that is not above zero.
    #[error("row {}: the weight {value} is not above zero", row + 1)]
    Weight {
        /// Row, from 0.
        row: usize,
        /// The weight.
        value: f64,
    },
    /// A value that the method cannot take.
    #[error("row {}: {value} is not {wanted}", row + 1)]
    Value {
        /// Row, from 0.
        row: usize,
        /// The value.
        value: f64,
        /// What is expected.
        wanted: &'static str,
    },
    /// No row has the event.
    #[error("no event was seen, so there is nothing to estimate from")]
    NoEvents,
    /// Fewer than two groups can be compared.
    #[error("there is only one group with anyone at risk, so there is nothing to compare")]
    OneGroup,
    /// Every row has the same outcome.
    #[error("every row has the same outcome, so there is nothing to estimate from")]
    OneOutcome,
    /// A covariate that never varies.
    #[error("covariate {} has the same value in every row, so its coefficient cannot be estimated", column + 1)]
    Constant {
        /// Column, from 0.
        column: usize,
    },
    /// A covariate that does not vary within any set of rows that are compared with each other.
    #[error("covariate {} does not vary among the rows that are compared with each other, so its coefficient cannot be estimated", column + 1)]
    Uninformative {
        /// Column, from 0.
        column: usize,
    },
    /// A covariate that is a linear combination of others.
    #[error("covariate {} is a sum of multiples of the ones before it, so its coefficient cannot be estimated", column + 1)]
    Collinear {
        /// Column, from 0.
        column: usize,
    },
    /// Covariates that predict the outcome perfectly, so that their coefficients have no finite estimate.
    #[error(
        "{} separates the outcome perfectly: the likelihood keeps rising as the coefficient grows, so no finite estimate exists",
        covariates(columns)
    )]
    Separated {
        /// Columns, from 0.
        columns: Vec<usize>,
    },
    /// More parameters than rows.
    #[error("{parameters} parameters cannot be estimated from {rows} rows")]
    TooFewRows {
        /// Parameters.
        parameters: usize,
        /// Rows.
        rows: usize,
    },
    /// Counts that vary no more than Poisson counts.
    #[error(
        "the counts vary no more than a Poisson distribution with the same means, so the negative binomial has no finite dispersion: use Poisson regression"
    )]
    NotOverdispersed,
    /// The search for the maximum did not converge.
    #[error("the estimate did not settle after {iterations} steps")]
    NotConverged {
        /// Steps taken.
        iterations: usize,
    },
    /// A setting out of its range.
    #[error("{what} must lie {range}, not at {value}")]
    Setting {
        /// Which setting.
        what: &'static str,
        /// Its range, as the message words it.
        range: &'static str,
        /// The given value.
        value: f64,
    },
    /// The quantity is not defined for these numbers.
    #[error("{0}")]
    Undefined(&'static str),
}

fn covariates(columns: &[usize]) -> String {
    let numbers: Vec<String> = columns.iter().map(|column| (column + 1).to_string()).collect();
    let word = if columns.len() == 1 { "covariate" } else { "covariates" };
    format!("{word} {}", numbers.join(", "))
}

pub(crate) type Result<T> = std::result::Result<T, StatError>;

/// A confidence level strictly between 0 and 1.
pub(crate) fn level(value: f64) -> Result<f64> {
    if value > 0.0 && value < 1.0 {
        return Ok(value);
    }
    Err(StatError::Setting { what: "the confidence level", range: "between 0 and 1", value })
}

/// A second slice as long as the first.
pub(crate) fn same_length(what: &'static str, expected: usize, found: usize) -> Result<()> {
    if expected == found { Ok(()) } else { Err(StatError::Lengths { what, expected, found }) }
}

/// Every value finite.
pub(crate) fn finite(what: &'static str, values: &[f64]) -> Result<()> {
    match values.iter().position(|value| !value.is_finite()) {
        Some(row) => Err(StatError::NotFinite { row, what }),
        None => Ok(()),
    }
}
