//! Proportional odds regression of ordered levels.

use super::covariates::{ClusterSums, Covariates, Design, Estimated, RegressionFit, without_intercepts};
use crate::{
    error::{Result, StatError, same_length},
    estimate::Coefficient,
    matrix::Matrix,
    newton::{Likelihood, Maximum, maximise},
};

/// A fitted proportional odds model.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct OrdinalFit {
    /// Thresholds θ₁ < θ₂ < …, one fewer than levels.
    pub thresholds: Vec<Coefficient>,
    /// The coefficients and their tests. `terms` holds the covariates only; the variances hold the
    /// thresholds first, then the covariates.
    pub fit: RegressionFit,
}

/// Proportional odds regression, logit P(Y ≤ k) = θ_k − x'β, by maximum likelihood (McCullagh 1980).
///
/// A positive coefficient goes with higher levels; its ratio is the odds ratio of being above any
/// level. Standard errors are from the observed information, as in R's `ordinal::clm`. `level` counts from
/// 0, and every level below `levels` must occur.
///
/// # Errors
/// A level that never occurs or is out of range, or as [`super::logistic`].
///
/// ```
/// use statistics::regression::{Covariates, ordinal};
/// let x = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0];
/// let level = [0, 1, 0, 1, 2, 1, 2];
/// let fit = ordinal(&Covariates::new(7, vec![&x])?, &level, 3)?;
/// assert_eq!((fit.thresholds.len(), fit.fit.terms.len()), (2, 1));
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn ordinal(data: &Covariates, level: &[u32], levels: usize) -> Result<OrdinalFit> {
    same_length("the level", data.rows, level.len())?;
    let counts = count(level, levels)?;
    let design = Design::of(data)?;
    let size = levels - 1 + design.width;
    if size > data.rows {
        return Err(StatError::TooFewRows { parameters: size, rows: data.rows });
    }
    let model = Model { design: &design, level, lead: levels - 1 };
    let maximum = model.search(&counts).map_err(|error| without_intercepts(error, levels - 1))?;
    let loglik_null = match design.width {
        0 => maximum.likelihood.value,
        _ => {
            let bare = Design::of(&data.without_columns())?;
            Model { design: &bare, level, lead: levels - 1 }.search(&counts)?.likelihood.value
        }
    };
    model.finish(data, maximum, loglik_null)
}

fn count(level: &[u32], levels: usize) -> Result<Vec<f64>> {
    let mut counts = vec![0.0; levels];
    for (row, level) in level.iter().enumerate() {
        let wanted = "the number of a level, counted from 0";
        let out = StatError::Value { row, value: f64::from(*level), wanted };
        *counts.get_mut(*level as usize).ok_or(out)? += 1.0;
    }
    if levels < 2 {
        return Err(StatError::OneOutcome);
    }
    if counts.contains(&0.0) {
        return Err(StatError::Undefined("a level never occurs: leave it out or join it to its neighbour"));
    }
    Ok(counts)
}

/// The logistic distribution: cumulative probability, density, and slope of the density.
fn logistic(x: f64) -> (f64, f64, f64) {
    let small = (-x.abs()).exp();
    let tail = small / (1.0 + small);
    let below = if x >= 0.0 { 1.0 / (1.0 + small) } else { tail };
    let density = tail / (1.0 + small);
    (below, density, density * (1.0 - 2.0 * below))
}

/// F(a) − F(b) for a above b, without cancellation in the upper tail.
fn between(a: f64, b: f64) -> f64 {
    if b > 0.0 { logistic(-b).0 - logistic(-a).0 } else { logistic(a).0 - logistic(b).0 }
}

struct Model<'a> {
    design: &'a Design,
    level: &'a [u32],
    /// Thresholds.
    lead: usize,
}

/// A row's contribution to the likelihood: log probability, and first and second derivatives with respect
/// to its upper threshold, its lower threshold and its linear predictor.
struct Share {
    log: f64,
    first: [f64; 3],
    second: [[f64; 3]; 3],
}

impl Model<'_> {
    fn search(&self, counts: &[f64]) -> Result<Maximum> {
        let n: f64 = counts.iter().sum();
        let mut below = 0.0;
        let mut start: Vec<f64> = counts[..self.lead]
            .iter()
            .map(|count| {
                below += count;
                (below / (n - below)).ln()
            })
            .collect();
        start.resize(self.lead + self.design.width, 0.0);
        let mut ranges = vec![1.0; self.lead];
        ranges.extend(&self.design.ranges);
        maximise(start, &ranges, |beta| self.likelihood(beta))
    }

    /// `None` if the thresholds are out of order.
    fn share(&self, row: usize, beta: &[f64]) -> Option<Share> {
        let level = self.level[row] as usize;
        let eta = self.design.eta(row, &beta[self.lead..]);
        let top = beta[..self.lead].get(level).map(|theta| theta - eta);
        let low = level.checked_sub(1).map(|below| beta[below] - eta);
        let p = between(top.unwrap_or(f64::INFINITY), low.unwrap_or(f64::NEG_INFINITY));
        if p.is_nan() || p <= 0.0 {
            return None;
        }
        let density = |x: Option<f64>| x.map_or((0.0, 0.0), |x| (logistic(x).1, logistic(x).2));
        let ((fa, da), (fb, db)) = (density(top), density(low));
        let first = [fa / p, -fb / p, (fb - fa) / p];
        let raw = [[da, 0.0, -da], [0.0, -db, db], [-da, db, da - db]];
        let mut second = [[0.0; 3]; 3];
        for i in 0..3 {
            for j in 0..3 {
                second[i][j] = raw[i][j] / p - first[i] * first[j];
            }
        }
        Some(Share { log: p.ln(), first, second })
    }

    /// The positions of a row's upper and lower threshold among the parameters.
    fn places(&self, row: usize) -> (Option<usize>, Option<usize>) {
        let level = self.level[row] as usize;
        ((level < self.lead).then_some(level), level.checked_sub(1))
    }

    fn likelihood(&self, beta: &[f64]) -> Likelihood {
        let size = beta.len();
        let mut sum = Likelihood { value: 0.0, score: vec![0.0; size], information: Matrix::zeros(size) };
        for row in 0..self.design.rows {
            let Some(share) = self.share(row, beta) else {
                sum.value = f64::NEG_INFINITY;
                return sum;
            };
            sum.value += share.log;
            self.add(row, &share, &mut sum);
        }
        for i in 0..size {
            for j in 0..i {
                sum.information.set(i, j, sum.information.at(j, i));
            }
        }
        sum
    }

    /// Adds a row to the score and to the upper triangle of the information.
    fn add(&self, row: usize, share: &Share, sum: &mut Likelihood) {
        let z = self.design.row(row);
        let (top, low) = self.places(row);
        for (at, k) in [(top, 0), (low, 1)] {
            let Some(at) = at else { continue };
            sum.score[at] += share.first[k];
            sum.information.add(at, at, -share.second[k][k]);
            for (j, z) in z.iter().enumerate() {
                sum.information.add(at, self.lead + j, -share.second[k][2] * z);
            }
        }
        if let (Some(top), Some(low)) = (top, low) {
            sum.information.add(low, top, -share.second[0][1]);
        }
        for (i, left) in z.iter().enumerate() {
            sum.score[self.lead + i] += share.first[2] * left;
            let part = -share.second[2][2] * left;
            for (j, right) in z.iter().enumerate().skip(i) {
                sum.information.add(self.lead + i, self.lead + j, part * right);
            }
        }
    }

    fn middle(&self, data: &Covariates, beta: &[f64]) -> (Matrix, Option<usize>) {
        let mut sums = ClusterSums::new(data, beta.len());
        let mut score = vec![0.0; beta.len()];
        for row in 0..self.design.rows {
            let Some(share) = self.share(row, beta) else { continue };
            score.fill(0.0);
            let (top, low) = self.places(row);
            top.into_iter().for_each(|at| score[at] = share.first[0]);
            low.into_iter().for_each(|at| score[at] = share.first[1]);
            for (j, z) in self.design.row(row).iter().enumerate() {
                score[self.lead + j] = share.first[2] * z;
            }
            sums.add(row, &score);
        }
        sums.finish()
    }

    fn finish(&self, data: &Covariates, maximum: Maximum, loglik_null: f64) -> Result<OrdinalFit> {
        let middle = data.robust.then(|| self.middle(data, &maximum.beta));
        // η is subtracted from the threshold, so centring moves the thresholds the other way.
        let back = self.design.back(self.lead, -1.0);
        let mut estimated = Estimated::of(&back, &maximum, middle)?;
        let covariates = estimated.terms.split_off(self.lead);
        let thresholds = std::mem::replace(&mut estimated.terms, covariates);
        let fit = estimated.fit(data, (loglik_null, maximum.likelihood.value), maximum.iterations);
        Ok(OrdinalFit { thresholds, fit })
    }
}
