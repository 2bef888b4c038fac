//! Maximum of the partial likelihood.

use super::{
    Cox, Ties,
    prepared::Prepared,
    sweep::{Moments, Step, size, sweep},
};
use crate::{
    error::{Result, StatError},
    matrix::{Matrix, dot},
    special::{chi2_upper, normal_two_sided},
    survival::Interval,
};

/// Steps before giving up; a regular likelihood needs about six.
const MOST_STEPS: usize = 60;
/// The search ends when no coefficient moves by more than this, in standard deviations of its
/// covariate. That last step is still taken, so the error left in the coefficients is of the order of
/// its square; likelihood and information are those just before it.
const SETTLED: f64 = 1e-10;
/// A column is explained by the others where less than this share of its information is left, as in
/// R survival.
const COLLINEAR: f64 = 1.8e-12;
/// The likelihood stands still where it gains less than this share of itself.
const FLAT: f64 = 1e-12;
/// A coefficient that still moves the hazard of the extreme rows by so much while the likelihood stands
/// still has no finite estimate.
const STILL_MOVING: f64 = 1e-2;

/// A test of all coefficients at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Test {
    /// Test statistic.
    pub chi2: f64,
    /// Degrees of freedom.
    pub df: usize,
    /// Probability of one so large if no covariate matters.
    pub p: f64,
}

impl Test {
    pub(crate) fn of(chi2: f64, df: usize) -> Self {
        Self { chi2, df, p: chi2_upper(chi2, df as f64) }
    }
}

/// One covariate's estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// Log hazard ratio for one unit.
    pub coef: f64,
    /// Its standard error from the information.
    pub se: f64,
    /// Its robust standard error, where asked for.
    pub robust_se: Option<f64>,
    /// Coefficient over its standard error, the robust one where there is one.
    pub z: f64,
    /// Two-sided p value of `z`.
    pub p: f64,
}

impl Coefficient {
    pub(crate) fn of(coef: f64, se: f64, robust_se: Option<f64>) -> Self {
        let z = coef / robust_se.unwrap_or(se);
        Self { coef, se, robust_se, z, p: normal_two_sided(z) }
    }

    /// The standard error the tests and intervals rest on: the robust one where there is one.
    #[must_use]
    pub fn std_err(&self) -> f64 {
        self.robust_se.unwrap_or(self.se)
    }

    /// Ratio for one unit, exp(coef), with its limits at the level of an interval.
    #[must_use]
    pub fn ratio(&self, interval: &Interval) -> (f64, f64, f64) {
        let half = interval.z() * self.std_err();
        (self.coef.exp(), (self.coef - half).exp(), (self.coef + half).exp())
    }
}

/// A fitted proportional hazards model.
#[derive(Debug, Clone)]
pub struct CoxFit {
    /// Rows.
    pub n: usize,
    /// Rows with the event.
    pub events: usize,
    /// How ties were handled.
    pub ties: Ties,
    /// One for each covariate, in order.
    pub terms: Vec<Coefficient>,
    /// Log partial likelihood with all coefficients 0.
    pub loglik_null: f64,
    /// Log partial likelihood at the estimate.
    pub loglik: f64,
    /// Likelihood ratio test.
    pub likelihood_ratio: Test,
    /// Wald test, with the robust variance where there is one.
    pub wald: Test,
    /// Score test at 0.
    pub score: Test,
    /// Inverse of the information.
    pub variance: Matrix,
    /// Robust variance, where asked for.
    pub robust_variance: Option<Matrix>,
    /// Clusters, where rows were clustered.
    pub clusters: Option<usize>,
    /// Steps of the search.
    pub iterations: usize,
    pub(crate) data: Prepared,
    /// Coefficients of the scaled covariates.
    pub(crate) beta: Vec<f64>,
    /// Their variance.
    pub(crate) scaled_variance: Matrix,
    pub(crate) scaled_robust: Option<Matrix>,
}

/// Log likelihood, score and information at some coefficients.
pub(crate) struct Likelihood {
    pub value: f64,
    pub score: Vec<f64>,
    pub information: Matrix,
}

impl Likelihood {
    pub fn at(data: &Prepared, beta: &[f64], ties: Ties) -> Self {
        let width = data.width;
        let mut value = 0.0;
        let mut score = vec![0.0; width];
        let mut upper = vec![0.0; size(width, Moments::Second) - 1 - width];
        sweep(data, beta, ties, Moments::Second, |step| {
            value += step.eta - step.log_sum;
            add_score(step, width, 1.0, &mut score);
            add_information(step, width, 1.0, &mut upper);
        });
        Self { value, score, information: Matrix::from_upper(width, &upper) }
    }
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
    let start = Likelihood::at(&data, &vec![0.0; width], cox.ties);
    let score = score_test(&start, cox.spells.events())?;
    let loglik_null = start.value;
    let (beta, end, iterations) = climb(&data, cox, start)?;
    let scaled_variance = end.information.cholesky(COLLINEAR)?.inverse();
    let robust = cox.robust.then(|| super::residuals::robust(&data, &beta, cox, &scaled_variance));
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
        likelihood_ratio: Test::of(2.0 * (end.value - loglik_null), width),
        wald: Test::of(wald, df),
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
fn score_test(start: &Likelihood, events: usize) -> Result<Test> {
    let width = start.score.len();
    if let Some(column) = (0..width).find(|j| start.information.at(*j, *j) <= 1e-13 * events as f64) {
        return Err(StatError::Uninformative { column });
    }
    let factor = start.information.cholesky(COLLINEAR)?;
    Ok(Test::of(dot(&factor.solve(&start.score), &start.score), width))
}

/// Newton's method with step halving.
fn climb(data: &Prepared, cox: &Cox, start: Likelihood) -> Result<(Vec<f64>, Likelihood, usize)> {
    let ranges = ranges(data);
    let mut beta = vec![0.0; data.width];
    let mut here = start;
    for iteration in 1..=MOST_STEPS {
        let runaway = |step: &[f64]| {
            let far = |j: &usize| step[*j].abs() * ranges[*j] > STILL_MOVING;
            StatError::Separated { columns: (0..step.len()).filter(far).collect() }
        };
        let Ok(factor) = here.information.cholesky(COLLINEAR) else {
            return Err(runaway(&beta));
        };
        let mut step = factor.solve(&here.score);
        if step.iter().all(|step| step.abs() < SETTLED) {
            beta.iter_mut().zip(&step).for_each(|(beta, step)| *beta += step);
            return Ok((beta, here, iteration - 1));
        }
        let (next, there) = uphill(data, cox, &beta, &mut step, &here);
        let gain = there.value - here.value;
        let moving = step.iter().zip(&ranges).any(|(step, range)| step.abs() * range > STILL_MOVING);
        if gain < FLAT * (1.0 + there.value.abs()) && moving {
            return Err(runaway(&step));
        }
        let done = gain <= FLAT * (1.0 + there.value.abs()) && step.iter().all(|step| step.abs() < 1e-7);
        (beta, here) = (next, there);
        if done {
            return Ok((beta, here, iteration));
        }
    }
    Err(StatError::NotSettled { iterations: MOST_STEPS })
}

/// Halves the step until the likelihood does not fall.
fn uphill(
    data: &Prepared,
    cox: &Cox,
    beta: &[f64],
    step: &mut [f64],
    here: &Likelihood,
) -> (Vec<f64>, Likelihood) {
    let mut halvings = 0;
    loop {
        let next: Vec<f64> = beta.iter().zip(&*step).map(|(beta, step)| beta + step).collect();
        let there = Likelihood::at(data, &next, cox.ties);
        let rounding = 1e-13 * (1.0 + here.value.abs());
        if there.value >= here.value - rounding || halvings == 30 {
            return (next, there);
        }
        halvings += 1;
        step.iter_mut().for_each(|step| *step *= 0.5);
    }
}

/// Largest less smallest value of each scaled covariate.
fn ranges(data: &Prepared) -> Vec<f64> {
    let mut low = vec![f64::INFINITY; data.width];
    let mut high = vec![f64::NEG_INFINITY; data.width];
    for row in data.z.chunks_exact(data.width) {
        for (j, z) in row.iter().enumerate() {
            low[j] = low[j].min(*z);
            high[j] = high[j].max(*z);
        }
    }
    low.iter().zip(high).map(|(low, high)| high - low).collect()
}
