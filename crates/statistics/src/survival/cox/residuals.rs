//! Score residuals and the robust variance, in one pass over the rows for any number of ties.

use super::{
    Cox,
    prepared::Prepared,
    sweep::{Moments, sweep},
};
use crate::matrix::Matrix;

/// Sums over the event times up to each block of a stratum: A = Σ v/a and B = Σ v z̄/a.
struct Cumulative {
    width: usize,
    /// The sums before each block; one more value than blocks.
    a: Vec<f64>,
    b: Vec<f64>,
    /// By block: the sums for a row with the event in it, and the mean z̄ over its events.
    own_a: Vec<f64>,
    own_b: Vec<f64>,
    mean: Vec<f64>,
    shift: f64,
}

impl Cumulative {
    fn of(data: &Prepared, beta: &[f64], ties: super::Ties) -> Self {
        let (width, blocks) = (data.width, data.blocks.len());
        let wide = vec![0.0; (blocks + 1) * width];
        let narrow = vec![0.0; blocks + 1];
        let mut sums = Self {
            width,
            a: narrow.clone(),
            b: wide.clone(),
            own_a: narrow,
            own_b: wide.clone(),
            mean: wide,
            shift: 0.0,
        };
        sweep(data, beta, ties, Moments::First, |step| {
            sums.shift = step.shift;
            sums.a[step.block + 1] = step.c1;
            sums.own_a[step.block] = step.c1 - step.c1f;
            for i in 0..width {
                let (live, dead) = (step.live[1 + i], step.dead[1 + i]);
                sums.b[(step.block + 1) * width + i] = live * step.c2 - dead * step.c2f;
                sums.own_b[step.block * width + i] =
                    live * (step.c2 - step.c2f) - dead * (step.c2f - step.c2ff);
                sums.mean[step.block * width + i] = (live * step.c1 - dead * step.c1f) / step.events;
            }
        });
        sums.accumulate();
        sums
    }

    /// The sums run on across strata, because only differences within a stratum are used.
    fn accumulate(&mut self) {
        for block in 1..self.a.len() {
            self.a[block] += self.a[block - 1];
            for i in 0..self.width {
                self.b[block * self.width + i] += self.b[(block - 1) * self.width + i];
            }
        }
    }

    /// The residual of a place that is at risk from block `from` and ends in block `to`.
    fn residual(&self, z: &[f64], risk: f64, (from, to): (usize, usize), event: bool, out: &mut [f64]) {
        let width = self.width;
        // For an event the sums end before its own block, whose part is Efron's share.
        let last = if event { to } else { to + 1 };
        let own = if event { self.own_a[to] } else { 0.0 };
        let a = self.a[last] - self.a[from] + own;
        for i in 0..width {
            let own = if event { self.own_b[to * width + i] } else { 0.0 };
            let b = self.b[last * width + i] - self.b[from * width + i] + own;
            let met = if event { z[i] - self.mean[to * width + i] } else { 0.0 };
            out[i] = met - risk * (z[i] * a - b);
        }
    }
}

/// Calls `each` with every place and its score residual, unweighted, for the scaled covariates.
pub(super) fn residuals(
    data: &Prepared,
    beta: &[f64],
    ties: super::Ties,
    mut each: impl FnMut(usize, &[f64]),
) {
    let sums = Cumulative::of(data, beta, ties);
    let mut out = vec![0.0; data.width];
    for stratum in &data.strata {
        for block in stratum.clone() {
            let at = &data.blocks[block];
            for place in at.begin..at.end {
                let risk = (data.eta(place, beta) - sums.shift).exp();
                let span = (data.entry(place, stratum), block);
                sums.residual(data.row(place), risk, span, place < at.dead, &mut out);
                each(place, &out);
            }
        }
    }
}

/// The robust variance V (Σ g g') V with g the weighted score residuals summed within each cluster
/// (Lin and Wei 1989; Therneau and Grambsch 2000, section 7.1), for the scaled covariates, and the
/// number of clusters.
///
/// Ties as in R survival: under Efron a row with the event takes part in the hazard of its own time with
/// weight 1 − k/d for the k-th of d events. The sums over event times are differences of running sums, so
/// the cost does not grow with the ties.
pub(super) fn robust(data: &Prepared, beta: &[f64], cox: &Cox, variance: &Matrix) -> (Matrix, usize) {
    let width = data.width;
    let mut middle = Matrix::zeros(width);
    let Some(cluster) = &data.cluster else {
        residuals(data, beta, cox.ties, |place, residual| {
            middle.add_square(residual, data.weight(place).powi(2));
        });
        return (variance.around(&middle), data.order.len());
    };
    let most = data.cluster_limit();
    let mut sums = vec![0.0; most * width];
    let mut seen = vec![false; most];
    residuals(data, beta, cox.ties, |place, residual| {
        let code = cluster[place] as usize;
        let weight = data.weight(place);
        seen[code] = true;
        for (sum, residual) in sums[code * width..(code + 1) * width].iter_mut().zip(residual) {
            *sum += weight * residual;
        }
    });
    sums.chunks_exact(width).for_each(|sum| middle.add_square(sum, 1.0));
    (variance.around(&middle), seen.into_iter().filter(|seen| *seen).count())
}
