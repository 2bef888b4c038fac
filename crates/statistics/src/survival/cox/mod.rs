//! Proportional hazards regression.

mod concordance;
mod curve;
mod fit;
mod prepared;
mod proportional;
mod residuals;
mod rows;
mod sweep;

pub use concordance::Concordance;
pub use curve::{HazardStep, PredictedPoint};
pub use fit::CoxFit;
pub use proportional::{PhTest, TimeScale};

use super::Spells;
use crate::error::{Result, StatError, finite, same_length};

/// What to do where several rows have the event at the same time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ties {
    /// Efron 1977: close to the exact answer even with many ties; given where nothing is said.
    #[default]
    Efron,
    /// Breslow 1974: simpler, and biased towards no effect where ties are many.
    Breslow,
}

impl Ties {
    /// The name as it is printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Efron => "efron",
            Self::Breslow => "breslow",
        }
    }
}

/// A proportional hazards model, λ(t) = λ₀(t) exp(z'β), to be fitted (Cox 1972).
///
/// ```
/// use statistics::survival::{Cox, Spells};
/// let stop = [6.0, 7.0, 10.0, 15.0, 19.0, 25.0];
/// let event = [true, false, true, true, false, true];
/// let treated = [1.0, 0.0, 0.0, 1.0, 1.0, 0.0];
/// let fit = Cox::new(Spells::new(&stop, &event)?, vec![&treated])?.fit()?;
/// assert_eq!(fit.events, 4);
/// # Ok::<(), statistics::StatError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Cox<'a> {
    pub(crate) spells: Spells<'a>,
    pub(crate) columns: Vec<&'a [f64]>,
    pub(crate) strata: Option<&'a [u32]>,
    pub(crate) offset: Option<&'a [f64]>,
    pub(crate) cluster: Option<&'a [u32]>,
    pub(crate) ties: Ties,
    pub(crate) robust: bool,
}

impl<'a> Cox<'a> {
    /// A model of these covariates, one slice for each, each with a value for each row.
    ///
    /// # Errors
    /// No covariate, slices of different length, a value that is not a number, no events.
    pub fn new(spells: Spells<'a>, columns: Vec<&'a [f64]>) -> Result<Self> {
        for column in &columns {
            same_length("a covariate", spells.len(), column.len())?;
            finite("a covariate", column)?;
        }
        if columns.is_empty() {
            return Err(StatError::Undefined("a regression needs at least one covariate"));
        }
        if spells.events() == 0 {
            return Err(StatError::NoEvents);
        }
        Ok(Self {
            spells,
            columns,
            strata: None,
            offset: None,
            cluster: None,
            ties: Ties::Efron,
            robust: false,
        })
    }

    /// A baseline hazard of its own for each stratum.
    ///
    /// # Errors
    /// Not one stratum for each row.
    pub fn strata(self, strata: &'a [u32]) -> Result<Self> {
        same_length("the stratum", self.spells.len(), strata.len())?;
        Ok(Self { strata: Some(strata), ..self })
    }

    /// A known part of the linear predictor.
    ///
    /// # Errors
    /// Not one for each row, or not a number.
    pub fn offset(self, offset: &'a [f64]) -> Result<Self> {
        same_length("the offset", self.spells.len(), offset.len())?;
        finite("the offset", offset)?;
        Ok(Self { offset: Some(offset), ..self })
    }

    /// Rows of one cluster go together: the robust variance sums their influence first. Cluster codes
    /// count from 0; memory grows with the largest.
    ///
    /// # Errors
    /// Not one cluster for each row.
    pub fn cluster(self, cluster: &'a [u32]) -> Result<Self> {
        same_length("the cluster", self.spells.len(), cluster.len())?;
        Ok(Self { cluster: Some(cluster), robust: true, ..self })
    }

    /// The robust variance with every row a cluster of its own (Lin and Wei 1989).
    #[must_use]
    pub fn robust(self) -> Self {
        Self { robust: true, ..self }
    }

    /// How ties are handled.
    #[must_use]
    pub fn ties(self, ties: Ties) -> Self {
        Self { ties, ..self }
    }

    /// Fits the model, with intervals at 95 %.
    ///
    /// # Errors
    /// A covariate that is constant, explained by the others, or that separates the events perfectly.
    pub fn fit(&self) -> Result<CoxFit> {
        fit::fit(self)
    }
}
