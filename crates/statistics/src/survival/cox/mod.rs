//! Proportional hazards regression (Cox 1972).

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
pub use proportional::{ProportionalHazardsTest, TimeScale};

use super::Spells;
use crate::error::{Result, StatError, finite, same_length};

/// Handling of several events at the same time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ties {
    /// Efron 1977: close to the exact likelihood even with many ties; the default.
    #[default]
    Efron,
    /// Breslow 1974: simpler, and biased towards no effect with many ties.
    Breslow,
}

impl Ties {
    /// A short name: `efron` or `breslow`.
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
    /// A model of these covariates: one slice for each covariate, with one value for each row.
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

    /// A separate baseline hazard for each stratum.
    ///
    /// # Errors
    /// A length other than the number of rows.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells};
    /// let x = [1.0, 0.0, 1.0, 0.0, 0.0, 1.0, 0.0, 1.0];
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0, 1.5, 2.5, 3.5, 4.5], &[true; 8])?;
    /// let fit = Cox::new(spells, vec![&x])?.strata(&[0, 0, 0, 0, 1, 1, 1, 1])?.fit()?;
    /// // The strata are mirror images of each other, so there is no effect.
    /// assert!(fit.terms[0].coef.abs() < 1e-9);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn strata(self, strata: &'a [u32]) -> Result<Self> {
        same_length("the stratum", self.spells.len(), strata.len())?;
        Ok(Self { strata: Some(strata), ..self })
    }

    /// A known part of the linear predictor.
    ///
    /// # Errors
    /// A length other than the number of rows, or a value that is not a number.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells};
    /// let (x, stop) = ([1.0, 0.0, 1.0, 0.0], [1.0, 2.0, 3.0, 4.0]);
    /// let model = Cox::new(Spells::new(&stop, &[true; 4])?, vec![&x])?;
    /// // With the covariate itself as offset the coefficient is less by 1.
    /// let (plain, offset) = (model.fit()?, model.clone().offset(&x)?.fit()?);
    /// assert!((plain.terms[0].coef - 1.0 - offset.terms[0].coef).abs() < 1e-9);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn offset(self, offset: &'a [f64]) -> Result<Self> {
        same_length("the offset", self.spells.len(), offset.len())?;
        finite("the offset", offset)?;
        Ok(Self { offset: Some(offset), ..self })
    }

    /// The robust variance that treats the rows of one cluster as dependent. Cluster codes count from 0;
    /// memory grows with the largest code.
    ///
    /// # Errors
    /// A length other than the number of rows.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells};
    /// let x = [1.0, 0.0, 1.0, 0.0];
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?;
    /// let fit = Cox::new(spells, vec![&x])?.cluster(&[0, 0, 1, 1])?.fit()?;
    /// assert_eq!(fit.clusters, Some(2));
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn cluster(self, cluster: &'a [u32]) -> Result<Self> {
        same_length("the cluster", self.spells.len(), cluster.len())?;
        Ok(Self { cluster: Some(cluster), robust: true, ..self })
    }

    /// The robust variance with every row as its own cluster (Lin and Wei 1989).
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells};
    /// let (x, stop) = ([1.0, 0.0, 1.0, 0.0], [1.0, 2.0, 3.0, 4.0]);
    /// let model = Cox::new(Spells::new(&stop, &[true; 4])?, vec![&x])?;
    /// assert!(model.robust().fit()?.terms[0].robust_se.is_some());
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn robust(self) -> Self {
        Self { robust: true, ..self }
    }

    /// Sets the handling of ties.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells, Ties};
    /// let (x, stop) = ([1.0, 0.0, 1.0, 0.0], [1.0, 2.0, 3.0, 4.0]);
    /// let model = Cox::new(Spells::new(&stop, &[true; 4])?, vec![&x])?;
    /// // Without ties the two rules are the same.
    /// let (efron, breslow) = (model.fit()?, model.clone().ties(Ties::Breslow).fit()?);
    /// assert_eq!(efron.terms[0].coef, breslow.terms[0].coef);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn ties(self, ties: Ties) -> Self {
        Self { ties, ..self }
    }

    /// Fits the model by maximum partial likelihood.
    ///
    /// # Errors
    /// A covariate that is constant, that the others explain, or that separates the events perfectly.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells};
    /// let x = [1.0, 0.0, 1.0, 0.0];
    /// let fit = Cox::new(Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?, vec![&x])?.fit()?;
    /// assert!(fit.terms[0].coef > 0.0);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn fit(&self) -> Result<CoxFit> {
        fit::fit(self)
    }
}
