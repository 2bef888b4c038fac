//! The log-rank test, weighted log-rank tests, and their stratified form.

use super::{
    Spells,
    kaplan_meier::check_codes,
    spells::rows_by_code,
    timeline::{Tally, Timeline},
};
use crate::{
    error::{Result, StatError},
    estimate::ChiSquaredTest,
    matrix::{Matrix, quadratic},
    special::chi2_upper,
};

/// The weight of each event time.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Weighting {
    /// Equal weights: the log-rank test of Mantel 1966.
    #[default]
    LogRank,
    /// The number at risk: Gehan 1965, Breslow 1970.
    Gehan,
    /// The square root of the number at risk: Tarone and Ware 1977.
    TaroneWare,
    /// The survival estimate of Peto and Peto, ∏ (1 − d/(n + 1)) up to and including the time (Klein and
    /// Moeschberger 2003, 7.3.7 with 7.3.8 from memory).
    PetoPeto,
    /// S(t−)^rho (1 − S(t−))^gamma with the pooled curve S just before the time: Fleming and
    /// Harrington 1991. `rho` 1 with `gamma` 0 is the test that R survival names after Peto and Peto.
    FlemingHarrington {
        /// Above 0 for more weight of early differences.
        rho: f64,
        /// Above 0 for more weight of late differences.
        gamma: f64,
    },
}

/// One group in a log-rank test.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct GroupCount {
    /// Rows.
    pub n: usize,
    /// Events, weighted.
    pub observed: f64,
    /// Events expected if all groups had the same hazard, weighted.
    pub expected: f64,
}

/// Result of a test of equal hazards.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LogRank {
    /// By group.
    pub groups: Vec<GroupCount>,
    /// Covariance of the differences of observed and expected events.
    pub variance: Matrix,
    /// Test statistic.
    pub chi2: f64,
    /// Degrees of freedom: groups that were at risk together with others, less one.
    pub df: usize,
    /// Probability of a statistic at least this large if the hazards are equal.
    pub p: f64,
    /// The weighting.
    pub weighting: Weighting,
}

impl LogRank {
    /// Statistic, degrees of freedom and p value.
    ///
    /// ```
    /// use statistics::survival::{Spells, Weighting, logrank};
    /// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?;
    /// let result = logrank(&spells, &[0, 0, 1, 1], 2, None, Weighting::LogRank)?;
    /// assert_eq!((result.test().chi2, result.test().df), (result.chi2, 1));
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub const fn test(&self) -> ChiSquaredTest {
        ChiSquaredTest { chi2: self.chi2, df: self.df, p: self.p }
    }
}

/// Tests whether groups `0..groups` have the same hazard, within each of the `strata` if there are any.
///
/// Observed less expected at each event time with the hypergeometric covariance
/// w² d (n − d)/(n − 1) · n_j/n (δ_jk − n_k/n) (Klein and Moeschberger 2003, 7.3.3 to 7.3.5; stratified
/// 7.5.1). Equal to R survival's `survdiff` for right-censored data; late entry changes the numbers at
/// risk.
///
/// # Errors
/// Codes that do not match the rows, no events, or fewer than two groups at risk together.
///
/// ```
/// use statistics::survival::{Spells, Weighting, logrank};
/// let spells = Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?;
/// let test = logrank(&spells, &[0, 0, 1, 1], 2, None, Weighting::LogRank)?;
/// assert_eq!(test.df, 1);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn logrank(
    spells: &Spells,
    group: &[u32],
    groups: usize,
    strata: Option<&[u32]>,
    weighting: Weighting,
) -> Result<LogRank> {
    check_codes("the group", spells.len(), group, groups)?;
    if spells.events() == 0 {
        return Err(StatError::NoEvents);
    }
    let mut sums = Sums::new(groups);
    match strata {
        None => sums.add(spells, group, weighting),
        Some(strata) => {
            crate::error::same_length("the stratum", spells.len(), strata.len())?;
            for part in Part::each(spells, group, strata) {
                sums.add(&part.spells(), &part.group, weighting);
            }
        }
    }
    for group in group {
        sums.counts[*group as usize].n += 1;
    }
    sums.test(weighting)
}

struct Sums {
    counts: Vec<GroupCount>,
    variance: Matrix,
}

impl Sums {
    fn new(groups: usize) -> Self {
        let none = GroupCount { n: 0, observed: 0.0, expected: 0.0 };
        Self { counts: vec![none; groups], variance: Matrix::zeros(groups) }
    }

    fn add(&mut self, spells: &Spells, group: &[u32], weighting: Weighting) {
        let groups = self.counts.len();
        let tally = Tally::of(spells, &Timeline::of(spells.start, spells.stop), Some(group), groups);
        let mut weight = Weigher { weighting, survival: 1.0, peto: 1.0 };
        for rank in 0..tally.times.len() {
            let cells = rank * groups..(rank + 1) * groups;
            let (at_risk, events) = (&tally.at_risk[cells.clone()], &tally.events[cells]);
            let d: f64 = events.iter().sum();
            if d > 0.0 {
                let n: f64 = at_risk.iter().sum();
                self.add_time(at_risk, events, n, d, weight.next(n, d));
            }
        }
    }

    fn add_time(&mut self, at_risk: &[f64], events: &[f64], n: f64, d: f64, weight: f64) {
        let spread = if n > 1.0 { weight * weight * d * (n - d) / (n - 1.0) } else { 0.0 };
        for (j, count) in self.counts.iter_mut().enumerate() {
            let share = at_risk[j] / n;
            count.observed += weight * events[j];
            count.expected += weight * d * share;
            for (k, other) in at_risk.iter().enumerate() {
                let same = if j == k { 1.0 } else { 0.0 };
                self.variance.add(j, k, spread * share * (same - other / n));
            }
        }
    }

    fn test(self, weighting: Weighting) -> Result<LogRank> {
        let involved: Vec<usize> =
            (0..self.counts.len()).filter(|j| self.counts[*j].expected > 0.0).collect();
        let [rest @ .., _] = involved.as_slice() else { return Err(StatError::OneGroup) };
        let difference: Vec<f64> =
            rest.iter().map(|j| self.counts[*j].observed - self.counts[*j].expected).collect();
        let (chi2, df) = quadratic(&self.variance.select(rest), &difference);
        if df == 0 {
            return Err(StatError::OneGroup);
        }
        let p = chi2_upper(chi2, df as f64);
        Ok(LogRank { groups: self.counts, variance: self.variance, chi2, df, p, weighting })
    }
}

/// Computes the weights of the event times, with the curves that they use.
struct Weigher {
    weighting: Weighting,
    survival: f64,
    peto: f64,
}

impl Weigher {
    fn next(&mut self, n: f64, d: f64) -> f64 {
        let before = self.survival;
        self.survival *= (n - d) / n;
        self.peto *= 1.0 - d / (n + 1.0);
        match self.weighting {
            Weighting::LogRank => 1.0,
            Weighting::Gehan => n,
            Weighting::TaroneWare => n.sqrt(),
            Weighting::PetoPeto => self.peto,
            Weighting::FlemingHarrington { rho, gamma } => before.powf(rho) * (1.0 - before).powf(gamma),
        }
    }
}

/// A copy of the rows of one stratum.
struct Part {
    start: Option<Vec<f64>>,
    stop: Vec<f64>,
    event: Vec<bool>,
    weight: Option<Vec<f64>>,
    group: Vec<u32>,
}

impl Part {
    fn each(spells: &Spells, group: &[u32], strata: &[u32]) -> Vec<Self> {
        let pick = |values: &[f64], rows: &[usize]| rows.iter().map(|row| values[*row]).collect();
        let of = |rows: &Vec<usize>| Self {
            start: spells.start.map(|start| pick(start, rows)),
            stop: pick(spells.stop, rows),
            event: rows.iter().map(|row| spells.event[*row]).collect(),
            weight: spells.weight.map(|weight| pick(weight, rows)),
            group: rows.iter().map(|row| group[*row]).collect(),
        };
        rows_by_code(strata).iter().map(of).collect()
    }

    fn spells(&self) -> Spells<'_> {
        let Self { start, stop, event, weight, .. } = self;
        Spells { start: start.as_deref(), stop, event, weight: weight.as_deref() }
    }
}
