//! Conditioning on measurements: one small Cholesky factor, stored packed by rows.

/// The lower factor of a covariance matrix, and the weights of the measurements.
#[derive(Debug, Clone, Default)]
pub(super) struct Factor {
    size: usize,
    /// Row after row, each up to its diagonal.
    lower: Vec<f64>,
    /// Whitened measurements in order: the distance of each from its expectation given those before it, in SDs.
    pub(super) whitened: Vec<f64>,
    /// The inverse of the covariance times the measurements.
    weights: Vec<f64>,
}

impl Factor {
    /// From the covariance of measurements, errors included, and the measurements as deviations.
    pub(super) fn of(deviations: &[f64], covariance: impl Fn(usize, usize) -> f64) -> Self {
        let size = deviations.len();
        let mut lower = Vec::with_capacity(size * (size + 1) / 2);
        for row in 0..size {
            let start = row * (row + 1) / 2;
            for column in 0..=row {
                let other = column * (column + 1) / 2;
                let done: f64 = (0..column).map(|k| lower[start + k] * lower[other + k]).sum();
                let rest = covariance(row, column) - done;
                // Every measurement has an error of its own, so the diagonal is never zero.
                lower.push(if row == column { rest.max(1e-12).sqrt() } else { rest / lower[other + column] });
            }
        }
        let mut factor = Self { size, lower, whitened: Vec::new(), weights: Vec::new() };
        factor.whitened = factor.forward(deviations.iter().copied());
        factor.weights = factor.backward(&factor.whitened);
        factor
    }

    fn forward(&self, values: impl Iterator<Item = f64>) -> Vec<f64> {
        let mut solved: Vec<f64> = Vec::with_capacity(self.size);
        for (row, value) in values.enumerate() {
            let start = row * (row + 1) / 2;
            let done: f64 = self.lower[start..start + row].iter().zip(&solved).map(|(a, b)| a * b).sum();
            solved.push((value - done) / self.lower[start + row]);
        }
        solved
    }

    fn backward(&self, values: &[f64]) -> Vec<f64> {
        let mut solved = values.to_vec();
        for row in (0..self.size).rev() {
            let start = row * (row + 1) / 2;
            let value = solved[row] / self.lower[start + row];
            solved[row] = value;
            for (above, factor) in solved.iter_mut().zip(&self.lower[start..start + row]) {
                *above -= factor * value;
            }
        }
        solved
    }

    /// Mean and variance of a further point, from its own variance and its covariance with each
    /// measurement.
    pub(super) fn given(&self, variance: f64, shared: impl Iterator<Item = f64>) -> (f64, f64) {
        let shared: Vec<f64> = shared.collect();
        let mean = shared.iter().zip(&self.weights).map(|(a, b)| a * b).sum();
        let known: f64 = self.forward(shared.into_iter()).iter().map(|value| value * value).sum();
        (mean, (variance - known).max(0.0))
    }

    /// The distance of each measurement from its expectation given all the others, in SDs.
    pub(super) fn left_out(&self) -> Vec<f64> {
        let unit = |at: usize| (0..self.size).map(move |row| if row == at { 1.0 } else { 0.0 });
        (0..self.size)
            .map(|at| {
                // The diagonal of the inverse is the squared length of a column of the inverse factor.
                let precision: f64 = self.forward(unit(at)).iter().map(|value| value * value).sum();
                self.weights[at] / precision.sqrt()
            })
            .collect()
    }
}
