//! Logistic regression of a binary outcome.

use super::covariates::{ClusterSums, Covariates, Design, Estimated, RegressionFit, without_intercepts};
use crate::{
    error::{Result, StatError, same_length},
    matrix::Matrix,
    newton::{Likelihood, Maximum, maximise},
};

/// Logistic regression, logit P(yes) = α + x'β, by maximum likelihood (McCullagh and Nelder 1989,
/// section 4.4). The information is both the observed and the expected one.
///
/// # Errors
/// One outcome only, fewer rows than parameters, a constant or redundant covariate, or
/// [`StatError::Separated`] if covariates predict the outcome without error.
///
/// ```
/// use statistics::regression::{Covariates, logistic};
/// let x = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
/// let relapse = [false, false, true, false, true, true];
/// let fit = logistic(&Covariates::new(6, vec![&x])?, &relapse)?;
/// assert!(fit.terms[1].coef > 0.0);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn logistic(data: &Covariates, yes: &[bool]) -> Result<RegressionFit> {
    same_length("the outcome", data.rows, yes.len())?;
    let share = yes.iter().filter(|yes| **yes).count();
    if share == 0 || share == yes.len() {
        return Err(StatError::OneOutcome);
    }
    let design = Design::of(data)?;
    if design.width + 1 > data.rows {
        return Err(StatError::TooFewRows { parameters: design.width + 1, rows: data.rows });
    }
    let maximum = search(&design, yes).map_err(|error| without_intercepts(error, 1))?;
    let loglik_null = if design.width == 0 {
        maximum.likelihood.value
    } else {
        search(&Design::of(&data.without_columns())?, yes)?.likelihood.value
    };
    finish(data, &design, yes, maximum, loglik_null)
}

fn search(design: &Design, yes: &[bool]) -> Result<Maximum> {
    let share = yes.iter().filter(|yes| **yes).count() as f64 / yes.len() as f64;
    let mut start = vec![0.0; design.width + 1];
    start[0] = (share / (1.0 - share)).ln();
    let mut ranges = vec![1.0];
    ranges.extend(&design.ranges);
    maximise(start, &ranges, |beta| likelihood(design, yes, beta))
}

/// log(1 + e^η) without overflow, and the probability.
fn softplus(eta: f64) -> (f64, f64) {
    let small = (-eta.abs()).exp();
    let p = if eta >= 0.0 { 1.0 / (1.0 + small) } else { small / (1.0 + small) };
    (eta.max(0.0) + small.ln_1p(), p)
}

fn likelihood(design: &Design, yes: &[bool], beta: &[f64]) -> Likelihood {
    let size = beta.len();
    let mut value = 0.0;
    let mut score = vec![0.0; size];
    let mut information = Matrix::zeros(size);
    let mut x = vec![1.0; size];
    for (row, yes) in yes.iter().enumerate() {
        x[1..].copy_from_slice(design.row(row));
        let eta = beta[0] + design.eta(row, &beta[1..]);
        let (log, p) = softplus(eta);
        let y = f64::from(u8::from(*yes));
        value += y * eta - log;
        score.iter_mut().zip(&x).for_each(|(score, x)| *score += (y - p) * x);
        information.add_square(&x, p * (1.0 - p));
    }
    Likelihood { value, score, information }
}

fn finish(
    data: &Covariates,
    design: &Design,
    yes: &[bool],
    maximum: Maximum,
    loglik_null: f64,
) -> Result<RegressionFit> {
    let middle = data.robust.then(|| middle(data, design, yes, &maximum.beta));
    let estimated = Estimated::of(&design.back(1, 1.0), &maximum, middle)?;
    Ok(estimated.fit(data, (loglik_null, maximum.likelihood.value), maximum.iterations))
}

/// The middle factor of the sandwich variance, and the number of clusters.
fn middle(data: &Covariates, design: &Design, yes: &[bool], beta: &[f64]) -> (Matrix, Option<usize>) {
    let mut sums = ClusterSums::new(data, beta.len());
    let mut score = vec![0.0; beta.len()];
    for (row, yes) in yes.iter().enumerate() {
        let p = softplus(beta[0] + design.eta(row, &beta[1..])).1;
        score[0] = f64::from(u8::from(*yes)) - p;
        (1..score.len()).for_each(|j| score[j] = score[0] * design.row(row)[j - 1]);
        sums.add(row, &score);
    }
    sums.finish()
}
