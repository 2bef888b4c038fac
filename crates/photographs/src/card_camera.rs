//! The camera that could have seen a card like this: how it was tilted, and how far the corners are from what any
//! camera sees of a card of this size.
//!
//! The camera is a pinhole with square pixels whose axis meets the middle of the picture. Its seven unknowns (rotation,
//! place, focal length) are fitted to the eight coordinates of the corners by damped least squares (Marquardt 1963).
//! One number is left over, which says whether the corners are those of the card. The focal length is about the longer
//! side of the picture, within a factor of three: main cameras of telephones have 0.7, their magnifying ones 1.5 to 3
//! (judgement).

use crate::{PixelPoint, homography::Homography, linear::solve};

/// A camera that was fitted to the corners of a card.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CardCamera {
    /// Root mean square distance of the corners from those that this camera sees, in pixels.
    pub residual_px: f64,
    /// The angle between the line of sight to the middle of the card and the line that stands upright on it, in degrees.
    pub tilt_deg: f64,
    /// From the camera to the middle of the card, in millimetres; as uncertain as the focal length.
    pub distance_mm: f64,
}

/// Rotation vector, place of the middle of the card in the frame of the camera, logarithm of the focal length.
type Unknowns = [f64; 7];
/// The eight coordinates of corners, and the focal length against what is usual.
type Misfits = [f64; 9];

pub(crate) struct CardView<'a> {
    /// Corners of the card in millimetres about its middle.
    pub card: &'a [PixelPoint; 4],
    /// The same in the picture.
    pub seen: &'a [PixelPoint; 4],
    pub picture: (f64, f64),
    pub sd_px: f64,
}

/// The standard deviation of the logarithm of the focal length.
const FOCAL_SPREAD: f64 = 0.55;

impl CardView<'_> {
    /// The camera that fits best; `None` if none sees the card from its front.
    pub(crate) fn camera(&self) -> Option<CardCamera> {
        let mut unknowns = self.beginning()?;
        let mut damping = 1e-3;
        let mut misfits = self.misfits(&unknowns)?;
        for _ in 0..60 {
            let Some(next) = self.step(&unknowns, &misfits, damping) else { break };
            match self.misfits(&next).filter(|better| squares(better) < squares(&misfits)) {
                Some(better) => {
                    let gained = squares(&misfits) - squares(&better);
                    (unknowns, misfits, damping) = (next, better, damping / 5.0);
                    if gained < 1e-12 * (1.0 + squares(&misfits)) {
                        break;
                    }
                }
                None => damping *= 4.0,
            }
        }
        self.described(&unknowns)
    }

    fn usual_focal(&self) -> f64 {
        self.picture.0.max(self.picture.1)
    }

    /// The pose that the map of the plane has for a usual focal length.
    fn beginning(&self) -> Option<Unknowns> {
        let map = Homography::of(self.card, self.seen)?;
        let focal = self.usual_focal();
        let [top, middle, bottom] = *map.rows();
        let column = |at: usize| -> Option<[f64; 3]> {
            let (u, v, w) = (*top.get(at)?, *middle.get(at)?, *bottom.get(at)?);
            Some([(u - self.picture.0 / 2.0 * w) / focal, (v - self.picture.1 / 2.0 * w) / focal, w])
        };
        let (first, second, third) = (column(0)?, column(1)?, column(2)?);
        let size = (length(first) + length(second)) / 2.0;
        let sign = if third[2] < 0.0 { -1.0 } else { 1.0 };
        let (first, second) = orthonormal(first.map(|v| v * sign), second.map(|v| v * sign))?;
        let rotation = rotation_vector(&[first, second, cross(first, second)]);
        let [x, y, z] = third.map(|v| v * sign / size);
        let found = [rotation[0], rotation[1], rotation[2], x, y, z, focal.ln()];
        found.iter().all(|value| value.is_finite()).then_some(found)
    }

    fn seen_by(&self, unknowns: &Unknowns) -> Option<[PixelPoint; 4]> {
        let [a, b, c, x, y, z, log_focal] = *unknowns;
        let [first, second, _] = rotation(&[a, b, c]);
        let focal = log_focal.exp();
        let mut corners = [PixelPoint::new(0.0, 0.0); 4];
        for (corner, point) in corners.iter_mut().zip(self.card) {
            let place = |at: usize, offset: f64| -> Option<f64> {
                Some(first.get(at)? * point.x + second.get(at)? * point.y + offset)
            };
            let depth = place(2, z)?;
            if depth <= 1.0 {
                return None;
            }
            corner.x = self.picture.0 / 2.0 + focal * place(0, x)? / depth;
            corner.y = self.picture.1 / 2.0 + focal * place(1, y)? / depth;
        }
        Some(corners)
    }

    fn misfits(&self, unknowns: &Unknowns) -> Option<Misfits> {
        let corners = self.seen_by(unknowns)?;
        let mut misfits = [0.0; 9];
        let parts = corners.iter().zip(self.seen).flat_map(|(fit, seen)| [fit.x - seen.x, fit.y - seen.y]);
        for (misfit, part) in misfits.iter_mut().zip(parts) {
            *misfit = part / self.sd_px;
        }
        misfits[8] = (unknowns[6] - self.usual_focal().ln()) / FOCAL_SPREAD;
        misfits.iter().all(|value| value.is_finite()).then_some(misfits)
    }

    /// The unknowns after one step with this damping.
    fn step(&self, unknowns: &Unknowns, misfits: &Misfits, damping: f64) -> Option<Unknowns> {
        let mut slopes = [[0.0; 9]; 7];
        for (at, slope) in slopes.iter_mut().enumerate() {
            let mut moved = *unknowns;
            let value = moved.get_mut(at)?;
            let step = 1e-6 * value.abs().max(1.0);
            *value += step;
            let after = self.misfits(&moved)?;
            for (to, (after, before)) in slope.iter_mut().zip(after.iter().zip(misfits)) {
                *to = (after - before) / step;
            }
        }
        let dot = |one: &Misfits, other: &Misfits| one.iter().zip(other).map(|(a, b)| a * b).sum::<f64>();
        let mut normal = slopes.map(|one| slopes.map(|other| dot(&one, &other)));
        for (at, row) in normal.iter_mut().enumerate() {
            let value = row.get_mut(at)?;
            *value += damping * value.max(1e-9);
        }
        let change = solve(normal, slopes.map(|slope| -dot(&slope, misfits)))?;
        let mut next = *unknowns;
        next.iter_mut().zip(change).for_each(|(value, change)| *value += change);
        Some(next)
    }

    fn described(&self, unknowns: &Unknowns) -> Option<CardCamera> {
        let corners = self.seen_by(unknowns)?;
        let squares: f64 = corners.iter().zip(self.seen).map(|(fit, seen)| fit.distance(*seen).powi(2)).sum();
        let [a, b, c, x, y, z, _] = *unknowns;
        let [_, _, normal] = rotation(&[a, b, c]);
        let sight = [x, y, z];
        let cosine = dot3(normal, sight) / length(sight);
        Some(CardCamera {
            residual_px: (squares / 4.0).sqrt(),
            tilt_deg: cosine.abs().min(1.0).acos().to_degrees(),
            distance_mm: length(sight),
        })
    }
}

fn squares(values: &Misfits) -> f64 {
    values.iter().map(|value| value * value).sum()
}

fn dot3(one: [f64; 3], other: [f64; 3]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}

fn length(vector: [f64; 3]) -> f64 {
    dot3(vector, vector).sqrt()
}

fn cross([a, b, c]: [f64; 3], [x, y, z]: [f64; 3]) -> [f64; 3] {
    [b * z - c * y, c * x - a * z, a * y - b * x]
}

/// Two upright vectors of length 1 next to two that nearly are.
fn orthonormal(first: [f64; 3], second: [f64; 3]) -> Option<([f64; 3], [f64; 3])> {
    let unit = |vector: [f64; 3]| {
        let size = length(vector);
        (size > 1e-12).then(|| vector.map(|value| value / size))
    };
    let (first, second) = (unit(first)?, unit(second)?);
    let along = dot3(first, second);
    let [a, b, c] = first;
    let [x, y, z] = second;
    Some((first, unit([x - along * a, y - along * b, z - along * c])?))
}

/// The columns of the matrix of a rotation (Rodrigues).
fn rotation(vector: &[f64; 3]) -> [[f64; 3]; 3] {
    let angle = length(*vector);
    let [a, b, c] = if angle > 1e-12 { vector.map(|value| value / angle) } else { [0.0, 0.0, 1.0] };
    let (sine, cosine) = angle.sin_cos();
    let rest = 1.0 - cosine;
    [
        [cosine + a * a * rest, b * a * rest + c * sine, c * a * rest - b * sine],
        [a * b * rest - c * sine, cosine + b * b * rest, c * b * rest + a * sine],
        [a * c * rest + b * sine, b * c * rest - a * sine, cosine + c * c * rest],
    ]
}

/// The vector of a rotation whose columns are given. Close to a half turn the axis comes from the diagonal.
fn rotation_vector(columns: &[[f64; 3]; 3]) -> [f64; 3] {
    let [[xx, yx, zx], [xy, yy, zy], [xz, yz, zz]] = *columns;
    let angle = ((xx + yy + zz - 1.0) / 2.0).clamp(-1.0, 1.0).acos();
    let skew = [zy - yz, xz - zx, yx - xy];
    let sine = length(skew) / 2.0;
    if sine > 1e-6 {
        return skew.map(|value| value / (2.0 * sine) * angle);
    }
    if angle < 1.0 {
        return [0.0; 3];
    }
    let axis = [
        ((xx + 1.0) / 2.0).max(0.0).sqrt(),
        ((yy + 1.0) / 2.0).max(0.0).sqrt(),
        ((zz + 1.0) / 2.0).max(0.0).sqrt(),
    ];
    let [a, b, c] = axis;
    // One sign is free; the others follow from the products of two parts of the axis.
    let signed = if a > 0.5 {
        [a, b.copysign(xy + yx), c.copysign(xz + zx)]
    } else if b > 0.5 {
        [a.copysign(xy + yx), b, c.copysign(yz + zy)]
    } else {
        [a.copysign(xz + zx), b.copysign(yz + zy), c]
    };
    signed.map(|value| value * angle)
}
