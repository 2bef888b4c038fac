//! The classes: feet differ in their initial severity and in how fast they correct.
//!
//! Both are normal variables, taken at fixed nodes so that every sum over them is exact and short:
//! [`SEVERITY`] nodes of initial severity and [`PACE`] nodes of the logarithm of pace. The nodes are
//! fixed; a clinic, an age or a complex foot only change their weights. Given its class the six signs
//! of a foot move independently, which makes exact inference fast.

/// Nodes of initial severity, in standard deviations.
pub const SEVERITY: [f64; 5] = [-2.0, -1.0, 0.0, 1.0, 2.0];

/// Nodes of the logarithm of pace: 0 is the published average foot, 0.7 twice as fast.
pub const PACE: [f64; 11] = [-1.5, -1.2, -0.9, -0.6, -0.3, 0.0, 0.3, 0.6, 0.9, 1.2, 1.5];

/// Number of classes of a foot: every severity with every pace.
pub const CLASSES: usize = SEVERITY.len() * PACE.len();

/// Weights of the nodes under a normal of this mean and standard deviation, summing to 1.
///
/// If the standard deviation is much smaller than the distance of two nodes, the nearest node has all the weight.
#[must_use]
pub fn normal_weights<const N: usize>(nodes: &[f64; N], mean: f64, sd: f64) -> [f64; N] {
    let log = nodes.map(|node| -0.5 * ((node - mean) / sd.max(1e-3)).powi(2));
    let top = log.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let raw = log.map(|value| (value - top).exp());
    let sum: f64 = raw.iter().sum();
    raw.map(|value| value / sum)
}

/// Joint weights of two feet of one child on the same nodes: normals of the same standard deviation
/// with this correlation. Rows are the first foot.
#[must_use]
pub fn paired_weights<const N: usize>(
    nodes: &[f64; N],
    means: [f64; 2],
    sd: f64,
    correlation: f64,
) -> [[f64; N]; N] {
    let spare = (1.0 - correlation * correlation).max(1e-6);
    let log = |first: f64, second: f64| {
        let (a, b) = ((first - means[0]) / sd, (second - means[1]) / sd);
        -(a * a - 2.0 * correlation * a * b + b * b) / (2.0 * spare)
    };
    let mut joint = [[0.0; N]; N];
    let mut sum = 0.0;
    for (row, first) in joint.iter_mut().zip(nodes) {
        for (cell, second) in row.iter_mut().zip(nodes) {
            *cell = log(*first, *second).exp();
            sum += *cell;
        }
    }
    joint.map(|row| row.map(|cell| cell / sum))
}

/// The index of a class from those of its severity and its pace.
#[must_use]
pub const fn class(severity: usize, pace: usize) -> usize {
    severity * PACE.len() + pace
}
