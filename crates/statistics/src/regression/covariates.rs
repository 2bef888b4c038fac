//! The parts that all regressions share.

use crate::{
    error::{Result, StatError, finite, same_length},
    estimate::{ChiSquaredTest, Coefficient},
    matrix::{Matrix, dot},
    newton::{COLLINEAR, Maximum},
};

/// The covariates of a regression: one slice for each covariate, with one value for each row. The model
/// adds the intercept.
///
/// ```
/// use statistics::regression::{Covariates, logistic};
/// let (x, child) = ([1.0, 2.0, 3.0, 4.0, 5.0, 6.0], [0, 0, 1, 1, 2, 2]);
/// let data = Covariates::new(6, vec![&x])?.cluster(&child)?;
/// let fit = logistic(&data, &[false, false, true, false, true, true])?;
/// assert_eq!(fit.clusters, Some(3));
/// assert!(fit.terms[1].robust_se.is_some());
/// # Ok::<(), statistics::StatError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Covariates<'a> {
    pub(crate) rows: usize,
    pub(crate) columns: Vec<&'a [f64]>,
    pub(crate) offset: Option<&'a [f64]>,
    pub(crate) cluster: Option<&'a [u32]>,
    pub(crate) robust: bool,
}

impl<'a> Covariates<'a> {
    /// Covariates of `rows` rows; without any column the model has only the intercept.
    ///
    /// # Errors
    /// No rows, a column of another length, a value that is not a number.
    pub fn new(rows: usize, columns: Vec<&'a [f64]>) -> Result<Self> {
        if rows == 0 {
            return Err(StatError::NoRows);
        }
        for column in &columns {
            same_length("a covariate", rows, column.len())?;
            finite("a covariate", column)?;
        }
        Ok(Self { rows, columns, offset: None, cluster: None, robust: false })
    }

    /// A known part of the linear predictor, such as the logarithm of the time over which events were
    /// counted.
    ///
    /// # Errors
    /// A length other than the number of rows, or a value that is not a number.
    ///
    /// ```
    /// use statistics::regression::{Covariates, negative_binomial};
    /// let log_years = [2.0_f64.ln(); 4];
    /// let model = negative_binomial(&Covariates::new(4, vec![])?.offset(&log_years)?, &[0.0, 9.0, 1.0, 14.0])?;
    /// // 24 events in 8 years: a rate of 3.
    /// assert!((model.fit.terms[0].coef - 3.0_f64.ln()).abs() < 1e-9);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn offset(self, offset: &'a [f64]) -> Result<Self> {
        same_length("the offset", self.rows, offset.len())?;
        finite("the offset", offset)?;
        Ok(Self { offset: Some(offset), ..self })
    }

    /// The robust variance that treats the rows of one cluster as dependent. Codes count from 0.
    ///
    /// # Errors
    /// A length other than the number of rows.
    pub fn cluster(self, cluster: &'a [u32]) -> Result<Self> {
        same_length("the cluster", self.rows, cluster.len())?;
        Ok(Self { cluster: Some(cluster), robust: true, ..self })
    }

    /// The robust variance with every row as its own cluster.
    ///
    /// ```
    /// use statistics::regression::{Covariates, logistic};
    /// let x = [0.0, 0.0, 0.0, 1.0, 1.0, 1.0];
    /// let data = Covariates::new(6, vec![&x])?.robust();
    /// let fit = logistic(&data, &[true, false, false, true, true, false])?;
    /// // With one binary covariate the model fits every cell, and both variances are equal.
    /// assert!((fit.terms[1].robust_se.unwrap_or(0.0) - fit.terms[1].se).abs() < 1e-9);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn robust(self) -> Self {
        Self { robust: true, ..self }
    }

    pub(crate) fn without_columns(&self) -> Self {
        Self { columns: Vec::new(), robust: false, cluster: None, ..self.clone() }
    }
}

/// A fitted regression.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct RegressionFit {
    /// Rows.
    pub n: usize,
    /// The intercept, if the model has one, then one coefficient for each covariate.
    pub terms: Vec<Coefficient>,
    /// Log likelihood without any covariate.
    pub loglik_null: f64,
    /// Log likelihood at the estimate.
    pub loglik: f64,
    /// Likelihood ratio test of all covariates.
    pub likelihood_ratio: ChiSquaredTest,
    /// Inverse of the information of `terms`.
    pub variance: Matrix,
    /// Robust variance of `terms`, if requested.
    pub robust_variance: Option<Matrix>,
    /// Number of clusters, if rows are clustered.
    pub clusters: Option<usize>,
    /// Iterations of the search.
    pub iterations: usize,
}

/// Covariates row by row, centred and scaled.
pub(crate) struct Design {
    pub rows: usize,
    /// Covariates.
    pub width: usize,
    pub z: Vec<f64>,
    pub offset: Option<Vec<f64>>,
    pub centre: Vec<f64>,
    pub scale: Vec<f64>,
    pub ranges: Vec<f64>,
}

impl Design {
    pub fn of(data: &Covariates) -> Result<Self> {
        let (rows, width) = (data.rows, data.columns.len());
        let mut design = Self {
            rows,
            width,
            z: vec![0.0; rows * width],
            offset: data.offset.map(<[f64]>::to_vec),
            centre: Vec::new(),
            scale: Vec::new(),
            ranges: Vec::new(),
        };
        for (column, values) in data.columns.iter().enumerate() {
            let n = rows as f64;
            let (low, high) = values
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(*v), high.max(*v)));
            if low == high {
                return Err(StatError::Constant { column });
            }
            let mean = low + values.iter().map(|value| value - low).sum::<f64>() / n;
            let scale = (values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / n).sqrt();
            for (row, value) in values.iter().enumerate() {
                design.z[row * width + column] = (value - mean) / scale;
            }
            design.centre.push(mean);
            design.scale.push(scale);
            design.ranges.push((high - low) / scale);
        }
        Ok(design)
    }

    pub fn row(&self, row: usize) -> &[f64] {
        &self.z[row * self.width..(row + 1) * self.width]
    }

    pub fn eta(&self, row: usize, beta: &[f64]) -> f64 {
        self.offset.as_ref().map_or(0.0, |offset| offset[row]) + dot(self.row(row), beta)
    }

    /// The matrix that transforms the parameters back to unscaled covariates, with `lead` intercepts of
    /// sign `sign` before the covariates: intercept − sign · Σ b c/s, b/s.
    pub fn back(&self, lead: usize, sign: f64) -> Matrix {
        let mut back = Matrix::zeros(lead + self.width);
        for i in 0..lead {
            back.set(i, i, 1.0);
            for j in 0..self.width {
                back.set(i, lead + j, -sign * self.centre[j] / self.scale[j]);
            }
        }
        for j in 0..self.width {
            back.set(lead + j, lead + j, 1.0 / self.scale[j]);
        }
        back
    }
}

/// B M B'.
fn carry(back: &Matrix, middle: &Matrix) -> Matrix {
    let size = back.size();
    let mut transposed = Matrix::zeros(size);
    for i in 0..size {
        for j in 0..size {
            transposed.set(j, i, back.at(i, j));
        }
    }
    back.product(middle).product(&transposed)
}

/// Sums of row scores within clusters: the middle factor of the sandwich variance.
pub(crate) struct ClusterSums<'a> {
    cluster: Option<&'a [u32]>,
    size: usize,
    sums: Vec<f64>,
    seen: Vec<bool>,
    middle: Matrix,
}

impl<'a> ClusterSums<'a> {
    pub fn new(data: &Covariates<'a>, size: usize) -> Self {
        let most = data.cluster.and_then(|codes| codes.iter().max()).map_or(0, |most| *most as usize + 1);
        let cluster = data.cluster;
        Self {
            cluster,
            size,
            sums: vec![0.0; most * size],
            seen: vec![false; most],
            middle: Matrix::zeros(size),
        }
    }

    pub fn add(&mut self, row: usize, score: &[f64]) {
        let Some(cluster) = self.cluster else {
            self.middle.add_square(score, 1.0);
            return;
        };
        let code = cluster[row] as usize;
        self.seen[code] = true;
        let sums = &mut self.sums[code * self.size..(code + 1) * self.size];
        sums.iter_mut().zip(score).for_each(|(sum, score)| *sum += score);
    }

    /// The middle factor, and the number of clusters.
    pub fn finish(mut self) -> (Matrix, Option<usize>) {
        let middle = &mut self.middle;
        self.sums.chunks_exact(self.size.max(1)).for_each(|sum| middle.add_square(sum, 1.0));
        let clusters = self.cluster.map(|_| self.seen.iter().filter(|seen| **seen).count());
        (self.middle, clusters)
    }
}

/// Parameters of unscaled covariates, with their variances.
pub(crate) struct Estimated {
    pub terms: Vec<Coefficient>,
    variance: Matrix,
    robust_variance: Option<Matrix>,
    clusters: Option<usize>,
}

impl Estimated {
    /// From the parameters of scaled covariates at the maximum. `back` is [`Design::back`]; `middle` is the
    /// middle factor of the sandwich variance with the number of clusters, if it is requested.
    pub fn of(back: &Matrix, maximum: &Maximum, middle: Option<(Matrix, Option<usize>)>) -> Result<Self> {
        let inverse = maximum.likelihood.information.cholesky(COLLINEAR)?.inverse();
        let (middle, clusters) = middle.unzip();
        let robust_variance = middle.map(|middle| carry(back, &inverse.around(&middle)));
        let variance = carry(back, &inverse);
        let term = |(j, coef): (usize, f64)| {
            let robust_se = robust_variance.as_ref().map(|robust| robust.at(j, j).sqrt());
            Coefficient::of(coef, variance.at(j, j).sqrt(), robust_se)
        };
        let terms = back.times(&maximum.beta).into_iter().enumerate().map(term).collect();
        Ok(Self { terms, variance, robust_variance, clusters: clusters.flatten() })
    }

    /// The fit, with the log likelihoods without covariates and at the maximum.
    pub fn fit(
        self,
        data: &Covariates,
        (loglik_null, loglik): (f64, f64),
        iterations: usize,
    ) -> RegressionFit {
        RegressionFit {
            n: data.rows,
            terms: self.terms,
            loglik_null,
            loglik,
            likelihood_ratio: ChiSquaredTest::of(2.0 * (loglik - loglik_null), data.columns.len()),
            variance: self.variance,
            robust_variance: self.robust_variance,
            clusters: self.clusters,
            iterations,
        }
    }
}

/// An error with columns as the caller numbers them, without the intercepts. A redundant intercept is
/// reported as the first covariate, because the two are redundant together.
pub(crate) fn without_intercepts(error: StatError, lead: usize) -> StatError {
    match error {
        StatError::Collinear { column } => StatError::Collinear { column: column.saturating_sub(lead) },
        StatError::Separated { columns } => {
            let columns = columns.into_iter().filter_map(|column| column.checked_sub(lead)).collect();
            StatError::Separated { columns }
        }
        other => other,
    }
}
