//! Small dense symmetric matrices, one row for each covariate.
//!
//! The crate needs no more of linear algebra than sums of products, Cholesky factors of matrices with a
//! handful of rows, and the exact rule by which a redundant covariate is reported by its number. A
//! linear algebra crate would be the largest dependency for its smallest part; see the README.

use crate::error::{Result, StatError};

/// A square matrix, stored row by row.
///
/// ```
/// use statistics::Matrix;
/// let none = Matrix::zeros(2);
/// assert_eq!((none.size(), none.at(1, 0), none.values()), (2, 0.0, &[0.0; 4][..]));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Matrix {
    size: usize,
    values: Vec<f64>,
}

impl Matrix {
    /// A matrix of zeros.
    #[must_use]
    pub fn zeros(size: usize) -> Self {
        Self { size, values: vec![0.0; size * size] }
    }

    /// The number of rows, which is also the number of columns.
    #[must_use]
    pub fn size(&self) -> usize {
        self.size
    }

    /// The value in a row and column, both from 0.
    ///
    /// # Panics
    /// If the row or the column is outside the matrix.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> f64 {
        self.values[row * self.size + column]
    }

    pub(crate) fn set(&mut self, row: usize, column: usize, value: f64) {
        self.values[row * self.size + column] = value;
    }

    pub(crate) fn add(&mut self, row: usize, column: usize, value: f64) {
        self.values[row * self.size + column] += value;
    }

    /// All values, row by row.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// From the upper triangle, row by row.
    pub(crate) fn from_upper(size: usize, upper: &[f64]) -> Self {
        let mut whole = Self::zeros(size);
        let mut at = 0;
        for row in 0..size {
            for column in row..size {
                whole.set(row, column, upper[at]);
                whole.set(column, row, upper[at]);
                at += 1;
            }
        }
        whole
    }

    /// Adds `factor · v v'`.
    pub(crate) fn add_square(&mut self, v: &[f64], factor: f64) {
        for (row, left) in v.iter().enumerate() {
            for (column, right) in v.iter().enumerate() {
                self.values[row * self.size + column] += factor * left * right;
            }
        }
    }

    pub(crate) fn times(&self, v: &[f64]) -> Vec<f64> {
        self.values.chunks(self.size.max(1)).map(|row| dot(row, v)).collect()
    }

    pub(crate) fn product(&self, other: &Self) -> Self {
        let mut result = Self::zeros(self.size);
        for row in 0..self.size {
            for column in 0..self.size {
                let sum = (0..self.size).map(|k| self.at(row, k) * other.at(k, column)).sum();
                result.set(row, column, sum);
            }
        }
        result
    }

    /// `self · middle · self`, the sandwich; `self` must be symmetric.
    pub(crate) fn around(&self, middle: &Self) -> Self {
        let mut whole = self.product(middle).product(self);
        whole.make_symmetric();
        whole
    }

    fn make_symmetric(&mut self) {
        for row in 0..self.size {
            for column in 0..row {
                let mean = 0.5 * (self.at(row, column) + self.at(column, row));
                self.set(row, column, mean);
                self.set(column, row, mean);
            }
        }
    }

    /// `v' · self · v`.
    pub(crate) fn form(&self, v: &[f64]) -> f64 {
        dot(&self.times(v), v)
    }

    /// The chosen rows and columns.
    pub(crate) fn select(&self, which: &[usize]) -> Self {
        let mut part = Self::zeros(which.len());
        for (row, from_row) in which.iter().enumerate() {
            for (column, from_column) in which.iter().enumerate() {
                part.set(row, column, self.at(*from_row, *from_column));
            }
        }
        part
    }

    /// The Cholesky factor, `L L' = self`.
    ///
    /// # Errors
    /// [`StatError::Collinear`] with the first column of which the columns before it leave no more than a
    /// share `tolerance` of its diagonal unexplained.
    pub(crate) fn cholesky(&self, tolerance: f64) -> Result<Cholesky> {
        let size = self.size;
        let mut factor = Self::zeros(size);
        for column in 0..size {
            let known: f64 = (0..column).map(|k| factor.at(column, k).powi(2)).sum();
            let pivot = self.at(column, column) - known;
            let enough = pivot > tolerance * self.at(column, column).abs() && pivot.is_finite();
            if !enough {
                return Err(StatError::Collinear { column });
            }
            factor.set(column, column, pivot.sqrt());
            for row in column + 1..size {
                let known: f64 = (0..column).map(|k| factor.at(row, k) * factor.at(column, k)).sum();
                factor.set(row, column, (self.at(row, column) - known) / pivot.sqrt());
            }
        }
        Ok(Cholesky { factor })
    }
}

/// A factored matrix.
#[derive(Debug, Clone)]
pub(crate) struct Cholesky {
    factor: Matrix,
}

impl Cholesky {
    /// ln of the determinant of the factored matrix.
    pub(crate) fn log_determinant(&self) -> f64 {
        (0..self.factor.size).map(|at| 2.0 * self.factor.at(at, at).ln()).sum()
    }

    pub(crate) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let size = self.factor.size;
        let mut x = right.to_vec();
        for row in 0..size {
            let known: f64 = (0..row).map(|k| self.factor.at(row, k) * x[k]).sum();
            x[row] = (x[row] - known) / self.factor.at(row, row);
        }
        for row in (0..size).rev() {
            let known: f64 = (row + 1..size).map(|k| self.factor.at(k, row) * x[k]).sum();
            x[row] = (x[row] - known) / self.factor.at(row, row);
        }
        x
    }

    pub(crate) fn inverse(&self) -> Matrix {
        let size = self.factor.size;
        let mut inverse = Matrix::zeros(size);
        for column in 0..size {
            let mut unit = vec![0.0; size];
            unit[column] = 1.0;
            for (row, value) in self.solve(&unit).into_iter().enumerate() {
                inverse.set(row, column, value);
            }
        }
        inverse.make_symmetric();
        inverse
    }
}

pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// `v' M⁻ v` and the rank of a non-negative definite `M`. Rows that the rows before them explain are left
/// out.
pub(crate) fn quadratic(matrix: &Matrix, v: &[f64]) -> (f64, usize) {
    let mut kept: Vec<usize> = Vec::new();
    for next in 0..matrix.size() {
        kept.push(next);
        if matrix.at(next, next) <= 0.0 || matrix.select(&kept).cholesky(1e-9).is_err() {
            kept.pop();
        }
    }
    let part: Vec<f64> = kept.iter().map(|i| v[*i]).collect();
    match matrix.select(&kept).cholesky(1e-9) {
        Ok(factor) => (dot(&factor.solve(&part), &part), kept.len()),
        Err(_) => (f64::NAN, 0),
    }
}
