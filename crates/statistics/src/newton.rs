//! Newton's method for the maximum of a likelihood, which also finds out that there is none.

use crate::{
    error::{Result, StatError},
    matrix::Matrix,
};

/// Steps before giving up; a regular likelihood needs about six.
const MOST_STEPS: usize = 60;
/// The search ends when no coefficient moves by more than this, in standard deviations of its
/// covariate. That last step is still taken, so the error left in the coefficients is of the order of
/// its square; likelihood and information are those just before it.
const SETTLED: f64 = 1e-10;
/// A column is explained by the others where less than this share of its information is left, as in
/// R survival.
pub(crate) const COLLINEAR: f64 = 1.8e-12;
/// The likelihood counts as flat when it gains less than this share of itself.
const FLAT: f64 = 1e-12;
/// A coefficient that still moves the linear predictor of the extreme rows by this much while the
/// likelihood is flat has no finite estimate.
const STILL_MOVING: f64 = 1e-2;

/// Log likelihood, score and information at some coefficients.
#[derive(Debug, Clone)]
pub(crate) struct Likelihood {
    pub value: f64,
    pub score: Vec<f64>,
    pub information: Matrix,
}

/// The end of the search.
#[derive(Debug, Clone)]
pub(crate) struct Maximum {
    pub beta: Vec<f64>,
    pub likelihood: Likelihood,
    pub iterations: usize,
}

/// Newton's method with step halving. `ranges` is the largest less smallest value of each covariate;
/// columns in errors are numbered as `beta` is.
pub(crate) fn maximise(
    start: Vec<f64>,
    ranges: &[f64],
    at: impl Fn(&[f64]) -> Likelihood,
) -> Result<Maximum> {
    let likelihood = at(&start);
    maximise_from(start, likelihood, ranges, at)
}

/// As [`maximise`], when the likelihood at the start is already known.
pub(crate) fn maximise_from(
    mut beta: Vec<f64>,
    mut here: Likelihood,
    ranges: &[f64],
    at: impl Fn(&[f64]) -> Likelihood,
) -> Result<Maximum> {
    for iteration in 0..MOST_STEPS {
        let factor = match here.information.cholesky(COLLINEAR) {
            Ok(factor) => factor,
            Err(error) if iteration == 0 => return Err(error),
            Err(_) => return Err(diverging(&beta, ranges)),
        };
        let mut step = factor.solve(&here.score);
        if step.iter().all(|step| step.abs() < SETTLED) {
            beta.iter_mut().zip(&step).for_each(|(beta, step)| *beta += step);
            return Ok(Maximum { beta, likelihood: here, iterations: iteration });
        }
        let (next, there) = halved_until_higher(&beta, &mut step, &here, &at);
        let flat = there.value - here.value < FLAT * (1.0 + there.value.abs());
        if flat && step.iter().zip(ranges).any(|(step, range)| step.abs() * range > STILL_MOVING) {
            return Err(diverging(&step, ranges));
        }
        (beta, here) = (next, there);
        // Rounding may hold the last steps above the bound; they do not get smaller then.
        if flat && step.iter().all(|step| step.abs() < 1e-7) {
            return Ok(Maximum { beta, likelihood: here, iterations: iteration + 1 });
        }
    }
    Err(StatError::NotConverged { iterations: MOST_STEPS })
}

fn diverging(step: &[f64], ranges: &[f64]) -> StatError {
    let far = |j: &usize| step[*j].abs() * ranges[*j] > STILL_MOVING;
    StatError::Separated { columns: (0..step.len()).filter(far).collect() }
}

/// Halves the step until the likelihood no longer falls.
fn halved_until_higher(
    beta: &[f64],
    step: &mut [f64],
    here: &Likelihood,
    at: &impl Fn(&[f64]) -> Likelihood,
) -> (Vec<f64>, Likelihood) {
    let mut halvings = 0;
    loop {
        let next: Vec<f64> = beta.iter().zip(&*step).map(|(beta, step)| beta + step).collect();
        let there = at(&next);
        let rounding = 1e-13 * (1.0 + here.value.abs());
        if there.value >= here.value - rounding || halvings == 30 {
            return (next, there);
        }
        halvings += 1;
        step.iter_mut().for_each(|step| *step *= 0.5);
    }
}
