//! The map from one plane to another as a camera sees it, from four points.

use crate::{PixelPoint, linear::solve};

/// A projective map of a plane, row by row; the last element is 1 in coordinates with the points about the origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Homography([[f64; 3]; 3]);

impl Homography {
    /// The map that takes four points to four others, by the direct linear transformation on points that were moved to
    /// their centre and scaled to a mean distance of √2 (Hartley and Zisserman, "Multiple view geometry", 4.1 and 4.4,
    /// from memory). `None` if three points lie on a line.
    pub(crate) fn of(from: &[PixelPoint; 4], to: &[PixelPoint; 4]) -> Option<Self> {
        let (before, after) = (Scaling::of(from)?, Scaling::of(to)?);
        let mut rows = [[0.0; 8]; 8];
        let mut right = [0.0; 8];
        for (at, (from, to)) in from.iter().zip(to).enumerate() {
            let ((x, y), (u, v)) = (before.scaled(*from), after.scaled(*to));
            *rows.get_mut(2 * at)? = [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y];
            *rows.get_mut(2 * at + 1)? = [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y];
            *right.get_mut(2 * at)? = u;
            *right.get_mut(2 * at + 1)? = v;
        }
        let [a, b, c, d, e, f, g, h] = solve(rows, right)?;
        let scaled = [[a, b, c], [d, e, f], [g, h, 1.0]];
        Some(Self(product(&product(&after.back(), &scaled), &before.forth())))
    }

    /// Where a point goes; `None` beyond the horizon of the plane.
    pub(crate) fn apply(&self, point: PixelPoint) -> Option<PixelPoint> {
        let [x, y, depth] = self.0.map(|[a, b, c]| a * point.x + b * point.y + c);
        (depth > 1e-9).then(|| PixelPoint::new(x / depth, y / depth))
    }

    /// Its rows.
    pub(crate) const fn rows(&self) -> &[[f64; 3]; 3] {
        &self.0
    }
}

/// Moves points to their centre and scales their mean distance from it to √2.
struct Scaling {
    centre: PixelPoint,
    factor: f64,
}

impl Scaling {
    fn of(points: &[PixelPoint; 4]) -> Option<Self> {
        let mean = |value: fn(&PixelPoint) -> f64| points.iter().map(value).sum::<f64>() / 4.0;
        let centre = PixelPoint::new(mean(|point| point.x), mean(|point| point.y));
        let distance = points.iter().map(|point| point.distance(centre)).sum::<f64>() / 4.0;
        let factor = std::f64::consts::SQRT_2 / distance;
        (factor.is_finite() && centre.is_finite()).then_some(Self { centre, factor })
    }

    fn scaled(&self, point: PixelPoint) -> (f64, f64) {
        ((point.x - self.centre.x) * self.factor, (point.y - self.centre.y) * self.factor)
    }

    fn forth(&self) -> [[f64; 3]; 3] {
        let Self { centre, factor } = self;
        [[*factor, 0.0, -centre.x * factor], [0.0, *factor, -centre.y * factor], [0.0, 0.0, 1.0]]
    }

    fn back(&self) -> [[f64; 3]; 3] {
        let Self { centre, factor } = self;
        [[1.0 / factor, 0.0, centre.x], [0.0, 1.0 / factor, centre.y], [0.0, 0.0, 1.0]]
    }
}

fn product(one: &[[f64; 3]; 3], other: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    one.map(|row| {
        let [a, b, c] = row;
        let [x, y, z] = *other;
        let mut sum = [0.0; 3];
        for (to, ((p, q), r)) in sum.iter_mut().zip(x.iter().zip(y).zip(z)) {
            *to = a * p + b * q + c * r;
        }
        sum
    })
}
