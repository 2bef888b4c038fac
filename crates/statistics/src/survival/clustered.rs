//! Survival curves of dependent rows, such as the two eyes of a patient.

use super::{
    Interval, KaplanMeier, Spells,
    kaplan_meier::point,
    timeline::{Tally, Timeline},
};
use crate::error::{Result, same_length};

/// The sum over clusters of (count · G + part)², updated as rows end.
struct Squares {
    count: Vec<f64>,
    part: Vec<f64>,
    count_count: f64,
    count_part: f64,
    part_part: f64,
}

impl Squares {
    fn new(clusters: usize) -> Self {
        let zeros = vec![0.0; clusters];
        Self { count: zeros.clone(), part: zeros, count_count: 0.0, count_part: 0.0, part_part: 0.0 }
    }

    fn change(&mut self, cluster: usize, count: f64, part: f64) {
        let (m, k) = (self.count[cluster], self.part[cluster]);
        let (to_m, to_k) = (m + count, k + part);
        self.count_count += to_m * to_m - m * m;
        self.count_part += to_m * to_k - m * k;
        self.part_part += to_k * to_k - k * k;
        (self.count[cluster], self.part[cluster]) = (to_m, to_k);
    }

    fn at(&self, g: f64) -> f64 {
        (self.count_count * g * g + 2.0 * self.count_part * g + self.part_part).max(0.0)
    }
}

impl KaplanMeier {
    /// One curve with standard errors that allow for dependence of the rows of one `cluster`: the
    /// infinitesimal jackknife, the sum over clusters of the squared derivative of S with respect to the
    /// cluster's weight, as in R survival's `survfit(..., cluster)`.
    ///
    /// A row's influence on −log S(t) is dN/(n − d) minus Σ d/(n (n − d)) over the times it was at
    /// risk (Therneau and Grambsch 2000, section 2.2 and appendix, from memory). If every row is its
    /// own cluster it equals Greenwood's formula exactly. Cluster codes may be any numbers below the
    /// number of rows.
    ///
    /// # Errors
    /// A length other than the number of rows, or a code that is not below the number of rows.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// // Both rows of cluster 0 have the event: the information of two observations, not four.
    /// let spells = Spells::new(&[1.0, 1.0, 2.0, 2.0], &[true, true, false, false])?;
    /// let curve = KaplanMeier::clustered(&spells, &[0, 0, 1, 1], &Interval::default())?;
    /// assert!((curve.points[0].std_err - (0.5_f64 * 0.5 / 2.0).sqrt()).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn clustered(spells: &Spells, cluster: &[u32], interval: &Interval) -> Result<Self> {
        same_length("the cluster", spells.len(), cluster.len())?;
        super::kaplan_meier::check_codes("the cluster", spells.len(), cluster, spells.len())?;
        let timeline = Timeline::of(spells.start, spells.stop);
        let tally = Tally::of(spells, &timeline, None, 1);
        let variances = jackknife(spells, cluster, &timeline, &tally);
        let mut curve = Self::of(spells, interval);
        for (step, variance) in curve.points.iter_mut().zip(variances) {
            let counts = (step.at_risk, step.events, step.censored);
            *step = point(step.time, counts, step.survival, step.survival * variance.sqrt(), interval);
        }
        Ok(curve)
    }
}

/// The jackknife variance of log S at every distinct time, in one pass over rows and times.
fn jackknife(spells: &Spells, cluster: &[u32], timeline: &Timeline, tally: &Tally) -> Vec<f64> {
    let ends = rows_by_rank(&timeline.stop, timeline.times.len());
    let starts = timeline.enter.as_ref().map(|enter| rows_by_rank(enter, timeline.times.len()));
    let mut squares = Squares::new(spells.len());
    if starts.is_none() {
        (0..spells.len()).for_each(|row| squares.change(cluster[row] as usize, spells.weight(row), 0.0));
    }
    let mut g = 0.0;
    let mut variances = Vec::with_capacity(timeline.times.len());
    for rank in 0..timeline.times.len() {
        for row in starts.iter().flat_map(|starts| starts.rows(rank)) {
            let weight = spells.weight(*row as usize);
            squares.change(cluster[*row as usize] as usize, weight, -weight * g);
        }
        let (at_risk, events) = (tally.at_risk[rank], tally.events[rank]);
        let left = super::kaplan_meier::remaining(at_risk, events);
        if left > 0.0 {
            g += events / (at_risk * left);
        }
        for row in ends.rows(rank) {
            let row = *row as usize;
            let weight = spells.weight(row);
            let own = if spells.event[row] && left > 0.0 { 1.0 / left } else { 0.0 };
            squares.change(cluster[row] as usize, -weight, weight * (g - own));
        }
        variances.push(squares.at(g));
    }
    variances
}

/// Rows sorted by rank, by counting.
pub(crate) struct ByRank {
    begins: Vec<u32>,
    order: Vec<u32>,
}

impl ByRank {
    pub fn rows(&self, rank: usize) -> &[u32] {
        &self.order[self.begins[rank] as usize..self.begins[rank + 1] as usize]
    }
}

pub(crate) fn rows_by_rank(ranks: &[u32], count: usize) -> ByRank {
    let mut begins = vec![0_u32; count + 1];
    for rank in ranks {
        begins[*rank as usize + 1] += 1;
    }
    for rank in 0..count {
        begins[rank + 1] += begins[rank];
    }
    let mut next = begins.clone();
    let mut order = vec![0_u32; ranks.len()];
    for (row, rank) in ranks.iter().enumerate() {
        order[next[*rank as usize] as usize] = row as u32;
        next[*rank as usize] += 1;
    }
    ByRank { begins, order }
}
