//! Cohen's kappa of two raters.

use super::{AgreementCoefficient, Weights};
use crate::{
    error::{Result, StatError, level, same_length},
    special::{normal_two_sided, z_of},
};

/// Cohen's kappa of two raters.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Kappa {
    /// Subjects.
    pub n: usize,
    /// The weighting.
    pub weights: Weights,
    /// Kappa with its large-sample standard error and normal limits.
    pub kappa: AgreementCoefficient,
    /// Standard error if there were no agreement beyond chance, for the test.
    pub null_std_err: f64,
    /// Kappa divided by `null_std_err`.
    pub z: f64,
    /// Two-sided p value of `z`.
    pub p: f64,
}

/// Cohen's kappa, weighted or not, of categories `0..categories` given by two raters to the same
/// subjects in the same order (Cohen 1960, 1968).
///
/// Large-sample variance of Fleiss, Cohen and Everitt 1969 (Fleiss, Levin and Paik 2003, 18.13 and,
/// for the test, 18.14 from memory):
/// `[Σ p_ij (w_ij − (w̄_i· + w̄_·j)(1 − κ))² − (κ − p_e (1 − κ))²] / (n (1 − p_e)²)`.
/// It equals the delta method carried out numerically. Some programs print another variance.
///
/// # Errors
/// Slices of different length, a category out of range, fewer than two subjects, or one category only,
/// for which chance agreement is certain and kappa is 0/0.
///
/// ```
/// use statistics::agreement::{Weights, kappa};
/// let one = [0, 0, 1, 1, 2, 2];
/// let two = [0, 1, 1, 1, 2, 2];
/// let result = kappa(&one, &two, 3, Weights::Linear, 0.95)?;
/// assert!(result.kappa.value > 0.7);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn kappa(
    one: &[u32],
    two: &[u32],
    categories: usize,
    weights: Weights,
    confidence: f64,
) -> Result<Kappa> {
    let half = z_of(level(confidence)?);
    same_length("the second rater", one.len(), two.len())?;
    if one.len() < 2 {
        return Err(StatError::Undefined("agreement needs at least two subjects rated by both"));
    }
    let shares = shares(one, two, categories)?;
    let sums = Sums::of(&shares, categories, weights);
    if 1.0 - sums.expected < 1e-14 {
        return Err(StatError::Undefined(
            "both raters gave one and the same category throughout, so agreement beyond chance is not defined",
        ));
    }
    let n = one.len() as f64;
    let left = 1.0 - sums.expected;
    let value = (sums.observed - sums.expected) / left;
    let (around, null) = sums.spread(&shares, value);
    let std_err = (around.max(0.0) / n).sqrt() / left;
    let null_std_err = (null.max(0.0) / n).sqrt() / left;
    let z = value / null_std_err;
    let seen = (sums.observed, sums.expected);
    let kappa = AgreementCoefficient::of(value, std_err, half * std_err, seen);
    Ok(Kappa { n: one.len(), weights, kappa, null_std_err, z, p: normal_two_sided(z) })
}

/// The cross table of both raters, as shares.
fn shares(one: &[u32], two: &[u32], categories: usize) -> Result<Vec<f64>> {
    let mut shares = vec![0.0; categories * categories];
    for (row, (a, b)) in one.iter().zip(two).enumerate() {
        let most = *a.max(b);
        if most as usize >= categories {
            let wanted = "the number of a category, counted from 0";
            return Err(StatError::Value { row, value: f64::from(most), wanted });
        }
        shares[*a as usize * categories + *b as usize] += 1.0 / one.len() as f64;
    }
    Ok(shares)
}

struct Sums {
    categories: usize,
    weights: Weights,
    row: Vec<f64>,
    column: Vec<f64>,
    /// Mean weight of each category of the first rater over the second, and the reverse.
    row_credit: Vec<f64>,
    column_credit: Vec<f64>,
    observed: f64,
    expected: f64,
}

impl Sums {
    fn of(shares: &[f64], k: usize, weights: Weights) -> Self {
        let row: Vec<f64> = shares.chunks(k).map(|row| row.iter().sum()).collect();
        let column: Vec<f64> = (0..k).map(|j| (0..k).map(|i| shares[i * k + j]).sum()).collect();
        let mean = |i: usize, other: &[f64]| -> f64 {
            other.iter().enumerate().map(|(j, share)| weights.credit(i, j, k) * share).sum()
        };
        let row_credit: Vec<f64> = (0..k).map(|i| mean(i, &column)).collect();
        let column_credit: Vec<f64> = (0..k).map(|j| mean(j, &row)).collect();
        let observed = shares.iter().enumerate().map(|(at, p)| p * weights.credit(at / k, at % k, k)).sum();
        let expected = row.iter().zip(&row_credit).map(|(p, credit)| p * credit).sum();
        Self { categories: k, weights, row, column, row_credit, column_credit, observed, expected }
    }

    /// The bracketed terms of the two variances: at this kappa, and at kappa 0.
    fn spread(&self, shares: &[f64], kappa: f64) -> (f64, f64) {
        let k = self.categories;
        let (mut around, mut null) = (0.0, 0.0);
        for i in 0..k {
            for j in 0..k {
                let credit = self.weights.credit(i, j, k);
                let means = self.row_credit[i] + self.column_credit[j];
                around += shares[i * k + j] * (credit - means * (1.0 - kappa)).powi(2);
                null += self.row[i] * self.column[j] * (credit - means).powi(2);
            }
        }
        let centre = kappa - self.expected * (1.0 - kappa);
        (around - centre * centre, null - self.expected * self.expected)
    }
}
