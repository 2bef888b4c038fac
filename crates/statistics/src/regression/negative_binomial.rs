//! Counts that vary more than chance alone would make them.

use super::covariates::{Covariates, Design, Fit, Meat, carry, terms, without_intercepts};
use crate::{
    error::{Result, StatError, same_length},
    estimate::Test,
    matrix::Matrix,
    newton::{COLLINEAR, Likelihood, Summit, climb},
    special::{digamma, ln_gamma, trigamma},
};

/// Rounds of coefficients and dispersion in turn before giving up.
const MOST_ROUNDS: usize = 200;
/// The rounds end when the dispersion moves by less than this share of itself.
const SETTLED: f64 = 1e-11;
/// Above this the distribution is a Poisson distribution in all but name.
const POISSON: f64 = 1e7;

/// A fitted negative binomial regression.
#[derive(Debug, Clone)]
pub struct NegativeBinomial {
    /// Dispersion θ: the variance is μ + μ²/θ.
    pub theta: f64,
    /// Its standard error, from the observed information with the coefficients held.
    pub theta_se: f64,
    /// The rest.
    pub fit: Fit,
}

/// Negative binomial regression of counts, log μ = α + x'β + offset, variance μ + μ²/θ, with θ by
/// maximum likelihood (Lawless 1987; Venables and Ripley 2002, section 7.4).
///
/// Standard errors of the coefficients are from the expected information with θ held, as R's
/// `MASS::glm.nb`; programs that invert the observed information of both together differ somewhat.
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
pub fn negative_binomial(data: &Covariates, counts: &[f64]) -> Result<NegativeBinomial> {
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
    let (theta, summit) = model.rounds().map_err(|error| without_intercepts(error, 1))?;
    let loglik_null = match design.width {
        0 => model.likelihood_of(&summit.beta, theta),
        _ => {
            let bare = Design::of(&data.without_columns())?;
            let bare = Model { design: &bare, counts };
            // Without its covariates a count that varies little more than a Poisson one varies more.
            let (theta, summit) = bare.rounds()?;
            bare.likelihood_of(&summit.beta, theta)
        }
    };
    model.finish(data, theta, summit, loglik_null)
}

struct Model<'a> {
    design: &'a Design,
    counts: &'a [f64],
}

impl Model<'_> {
    fn mean(&self, row: usize, beta: &[f64]) -> f64 {
        (beta[0] + self.design.eta(row, &beta[1..])).exp()
    }

    /// Coefficients at a given θ, where infinity means Poisson. The value leaves out what does not
    /// depend on them.
    fn search(&self, start: Vec<f64>, theta: f64) -> Result<Summit> {
        let mut ranges = vec![1.0];
        ranges.extend(&self.design.ranges);
        climb(start, &ranges, |beta| self.likelihood(beta, theta))
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

    /// The whole log likelihood.
    fn likelihood_of(&self, beta: &[f64], theta: f64) -> f64 {
        let row = |(row, y): (usize, &f64)| {
            let mean = self.mean(row, beta);
            ln_gamma(y + theta) - ln_gamma(theta) - ln_gamma(y + 1.0)
                + if *y > 0.0 { y * (mean / (mean + theta)).ln() } else { 0.0 }
                - theta * (mean / theta).ln_1p()
        };
        self.counts.iter().enumerate().map(row).sum()
    }

    /// Coefficients and θ in turn until neither moves.
    fn rounds(&self) -> Result<(f64, Summit)> {
        let mean = self.counts.iter().sum::<f64>() / self.counts.len() as f64;
        let mut start = vec![0.0; self.design.width + 1];
        let offset = self.design.offset.as_ref();
        let exposure =
            offset.map_or(1.0, |offset| offset.iter().map(|o| o.exp()).sum::<f64>() / offset.len() as f64);
        start[0] = (mean / exposure).ln();
        let mut summit = self.search(start, f64::INFINITY)?;
        let mut theta = self.theta(&summit.beta, None)?;
        for _ in 0..MOST_ROUNDS {
            summit = self.search(summit.beta, theta)?;
            let next = self.theta(&summit.beta, Some(theta))?;
            let moved = (next - theta).abs() / next;
            theta = next;
            if moved < SETTLED {
                return Ok((theta, self.search(summit.beta, theta)?));
            }
        }
        Err(StatError::NotSettled { iterations: MOST_ROUNDS })
    }

    /// Score and observed information of θ at some means.
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

    /// θ at the means of some coefficients: the root of its score on the logarithmic scale, by Newton's
    /// steps kept within a bracket.
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
        summit: Summit,
        loglik_null: f64,
    ) -> Result<NegativeBinomial> {
        let Summit { beta, likelihood, iterations } = summit;
        let means: Vec<f64> = (0..self.counts.len()).map(|row| self.mean(row, &beta)).collect();
        let inverse = likelihood.information.cholesky(COLLINEAR)?.inverse();
        let back = self.design.back(1, 1.0);
        let (middle, clusters) = data.robust.then(|| self.middle(data, &means, theta)).unzip();
        let robust_variance = middle.map(|middle| carry(&back, &inverse.around(&middle)));
        let variance = carry(&back, &inverse);
        let loglik = self.likelihood_of(&beta, theta);
        let fit = Fit {
            n: data.rows,
            terms: terms(&back.times(&beta), &variance, robust_variance.as_ref()),
            loglik_null,
            loglik,
            likelihood_ratio: Test::of(2.0 * (loglik - loglik_null), self.design.width),
            variance,
            robust_variance,
            clusters: clusters.flatten(),
            iterations,
        };
        let theta_se = self.theta_score(&means, theta).1.sqrt().recip();
        Ok(NegativeBinomial { theta, theta_se, fit })
    }

    fn middle(&self, data: &Covariates, means: &[f64], theta: f64) -> (Matrix, Option<usize>) {
        let mut meat = Meat::new(data, self.design.width + 1);
        let mut score = vec![0.0; self.design.width + 1];
        for (row, (y, mean)) in self.counts.iter().zip(means).enumerate() {
            score[0] = (y - mean) / (1.0 + mean / theta);
            (1..score.len()).for_each(|j| score[j] = score[0] * self.design.row(row)[j - 1]);
            meat.add(row, &score);
        }
        meat.finish()
    }
}
