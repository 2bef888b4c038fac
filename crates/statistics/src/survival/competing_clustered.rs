//! Cumulative incidence of dependent rows.

use super::{
    CompetingRisks, CumulativeIncidence, Interval,
    clustered::rows_by_rank,
    competing::{CauseTally, cumulative_incidence},
    timeline::Timeline,
};
use crate::error::{Result, same_length};

/// As [`cumulative_incidence`], with standard errors that allow for dependence of the rows of one
/// `cluster`: the infinitesimal jackknife, the sum over clusters of the squared derivative of the incidence
/// with respect to the cluster's weight.
///
/// With S(s−) the share free of every event just before s, h = d/n and h₁ = d₁/n, the derivative of
/// F₁(t) = Σ S(s−) h₁(s) for the weight of a row is Σ S(s−) h₁(s) L(s−) + Σ S(s−) (dN₁ − Y h₁)/n, where
/// L = Σ (Y h − dN)/(n (1 − h)) is that of log S (Therneau and Grambsch 2000, appendix, from memory; the
/// product rule on the estimate of Aalen and Johansen 1978). Cluster codes may be any numbers below the
/// number of rows.
///
/// ```
/// use statistics::survival::{CompetingRisks, Interval, cumulative_incidence_clustered};
/// // Both rows of cluster 0 have the event: the information of two observations, not four.
/// let data = CompetingRisks::new(&[1.0, 1.0, 2.0, 2.0], &[1, 1, 0, 0], 1)?;
/// let curve = &cumulative_incidence_clustered(&data, &[0, 0, 1, 1], &Interval::default())?[0];
/// assert!((curve.points[0].std_err - (0.5_f64 * 0.5 / 2.0).sqrt()).abs() < 1e-12);
/// # Ok::<(), statistics::StatError>(())
/// ```
///
/// # Errors
/// A length other than the number of rows, or a code that is not below the number of rows.
pub fn cumulative_incidence_clustered(
    data: &CompetingRisks,
    cluster: &[u32],
    interval: &Interval,
) -> Result<Vec<CumulativeIncidence>> {
    same_length("the cluster", data.len(), cluster.len())?;
    super::kaplan_meier::check_codes("the cluster", data.len(), cluster, data.len())?;
    let timeline = Timeline::of(data.start, data.stop);
    let tally = CauseTally::of(data, &timeline, None);
    let mut curves = cumulative_incidence(data, interval);
    for curve in &mut curves {
        let variances = Jackknife::of(data, cluster, &timeline, &tally, curve.cause as usize);
        // Without groups a row ends at every time, so each time has a step.
        for (step, variance) in curve.points.iter_mut().zip(variances) {
            step.std_err = variance.sqrt();
            let limits = interval.of(step.incidence, step.std_err);
            (step.lower, step.upper) = (limits.map(|(low, _)| low), limits.map(|(_, high)| high));
        }
    }
    Ok(curves)
}

/// Sums over the times so far.
#[derive(Debug, Clone, Copy, Default)]
struct State {
    /// S just after.
    survival: f64,
    /// F of the cause.
    incidence: f64,
    /// Σ h/(n (1 − h)).
    g: f64,
    /// Σ S h₁ G(s−).
    a: f64,
    /// Σ S h₁/n.
    b: f64,
}

/// The derivative of each cluster as a sum of three parts: proportional to D = A − B (its rows at risk),
/// constant, and proportional to F; and the sums of products of these parts over clusters.
struct Jackknife {
    parts: Vec<[f64; 3]>,
    products: [f64; 6],
}

impl Jackknife {
    fn change(&mut self, cluster: u32, by: [f64; 3]) {
        let before = self.parts[cluster as usize];
        let after = [before[0] + by[0], before[1] + by[1], before[2] + by[2]];
        let pairs = [(0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2)];
        for (sum, (i, j)) in self.products.iter_mut().zip(pairs) {
            *sum += after[i] * after[j] - before[i] * before[j];
        }
        self.parts[cluster as usize] = after;
    }

    fn variance(&self, state: &State) -> f64 {
        let (d, f) = (state.a - state.b, state.incidence);
        let [mm, pp, kk, mp, mk, pk] = self.products;
        (d * d * mm + pp + f * f * kk + 2.0 * (d * mp + d * f * mk + f * pk)).max(0.0)
    }

    /// The variance at every distinct time.
    fn of(
        data: &CompetingRisks,
        cluster: &[u32],
        timeline: &Timeline,
        tally: &CauseTally,
        cause: usize,
    ) -> Vec<f64> {
        let times = timeline.times.len();
        let ends = rows_by_rank(&timeline.stop, times);
        let starts = timeline.enter.as_ref().map(|enter| rows_by_rank(enter, times));
        let mut own = Self { parts: vec![[0.0; 3]; data.len()], products: [0.0; 6] };
        if starts.is_none() {
            cluster.iter().for_each(|cluster| own.change(*cluster, [1.0, 0.0, 0.0]));
        }
        let mut state = State { survival: 1.0, ..State::default() };
        let mut variances = Vec::with_capacity(times);
        for rank in 0..times {
            for row in starts.iter().flat_map(|starts| starts.rows(rank)) {
                let still = state.g * state.incidence - state.a + state.b;
                own.change(cluster[*row as usize], [1.0, still, -state.g]);
            }
            let before = state.survival;
            let (n, left) = state.step(tally, rank, cause);
            for row in ends.rows(rank) {
                let ended = data.cause[*row as usize] as usize;
                let of_event = if ended > 0 && left > 0.0 { 1.0 / left } else { 0.0 };
                let slope = state.g - of_event;
                let jump = if ended == cause { before / n } else { 0.0 };
                let still = state.a - state.b + jump - slope * state.incidence;
                own.change(cluster[*row as usize], [-1.0, still, slope]);
            }
            variances.push(own.variance(&state));
        }
        variances
    }
}

impl State {
    /// Advances over one time, and gives the numbers at risk before and after its events.
    fn step(&mut self, tally: &CauseTally, rank: usize, cause: usize) -> (f64, f64) {
        let (ends, n) = (tally.ends(rank), tally.at_risk[rank]);
        let all: f64 = ends.iter().skip(1).sum();
        let left = n - all;
        let step = self.survival * ends[cause] / n;
        self.a += step * self.g;
        self.b += step / n;
        self.incidence += step;
        self.survival *= left / n;
        if left > 0.0 {
            self.g += all / (n * left);
        }
        (n, left)
    }
}
