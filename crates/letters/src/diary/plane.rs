//! From places on the sheet to places on a picture of it: a plane seen from anywhere (projective map of a plane; the
//! equations are those of any textbook on image geometry, the direct linear transform).

/// A place on the sheet, in millimetres, or on the picture, in pixels.
pub(crate) type Point = (f64, f64);

/// A map from the sheet to the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlaneMap {
    /// The first eight numbers of the matrix; the ninth is 1. Sheet places are scaled before it.
    of: [f64; 8],
}

/// Millimetres on the sheet that count as one in the equations, so that all numbers are of one size.
const SCALE: f64 = 100.0;

impl PlaneMap {
    /// The map that fits pairs of a place on the sheet and on the picture best; `None` for fewer than four, or where
    /// they lie in one line.
    pub(crate) fn fitting(pairs: &[(Point, Point)]) -> Option<Self> {
        if pairs.len() < 4 {
            return None;
        }
        let mut sums = [[0.0; 9]; 8];
        for ((x, y), (u, v)) in pairs {
            let (x, y) = (x / SCALE, y / SCALE);
            let across = [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, *u];
            let down = [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, *v];
            add(&mut sums, [across, down]);
        }
        solved(sums).map(|of| Self { of })
    }

    /// The same without perspective. It is what can be told from points that lie close together: perspective that is
    /// fitted to an error of a pixel there would be far out at the other end of the sheet.
    pub(crate) fn without_perspective(pairs: &[(Point, Point)]) -> Option<Self> {
        let mut sums = [[0.0; 9]; 8];
        for ((x, y), (u, v)) in pairs {
            let (x, y) = (x / SCALE, y / SCALE);
            let across = [x, y, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, *u];
            let down = [0.0, 0.0, 0.0, x, y, 1.0, 0.0, 0.0, *v];
            add(&mut sums, [across, down]);
        }
        // The last two numbers of the matrix are 0.
        for (n, row) in sums.iter_mut().enumerate().skip(6) {
            if let Some(cell) = row.get_mut(n) {
                *cell = 1.0;
            }
        }
        solved(sums).map(|of| Self { of })
    }

    /// Where a place of the sheet is on the picture.
    pub(crate) fn at(&self, (x, y): Point) -> Point {
        let (x, y) = (x / SCALE, y / SCALE);
        let [a, b, c, d, e, f, g, h] = self.of;
        let depth = g * x + h * y + 1.0;
        // At the horizon a place is nowhere; what is far outside of the picture is no place on it.
        let depth = if depth.abs() < 1e-6 { 1e-6 } else { depth };
        ((a * x + b * y + c) / depth, (d * x + e * y + f) / depth)
    }

    /// Pixels for a millimetre around a place.
    pub(crate) fn pixels_per_mm(&self, (x, y): Point) -> f64 {
        let ((u, v), (across, down)) = (self.at((x, y)), (self.at((x + 1.0, y)), self.at((x, y + 1.0))));
        let area = (across.0 - u) * (down.1 - v) - (across.1 - v) * (down.0 - u);
        area.abs().sqrt()
    }
}

/// Adds equations to the sums of least squares: each row has the factors of the eight numbers and the result.
fn add(sums: &mut [[f64; 9]; 8], rows: [[f64; 9]; 2]) {
    for row in rows {
        for (sum, one) in sums.iter_mut().zip(row) {
            for (cell, other) in sum.iter_mut().zip(row) {
                *cell += one * other;
            }
        }
    }
}

/// Gauss's elimination with the largest pivot of each column.
fn solved(mut rows: [[f64; 9]; 8]) -> Option<[f64; 8]> {
    for column in 0..8 {
        let pivot =
            (column..8).max_by(|a, b| at(&rows, *a, column).abs().total_cmp(&at(&rows, *b, column).abs()))?;
        rows.swap(column, pivot);
        let head = *rows.get(column)?;
        let first = *head.get(column)?;
        if first.abs() < 1e-12 {
            return None;
        }
        for (n, row) in rows.iter_mut().enumerate() {
            let factor = row.get(column).copied().unwrap_or_default() / first;
            if n != column && factor != 0.0 {
                row.iter_mut().zip(head).for_each(|(cell, of_head)| *cell -= factor * of_head);
            }
        }
    }
    let mut found = [0.0; 8];
    for (n, value) in found.iter_mut().enumerate() {
        *value = at(&rows, n, 8) / at(&rows, n, n);
    }
    found.iter().all(|value| value.is_finite()).then_some(found)
}

fn at(rows: &[[f64; 9]; 8], row: usize, column: usize) -> f64 {
    rows.get(row).and_then(|row| row.get(column)).copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// A map made from four corners gives the middle of a square seen from the side where its diagonals cross.
    #[test]
    fn the_crossing_of_diagonals_stays_one() {
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)];
        let seen = [(10.0, 20.0), (410.0, 60.0), (380.0, 300.0), (40.0, 420.0)];
        let pairs: Vec<_> = corners.into_iter().zip(seen).collect();
        let map = PlaneMap::fitting(&pairs).unwrap();
        for (on_sheet, on_picture) in &pairs {
            let (u, v) = map.at(*on_sheet);
            assert!((u - on_picture.0).abs() < 1e-6 && (v - on_picture.1).abs() < 1e-6);
        }
        let (u, v) = map.at((50.0, 50.0));
        let cross = |p: (f64, f64), q: (f64, f64)| (q.0 - p.0) * (v - p.1) - (q.1 - p.1) * (u - p.0);
        assert!(cross(seen[0], seen[2]).abs() < 1e-6 && cross(seen[1], seen[3]).abs() < 1e-6);
        assert_eq!(PlaneMap::fitting(&pairs[..3]), None);
        let line: Vec<_> = (0..4).map(|n| ((f64::from(n), 0.0), (f64::from(n), 0.0))).collect();
        assert_eq!(PlaneMap::fitting(&line), None);
    }
}
