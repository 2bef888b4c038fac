//! Agreement of any number of raters.

use super::{AgreementCoefficient, Weights};
use crate::{
    error::{Result, StatError, level},
    special::t_quantile,
};

/// The model of agreement by chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChanceAgreement {
    /// Fleiss's kappa: by chance all raters choose categories with the overall shares (Fleiss 1971).
    Fleiss,
    /// Gwet's AC1, and AC2 with weights: only some ratings are random, so that the coefficient does not
    /// collapse when nearly all subjects are in one category (Gwet 2008).
    Gwet,
}

/// The number of ratings of each subject in each category. Subjects may have different numbers of ratings;
/// those with a single rating count only towards the shares of the categories.
#[derive(Debug, Clone, PartialEq)]
pub struct RatingTable {
    categories: usize,
    counts: Vec<Vec<f64>>,
}

impl RatingTable {
    /// A table from ratings: pairs of subject and category, both counted from 0. Subjects without ratings
    /// are left out.
    ///
    /// # Errors
    /// A category out of range, fewer than two categories, or fewer than two subjects rated twice.
    ///
    /// ```
    /// use statistics::agreement::{ChanceAgreement, RatingTable, Weights};
    /// let ratings = [(0, 0), (0, 0), (1, 1), (1, 1), (2, 0), (2, 1)];
    /// let table = RatingTable::new(&ratings, 2)?;
    /// let ac1 = table.agreement(ChanceAgreement::Gwet, Weights::Identity, 0.95)?;
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

    /// The number of subjects.
    #[must_use]
    pub fn subjects(&self) -> usize {
        self.counts.len()
    }

    /// Fleiss's kappa or Gwet's AC1 and AC2, weighted or not.
    ///
    /// The variance is Gwet's linearised one over subjects, Σ (κ_i* − κ)² / (n (n − 1)), with limits by
    /// Student's t with n − 1 degrees of freedom (Gwet 2014, section 5.3). Subjects are a sample, raters
    /// are fixed.
    ///
    /// # Errors
    /// All ratings in one category: chance agreement is certain and the coefficient 0/0.
    ///
    /// ```
    /// use statistics::agreement::{ChanceAgreement, RatingTable, Weights};
    /// // Two of three subjects rated alike, both categories equally frequent: (2/3 − 1/2)/(1 − 1/2).
    /// let table = RatingTable::new(&[(0, 0), (0, 0), (1, 1), (1, 1), (2, 0), (2, 1)], 2)?;
    /// let kappa = table.agreement(ChanceAgreement::Fleiss, Weights::Identity, 0.95)?;
    /// assert!((kappa.value - 1.0 / 3.0).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn agreement(
        &self,
        chance: ChanceAgreement,
        weights: Weights,
        confidence: f64,
    ) -> Result<AgreementCoefficient> {
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
        Ok(AgreementCoefficient::of(value, std_err, half, (observed, expected)))
    }

    /// Share of each category, every subject with the same weight.
    fn shares(&self) -> Vec<f64> {
        let n = self.counts.len() as f64;
        let mut shares = vec![0.0; self.categories];
        for counts in &self.counts {
            let ratings: f64 = counts.iter().sum();
            shares.iter_mut().zip(counts).for_each(|(share, count)| *share += count / ratings / n);
        }
        shares
    }

    fn by_category(&self, chance: ChanceAgreement, weights: Weights) -> ByChance {
        let (k, shares) = (self.categories, self.shares());
        let credit = |i: usize, j: usize| weights.credit(i, j, k);
        let lean: Vec<f64> = match chance {
            ChanceAgreement::Fleiss => {
                (0..k).map(|i| (0..k).map(|j| credit(i, j) * shares[j]).sum()).collect()
            }
            ChanceAgreement::Gwet => {
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
    /// The contribution of a rating in each category to chance agreement.
    lean: Vec<f64>,
}

struct Subject {
    /// Weighted agreement of the subject's pairs of ratings; `None` for a single rating.
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
