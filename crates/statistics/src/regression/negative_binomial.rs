//! Negative binomial regression of counts that vary more than Poisson counts.

use super::covariates::{ClusterSums, Covariates, Design, Estimated, RegressionFit, without_intercepts};
use crate::{
    error::{Result, StatError, same_length},
    matrix::Matrix,
    newton::{Likelihood, Maximum, maximise},
    special::{digamma, ln_gamma, trigamma},
};

/// Largest number of alternations between coefficients and dispersion.
const MOST_ROUNDS: usize = 200;
/// The alternation ends when the dispersion moves by less than this share of itself.
const SETTLED: f64 = 1e-11;
/// Above this value the distribution is practically a Poisson distribution.
const POISSON: f64 = 1e7;

/// A fitted negative binomial regression.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct NegativeBinomialFit {
    /// Dispersion θ: the variance is μ + μ²/θ.
    pub theta: f64,
    /// Its standard error, from the observed information with the coefficients fixed.
    pub theta_se: f64,
    /// The coefficients and their tests.
    pub fit: RegressionFit,
}

/// Negative binomial regression of counts, log μ = α + x'β + offset, variance μ + μ²/θ, with θ by
/// maximum likelihood (Lawless 1987; Venables and Ripley 2002, section 7.4).
///
/// Standard errors of the coefficients are from the expected information with θ fixed, as in R's
/// `MASS::glm.nb`; programs that invert the observed information of both together differ slightly.
///
/// # Errors
/// A count that is negative or not whole, all counts 0, [`StatError::NotOverdispersed`], or as
/// [`super::logistic`].
///
/// ```
/// use statistics::regression::{Covariates, negative_binomial};
/// let x = [0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0];
/// let casts = [0.0, 1.0, 9.0, 2.0, 3.0, 14.0, 1.0, 30.0];
/// let model = negative_binomial(&Covariates::new(8, vec![&x])?, &casts)?;
/// assert!((model.fit.terms[0].coef - 3.0_f64.ln()).abs() < 1e-9);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn negative_binomial(data: &Covariates, counts: &[f64]) -> Result<NegativeBinomialFit> {
    same_length("the counts", data.rows, counts.len())?;
    let wrong = |count: &f64| !(*count >= 0.0 && count.fract() == 0.0 && count.is_finite());
    if let Some(row) = counts.iter().position(wrong) {
        return Err(StatError::Value { row, value: counts[row], wanted: "a whole number from 0 up" });
    }
    if counts.iter().all(|count| *count == 0.0) {
        return Err(StatError::OneOutcome);
    }
    let design = Design::of(data)?;
    if design.width + 2 > data.rows {
        return Err(StatError::TooFewRows { parameters: design.width + 2, rows: data.rows });
    }
    let model = Model { design: &design, counts };
    let (theta, maximum) = model.rounds().map_err(|error| without_intercepts(error, 1))?;
    let loglik_null = match design.width {
        0 => model.likelihood_of(&maximum.beta, theta),
        _ => {
            let bare = Design::of(&data.without_columns())?;
            let bare = Model { design: &bare, counts };
            // Without covariates the counts vary more, so this dispersion exists if the other does.
            let (theta, maximum) = bare.rounds()?;
            bare.likelihood_of(&maximum.beta, theta)
        }
    };
    model.finish(data, theta, maximum, loglik_null)
}

struct Model<'a> {
    design: &'a Design,
    counts: &'a [f64],
}

impl Model<'_> {
    fn mean(&self, row: usize, beta: &[f64]) -> f64 {
        (beta[0] + self.design.eta(row, &beta[1..])).exp()
    }

    /// Coefficients at a given θ; infinity means Poisson. The value leaves out the terms that do not
    /// depend on the coefficients.
    fn search(&self, start: Vec<f64>, theta: f64) -> Result<Maximum> {
        let mut ranges = vec![1.0];
        ranges.extend(&self.design.ranges);
        maximise(start, &ranges, |beta| self.likelihood(beta, theta))
    }

    fn likelihood(&self, beta: &[f64], theta: f64) -> Likelihood {
        let size = beta.len();
        let (mut value, mut score, mut information) = (0.0, vec![0.0; size], Matrix::zeros(size));
        let mut x = vec![1.0; size];
        for (row, count) in self.counts.iter().enumerate() {
            x[1..].copy_from_slice(self.design.row(row));
            let eta = beta[0] + self.design.eta(row, &beta[1..]);
            let mean = eta.exp();
            let spread = 1.0 + mean / theta;
            value +=
                count * eta - if theta.is_finite() { (theta + count) * (mean / theta).ln_1p() } else { mean };
            score.iter_mut().zip(&x).for_each(|(score, x)| *score += (count - mean) / spread * x);
            information.add_square(&x, mean / spread);
        }
        Likelihood { value, score, information }
    }

    /// The full log likelihood.
    fn likelihood_of(&self, beta: &[f64], theta: f64) -> f64 {
        let row = |(row, y): (usize, &f64)| {
            let mean = self.mean(row, beta);
            ln_gamma(y + theta) - ln_gamma(theta) - ln_gamma(y + 1.0)
                + if *y > 0.0 { y * (mean / (mean + theta)).ln() } else { 0.0 }
                - theta * (mean / theta).ln_1p()
        };
        self.counts.iter().enumerate().map(row).sum()
    }

    /// Coefficients and θ in turn until θ no longer changes.
    fn rounds(&self) -> Result<(f64, Maximum)> {
        let mean = self.counts.iter().sum::<f64>() / self.counts.len() as f64;
        let mut start = vec![0.0; self.design.width + 1];
        let offset = self.design.offset.as_ref();
        let exposure =
            offset.map_or(1.0, |offset| offset.iter().map(|o| o.exp()).sum::<f64>() / offset.len() as f64);
        start[0] = (mean / exposure).ln();
        let mut maximum = self.search(start, f64::INFINITY)?;
        let mut theta = self.theta(&maximum.beta, None)?;
        for _ in 0..MOST_ROUNDS {
            maximum = self.search(maximum.beta, theta)?;
            let next = self.theta(&maximum.beta, Some(theta))?;
            let moved = (next - theta).abs() / next;
            theta = next;
            if moved < SETTLED {
                return Ok((theta, self.search(maximum.beta, theta)?));
            }
        }
        Err(StatError::NotConverged { iterations: MOST_ROUNDS })
    }

    /// Score and observed information of θ, given the means.
    fn theta_score(&self, means: &[f64], theta: f64) -> (f64, f64) {
        let (mut score, mut information) = (0.0, 0.0);
        for (y, mean) in self.counts.iter().zip(means) {
            let sum = theta + mean;
            score += digamma(theta + y) - digamma(theta) + 1.0 - (mean / theta).ln_1p() - (y + theta) / sum;
            information +=
                trigamma(theta) - trigamma(theta + y) - 1.0 / theta + 2.0 / sum - (y + theta) / (sum * sum);
        }
        (score, information)
    }

    /// θ given the coefficients: the root of its score on the logarithmic scale, by Newton's method within
    /// a bracket.
    fn theta(&self, beta: &[f64], start: Option<f64>) -> Result<f64> {
        let means: Vec<f64> = (0..self.counts.len()).map(|row| self.mean(row, beta)).collect();
        if start.is_none() && self.theta_score(&means, POISSON).0 >= 0.0 {
            return Err(StatError::NotOverdispersed);
        }
        let (mut low, mut high) = (1e-8_f64.ln(), POISSON.ln());
        let mut at = start.unwrap_or(1.0).ln();
        for _ in 0..200 {
            let theta = at.exp();
            let (score, information) = self.theta_score(&means, theta);
            if score > 0.0 {
                low = at;
            } else {
                high = at;
            }
            // The second derivative by log θ is −θ² information + θ score.
            let curve = theta * theta * information - theta * score;
            let newton = at + theta * score / curve;
            let next = if curve > 0.0 && newton > low && newton < high { newton } else { 0.5 * (low + high) };
            if (next - at).abs() < 1e-14 {
                break;
            }
            at = next;
        }
        if at > POISSON.ln() - 1e-6 { Err(StatError::NotOverdispersed) } else { Ok(at.exp()) }
    }

    fn finish(
        &self,
        data: &Covariates,
        theta: f64,
        maximum: Maximum,
        loglik_null: f64,
    ) -> Result<NegativeBinomialFit> {
        let means: Vec<f64> = (0..self.counts.len()).map(|row| self.mean(row, &maximum.beta)).collect();
        let middle = data.robust.then(|| self.middle(data, &means, theta));
        let estimated = Estimated::of(&self.design.back(1, 1.0), &maximum, middle)?;
        let loglik = self.likelihood_of(&maximum.beta, theta);
        let fit = estimated.fit(data, (loglik_null, loglik), maximum.iterations);
        let theta_se = self.theta_score(&means, theta).1.sqrt().recip();
        Ok(NegativeBinomialFit { theta, theta_se, fit })
    }

    fn middle(&self, data: &Covariates, means: &[f64], theta: f64) -> (Matrix, Option<usize>) {
        let mut sums = ClusterSums::new(data, self.design.width + 1);
        let mut score = vec![0.0; self.design.width + 1];
        for (row, (y, mean)) in self.counts.iter().zip(means).enumerate() {
            score[0] = (y - mean) / (1.0 + mean / theta);
            (1..score.len()).for_each(|j| score[j] = score[0] * self.design.row(row)[j - 1]);
            sums.add(row, &score);
        }
        sums.finish()
    }
}
