//! The maximum of the partial likelihood.

use super::{
    Cox, Ties,
    prepared::Prepared,
    residuals::{residuals, robust},
    sweep::{Moments, Step, size, sweep},
};
use crate::{
    error::{Result, StatError},
    estimate::{ChiSquaredTest, Coefficient},
    matrix::{Matrix, dot},
    newton::{COLLINEAR, Likelihood, Maximum, maximise_from},
};

/// A fitted proportional hazards model.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct CoxFit {
    /// Rows.
    pub n: usize,
    /// Rows with the event.
    pub events: usize,
    /// Handling of ties.
    pub ties: Ties,
    /// One coefficient for each covariate, in order.
    pub terms: Vec<Coefficient>,
    /// Log partial likelihood with all coefficients 0.
    pub loglik_null: f64,
    /// Log partial likelihood at the estimate.
    pub loglik: f64,
    /// Likelihood ratio test.
    pub likelihood_ratio: ChiSquaredTest,
    /// Wald test, with the robust variance if there is one.
    pub wald: ChiSquaredTest,
    /// Score test at 0.
    pub score: ChiSquaredTest,
    /// Inverse of the information.
    pub variance: Matrix,
    /// Robust variance, if requested.
    pub robust_variance: Option<Matrix>,
    /// Number of clusters, if rows are clustered.
    pub clusters: Option<usize>,
    /// Iterations of the search.
    pub iterations: usize,
    pub(crate) data: Prepared,
    /// Coefficients of the scaled covariates.
    pub(crate) beta: Vec<f64>,
    /// Their variance.
    pub(crate) scaled_variance: Matrix,
    pub(crate) scaled_robust: Option<Matrix>,
}

/// Log likelihood, score and information at some coefficients.
pub(crate) fn likelihood(data: &Prepared, beta: &[f64], ties: Ties) -> Likelihood {
    let width = data.width;
    let mut value = 0.0;
    let mut score = vec![0.0; width];
    let mut upper = vec![0.0; size(width, Moments::Second) - 1 - width];
    sweep(data, beta, ties, Moments::Second, |step| {
        value += step.eta - step.log_sum;
        add_score(step, width, 1.0, &mut score);
        add_information(step, width, 1.0, &mut upper);
    });
    Likelihood { value, score, information: Matrix::from_upper(width, &upper) }
}

/// Σ over events of z less its mean among those at risk, times a factor.
pub(crate) fn add_score(step: &Step, width: usize, factor: f64, score: &mut [f64]) {
    for (i, score) in score.iter_mut().enumerate().take(width) {
        *score += factor * (step.z[i] - (step.live[1 + i] * step.c1 - step.dead[1 + i] * step.c1f));
    }
}

/// The upper triangle of the variance of z among those at risk, times a factor.
pub(crate) fn add_information(step: &Step, width: usize, factor: f64, upper: &mut [f64]) {
    let (live, live2) = step.live[1..].split_at(width);
    let (dead, dead2) = step.dead[1..].split_at(width);
    let mut at = 0;
    for i in 0..width {
        let from_live = live[i] * step.c2 - dead[i] * step.c2f;
        let from_dead = dead[i] * step.c2ff - live[i] * step.c2f;
        for j in i..width {
            let squares = live2[at] * step.c1 - dead2[at] * step.c1f;
            upper[at] += factor * (squares - from_live * live[j] - from_dead * dead[j]);
            at += 1;
        }
    }
}

pub(super) fn fit(cox: &Cox) -> Result<CoxFit> {
    let data = Prepared::of(cox)?;
    let width = data.width;
    let start = likelihood(&data, &vec![0.0; width], cox.ties);
    let score = score_test(&start, cox.spells.events())?;
    let loglik_null = start.value;
    let at = |beta: &[f64]| likelihood(&data, beta, cox.ties);
    let Maximum { beta, likelihood: end, iterations } =
        maximise_from(vec![0.0; width], start, &ranges(&data), at)?;
    let scaled_variance = end.information.cholesky(COLLINEAR)?.inverse();
    let robust = cox.robust.then(|| robust(&data, &beta, cox, &scaled_variance));
    let (scaled_robust, clusters) = robust.unzip();
    let variance = unscale(&scaled_variance, &data.scale);
    let robust_variance = scaled_robust.as_ref().map(|robust| unscale(robust, &data.scale));
    let term = |j: usize| {
        let robust = robust_variance.as_ref().map(|robust| robust.at(j, j).sqrt());
        Coefficient::of(beta[j] / data.scale[j], variance.at(j, j).sqrt(), robust)
    };
    let terms = (0..width).map(term).collect();
    let (wald, df) = crate::matrix::quadratic(scaled_robust.as_ref().unwrap_or(&scaled_variance), &beta);
    Ok(CoxFit {
        n: cox.spells.len(),
        events: cox.spells.events(),
        ties: cox.ties,
        terms,
        loglik_null,
        loglik: end.value,
        likelihood_ratio: ChiSquaredTest::of(2.0 * (end.value - loglik_null), width),
        wald: ChiSquaredTest::of(wald, df),
        score,
        variance,
        robust_variance,
        clusters: if cox.cluster.is_some() { clusters } else { None },
        iterations,
        data,
        beta,
        scaled_variance,
        scaled_robust,
    })
}

fn unscale(variance: &Matrix, scale: &[f64]) -> Matrix {
    let mut plain = variance.clone();
    for (i, left) in scale.iter().enumerate() {
        for (j, right) in scale.iter().enumerate() {
            plain.set(i, j, variance.at(i, j) / (left * right));
        }
    }
    plain
}

/// The score test at 0, which also finds the covariates that cannot be estimated.
fn score_test(start: &Likelihood, events: usize) -> Result<ChiSquaredTest> {
    let width = start.score.len();
    if let Some(column) = (0..width).find(|j| start.information.at(*j, *j) <= 1e-13 * events as f64) {
        return Err(StatError::Uninformative { column });
    }
    let factor = start.information.cholesky(COLLINEAR)?;
    Ok(ChiSquaredTest::of(dot(&factor.solve(&start.score), &start.score), width))
}

/// Largest less smallest value of each scaled covariate.
fn ranges(data: &Prepared) -> Vec<f64> {
    let mut low = vec![f64::INFINITY; data.width];
    let mut high = vec![f64::NEG_INFINITY; data.width];
    for row in data.rows.z.chunks_exact(data.width) {
        for (j, z) in row.iter().enumerate() {
            low[j] = low[j].min(*z);
            high[j] = high[j].max(*z);
        }
    }
    low.iter().zip(high).map(|(low, high)| high - low).collect()
}

impl CoxFit {
    /// Score residuals: one vector over the covariates for each row, in the order of the data. Over all rows
    /// they sum to the derivative of the log likelihood, which is 0 at the estimate.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells};
    /// let x = [1.0, 0.0, 1.0, 0.0];
    /// let fit = Cox::new(Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?, vec![&x])?.fit()?;
    /// let sum: f64 = fit.score_residuals().iter().map(|row| row[0]).sum();
    /// assert!(sum.abs() < 1e-9);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn score_residuals(&self) -> Vec<Vec<f64>> {
        let mut rows = vec![Vec::new(); self.n];
        residuals(&self.data, &self.beta, self.ties, |place, residual| {
            let plain = residual.iter().zip(&self.data.scale).map(|(residual, scale)| residual * scale);
            rows[self.data.order[place] as usize] = plain.collect();
        });
        rows
    }
}
