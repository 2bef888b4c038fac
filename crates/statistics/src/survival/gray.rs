//! Gray's test: do groups differ in the cumulative incidence of one cause?

use super::{Competing, competing::CauseTally, kaplan_meier::check_codes, timeline::Timeline};
use crate::{
    error::{Result, StatError, same_length},
    matrix::{Matrix, quadratic},
    special::chi2_upper,
};

/// Result of Gray's test for one cause.
#[derive(Debug, Clone, PartialEq)]
pub struct GrayTest {
    /// The cause, from 1.
    pub cause: u32,
    /// Score of each group but the last.
    pub scores: Vec<f64>,
    /// Covariance of the scores.
    pub variance: Matrix,
    /// Test statistic.
    pub chi2: f64,
    /// Degrees of freedom.
    pub df: usize,
    /// Probability of a statistic so large if the incidences are equal.
    pub p: f64,
}

/// Tests whether groups `0..groups` have one cumulative incidence of `cause`, within strata if any.
///
/// Gray 1988 (Annals of Statistics 16, 1141–1154), the test on the subdistribution hazard with weight
/// (1 − F)^rho and its variance for tied times; the arithmetic follows the author's own program as
/// `cmprsk::cuminc` carries it out, and agrees with it to the digits.
///
/// # Errors
/// Codes that do not fit, late entry (the test is not defined for it), no event of the cause, or fewer
/// than two groups.
pub fn gray_test(
    data: &Competing,
    cause: u32,
    group: &[u32],
    groups: usize,
    strata: Option<&[u32]>,
    rho: f64,
) -> Result<GrayTest> {
    check_codes("the group", data.len(), group, groups)?;
    if data.start.is_some() {
        return Err(StatError::Undefined("Gray's test is not defined where rows enter late"));
    }
    if !data.cause.contains(&cause) || cause == 0 {
        return Err(StatError::NoEvents);
    }
    if groups < 2 {
        return Err(StatError::OneGroup);
    }
    let parts = rows_by_stratum(data.len(), strata)?;
    let size = groups.saturating_sub(1);
    let (mut scores, mut variance) = (vec![0.0; size], Matrix::zeros(size));
    for rows in parts {
        let stop: Vec<f64> = rows.iter().map(|row| data.stop[*row]).collect();
        let causes: Vec<u32> = rows.iter().map(|row| data.cause[*row]).collect();
        let codes: Vec<u32> = rows.iter().map(|row| group[*row]).collect();
        let part = Competing { start: None, stop: &stop, cause: &causes, causes: data.causes };
        let walk = Walk::over(&part, cause as usize, &codes, groups, rho);
        walk.add_to(&mut scores, &mut variance);
    }
    let (chi2, df) = quadratic(&variance, &scores);
    if df == 0 {
        return Err(StatError::OneGroup);
    }
    Ok(GrayTest { cause, scores, variance, chi2, df, p: chi2_upper(chi2, df as f64) })
}

fn rows_by_stratum(rows: usize, strata: Option<&[u32]>) -> Result<Vec<Vec<usize>>> {
    let mut order: Vec<usize> = (0..rows).collect();
    let Some(strata) = strata else { return Ok(vec![order]) };
    same_length("the stratum", rows, strata.len())?;
    order.sort_by_key(|row| strata[*row]);
    Ok(order.chunk_by(|a, b| strata[*a] == strata[*b]).map(<[usize]>::to_vec).collect())
}

/// What one group carries along the times.
#[derive(Clone)]
struct Side {
    /// Its Kaplan–Meier curve of any event, just before and just after the time.
    before: f64,
    after: f64,
    /// Its cumulative incidence just before.
    incidence: f64,
    at_risk: f64,
    own: f64,
    other: f64,
    /// Variance sums.
    v3: f64,
}

/// The pass over the times of one stratum. The names of the sums follow Gray's program.
struct Walk {
    groups: usize,
    rho: f64,
    sides: Vec<Side>,
    scores: Vec<f64>,
    c: Matrix,
    v: Matrix,
    /// By score, then group.
    v2: Vec<f64>,
    /// The pooled incidence just before the time.
    pooled: f64,
}

impl Walk {
    fn over(data: &Competing, cause: usize, group: &[u32], groups: usize, rho: f64) -> Self {
        let timeline = Timeline::of(None, data.stop);
        let tallies: Vec<CauseTally> =
            (0..groups as u32).map(|wanted| CauseTally::of(data, &timeline, Some((group, wanted)))).collect();
        let fresh =
            Side { before: 1.0, after: 1.0, incidence: 0.0, at_risk: 0.0, own: 0.0, other: 0.0, v3: 0.0 };
        let mut walk = Self {
            groups,
            rho,
            sides: vec![fresh; groups],
            scores: vec![0.0; groups - 1],
            c: Matrix::zeros(groups),
            v: Matrix::zeros(groups),
            v2: vec![0.0; groups * groups],
            pooled: 0.0,
        };
        for rank in 0..timeline.times.len() {
            for (side, tally) in walk.sides.iter_mut().zip(&tallies) {
                let ends = tally.ends(rank);
                side.at_risk = tally.at_risk[rank];
                side.own = ends[cause];
                side.other = ends[1..].iter().sum::<f64>() - ends[cause];
            }
            walk.step();
        }
        walk
    }

    fn step(&mut self) {
        let own: f64 = self.sides.iter().map(|side| side.own).sum();
        let other: f64 = self.sides.iter().map(|side| side.other).sum();
        if own == 0.0 && other == 0.0 {
            return;
        }
        let (mut tr, mut tq) = (0.0, 0.0);
        for side in self.sides.iter_mut().filter(|side| side.at_risk > 0.0) {
            side.after = side.before * (side.at_risk - side.own - side.other) / side.at_risk;
            tr += side.at_risk / side.before;
            tq += side.at_risk * (1.0 - side.incidence) / side.before;
        }
        let pooled = self.pooled + own / tr;
        let weight = (1.0 - self.pooled).powf(self.rho);
        let a = self.weights(weight, tr, own);
        self.add_scores(weight, own, tq);
        if own > 0.0 {
            self.add_own(&a, pooled, own, tr);
        }
        if other > 0.0 {
            self.add_other(pooled);
        }
        for side in self.sides.iter_mut().filter(|side| side.at_risk > 0.0) {
            side.incidence += side.before * side.own / side.at_risk;
            side.before = side.after;
        }
        self.pooled = pooled;
    }

    /// The matrix a of this time, added into c as it goes.
    fn weights(&mut self, weight: f64, tr: f64, own: f64) -> Matrix {
        let mut a = Matrix::zeros(self.groups);
        let share: Vec<f64> = self
            .sides
            .iter()
            .map(|side| if side.at_risk > 0.0 { side.at_risk / side.before } else { 0.0 })
            .collect();
        for i in 0..self.groups {
            for j in 0..self.groups {
                let same = if i == j { share[i] } else { 0.0 };
                let value = weight * (same - share[i] * share[j] / tr);
                a.set(i, j, value);
                self.c.add(i, j, value * own / (tr * (1.0 - self.pooled)));
            }
        }
        a
    }

    fn add_scores(&mut self, weight: f64, own: f64, tq: f64) {
        for (score, side) in self.scores.iter_mut().zip(&self.sides).filter(|(_, side)| side.at_risk > 0.0) {
            let expected = own * side.at_risk * (1.0 - side.incidence) / side.before / tq;
            *score += weight * (side.own - expected);
        }
    }

    fn add_own(&mut self, a: &Matrix, pooled: f64, own: f64, tr: f64) {
        for k in 0..self.groups {
            let side = &mut self.sides[k];
            if side.at_risk <= 0.0 {
                continue;
            }
            let t4 = if side.after > 0.0 { 1.0 - (1.0 - pooled) / side.after } else { 1.0 };
            let t5 = if own > 1.0 { 1.0 - (own - 1.0) / (tr * side.before - 1.0) } else { 1.0 };
            let t3 = t5 * side.before * own / (tr * side.at_risk);
            side.v3 += t4 * t4 * t3;
            for i in 0..self.groups - 1 {
                let t1 = a.at(i, k) - t4 * self.c.at(i, k);
                self.v2[i * self.groups + k] += t1 * t4 * t3;
                for j in 0..self.groups - 1 {
                    let t2 = a.at(j, k) - t4 * self.c.at(j, k);
                    self.v.add(i, j, t1 * t2 * t3);
                }
            }
        }
    }

    fn add_other(&mut self, pooled: f64) {
        for k in 0..self.groups {
            let side = &mut self.sides[k];
            if side.after <= 0.0 || side.other <= 0.0 {
                continue;
            }
            let t4 = (1.0 - pooled) / side.after;
            let t5 = if side.other > 1.0 { 1.0 - (side.other - 1.0) / (side.at_risk - 1.0) } else { 1.0 };
            let t3 = t5 * side.before * side.before * side.other / (side.at_risk * side.at_risk);
            side.v3 += t4 * t4 * t3;
            for i in 0..self.groups - 1 {
                let t1 = t4 * self.c.at(i, k);
                self.v2[i * self.groups + k] -= t1 * t4 * t3;
                for j in 0..self.groups - 1 {
                    self.v.add(i, j, t1 * t4 * self.c.at(j, k) * t3);
                }
            }
        }
    }

    fn add_to(&self, scores: &mut [f64], variance: &mut Matrix) {
        for (i, score) in scores.iter_mut().enumerate() {
            *score += self.scores[i];
            for j in 0..self.groups - 1 {
                let mut sum = self.v.at(i, j);
                for (k, side) in self.sides.iter().enumerate() {
                    let (ci, cj) = (self.c.at(i, k), self.c.at(j, k));
                    sum += ci * cj * side.v3
                        + ci * self.v2[j * self.groups + k]
                        + cj * self.v2[i * self.groups + k];
                }
                variance.add(i, j, sum);
            }
        }
    }
}
