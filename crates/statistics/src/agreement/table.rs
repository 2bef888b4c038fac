//! Any number of raters.

use super::{Agreement, Weights};
use crate::{
    error::{Result, StatError, level},
    special::t_quantile,
};

/// What agreement by chance is taken to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chance {
    /// Fleiss's kappa: everyone rates at random by the overall shares (Fleiss 1971).
    Fleiss,
    /// Gwet's AC1, and AC2 with weights: only some ratings are random, which keeps the measure from
    /// collapsing where nearly all subjects are alike (Gwet 2008).
    Gwet,
}

/// For each subject how many raters gave each category. Subjects may have different numbers of ratings;
/// those with one count towards the shares of categories only.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    categories: usize,
    counts: Vec<Vec<f64>>,
}

impl Table {
    /// From ratings: subject, rater's category, each counted from 0. Subjects without any rating are
    /// left out.
    ///
    /// # Errors
    /// A category out of range, fewer than two categories, or fewer than two subjects rated twice.
    ///
    /// ```
    /// use statistics::agreement::{Chance, Table, Weights};
    /// let ratings = [(0, 0), (0, 0), (1, 1), (1, 1), (2, 0), (2, 1)];
    /// let table = Table::new(&ratings, 2)?;
    /// let ac1 = table.agreement(Chance::Gwet, Weights::Identity, 0.95)?;
    /// assert!((ac1.observed - 2.0 / 3.0).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn new(ratings: &[(usize, u32)], categories: usize) -> Result<Self> {
        let subjects = ratings.iter().map(|(subject, _)| subject + 1).max().unwrap_or(0);
        let mut counts = vec![vec![0.0; categories]; subjects];
        for (row, (subject, category)) in ratings.iter().enumerate() {
            let wanted = "the number of a category, counted from 0";
            let out = StatError::Value { row, value: f64::from(*category), wanted };
            *counts[*subject].get_mut(*category as usize).ok_or(out)? += 1.0;
        }
        counts.retain(|counts| counts.iter().sum::<f64>() > 0.0);
        let twice = counts.iter().filter(|counts| counts.iter().sum::<f64>() >= 2.0).count();
        if categories < 2 {
            return Err(StatError::Undefined("agreement needs at least two categories"));
        }
        if twice < 2 {
            return Err(StatError::Undefined("agreement needs at least two subjects rated at least twice"));
        }
        Ok(Self { categories, counts })
    }

    /// Subjects.
    #[must_use]
    pub fn subjects(&self) -> usize {
        self.counts.len()
    }

    /// Fleiss's kappa or Gwet's AC1 and AC2, weighted or not.
    ///
    /// The variance is Gwet's linearised one over subjects, Σ (κ_i* − κ)² / (n (n − 1)), with limits by
    /// Student's t with n − 1 degrees of freedom (Gwet 2014, section 5.3), as his own program prints.
    /// Subjects are a sample, raters are the raters there are.
    ///
    /// # Errors
    /// Where chance agreement is certain, so that the measure is 0/0.
    pub fn agreement(&self, chance: Chance, weights: Weights, confidence: f64) -> Result<Agreement> {
        level(confidence)?;
        let n = self.counts.len() as f64;
        let subjects: Vec<Subject> = self.counts.iter().map(|counts| Subject::of(counts, weights)).collect();
        let twice = subjects.iter().filter(|subject| subject.agreement.is_some()).count() as f64;
        let observed = subjects.iter().filter_map(|subject| subject.agreement).sum::<f64>() / twice;
        let by_category = self.by_category(chance, weights);
        let expected = by_category.expected;
        if 1.0 - expected < 1e-14 {
            return Err(StatError::Undefined(
                "all ratings are one and the same category, so agreement beyond chance is not defined",
            ));
        }
        let value = (observed - expected) / (1.0 - expected);
        let squares: f64 = subjects
            .iter()
            .map(|subject| {
                let own =
                    subject.agreement.map_or(0.0, |own| n / twice * (own - expected) / (1.0 - expected));
                let lean: f64 =
                    subject.shares.iter().zip(&by_category.lean).map(|(share, lean)| share * lean).sum();
                (own - 2.0 * (1.0 - value) * (lean - expected) / (1.0 - expected) - value).powi(2)
            })
            .sum();
        let std_err = (squares / (n * (n - 1.0))).sqrt();
        let half = t_quantile(0.5 + 0.5 * confidence, n - 1.0) * std_err;
        Ok(Agreement::of(value, std_err, half, (observed, expected)))
    }

    /// Share of each category, each subject counting alike.
    fn shares(&self) -> Vec<f64> {
        let n = self.counts.len() as f64;
        let mut shares = vec![0.0; self.categories];
        for counts in &self.counts {
            let ratings: f64 = counts.iter().sum();
            shares.iter_mut().zip(counts).for_each(|(share, count)| *share += count / ratings / n);
        }
        shares
    }

    fn by_category(&self, chance: Chance, weights: Weights) -> ByChance {
        let (k, shares) = (self.categories, self.shares());
        let credit = |i: usize, j: usize| weights.credit(i, j, k);
        let lean: Vec<f64> = match chance {
            Chance::Fleiss => (0..k).map(|i| (0..k).map(|j| credit(i, j) * shares[j]).sum()).collect(),
            Chance::Gwet => {
                let all: f64 = (0..k * k).map(|at| credit(at / k, at % k)).sum();
                shares.iter().map(|share| all / (k * (k - 1)) as f64 * (1.0 - share)).collect()
            }
        };
        let expected = lean.iter().zip(&shares).map(|(lean, share)| lean * share).sum();
        ByChance { expected, lean }
    }
}

struct ByChance {
    expected: f64,
    /// What a rating of a category adds to chance agreement.
    lean: Vec<f64>,
}

struct Subject {
    /// Weighted agreement among the subject's pairs of ratings, where there are any.
    agreement: Option<f64>,
    shares: Vec<f64>,
}

impl Subject {
    fn of(counts: &[f64], weights: Weights) -> Self {
        let ratings: f64 = counts.iter().sum();
        let k = counts.len();
        let credit = |i: usize| -> f64 {
            counts.iter().enumerate().map(|(j, count)| weights.credit(i, j, k) * count).sum::<f64>() - 1.0
        };
        let pairs: f64 = counts.iter().enumerate().map(|(i, count)| count * credit(i)).sum();
        let agreement = (ratings >= 2.0).then(|| pairs / (ratings * (ratings - 1.0)));
        Self { agreement, shares: counts.iter().map(|count| count / ratings).collect() }
    }
}
