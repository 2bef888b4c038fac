//! The points that are tapped, on a right foot of known angle. The frame of the foot: x outward, y towards the toes, z
//! up, in millimetres; a left foot is the mirror image in x. Points do not lie in one plane: each has the depth that it
//! has on a child, with a spread.

use super::{Vector, camera::Stand, normal};
use photographs::PhotographAngle;
use rand::{RngExt, rngs::StdRng};
use record::Side;

pub struct TappedFoot {
    pub truth_deg: f64,
    pub points: Vec<Vector>,
    /// From the foot to the camera, and what is upward, for the view of the angle.
    pub straight: Vector,
    pub up: Vector,
}

/// The range of the true angle, in degrees.
pub fn range(angle: PhotographAngle) -> (f64, f64) {
    match angle {
        PhotographAngle::ThighFoot => (-30.0, 70.0),
        PhotographAngle::ForefootAdduction => (-10.0, 60.0),
        PhotographAngle::HeelVarus => (-15.0, 35.0),
        PhotographAngle::Dorsiflexion => (-45.0, 30.0),
    }
}

impl TappedFoot {
    /// A right foot of this length.
    pub fn right(angle: PhotographAngle, truth_deg: f64, length_mm: f64, rng: &mut StdRng) -> Self {
        let (sine, cosine) = truth_deg.to_radians().sin_cos();
        // A depth as a share of the length, with its spread.
        let mut depth = |share: f64, spread: f64| share + spread * normal(rng);
        let (points, straight, up): (Vec<Vector>, Vector, Vector) = match angle {
            PhotographAngle::ForefootAdduction => (
                vec![
                    [0.0, -0.45, depth(0.05, 0.02)],
                    [0.0, -0.20, depth(0.0, 0.01)],
                    [-0.5 * sine, -0.20 + 0.5 * cosine, depth(0.02, 0.02)],
                ],
                [0.0, 0.0, -1.0],
                [0.0, 1.0, 0.0],
            ),
            PhotographAngle::ThighFoot => (
                vec![
                    [0.0, -2.0, depth(1.6, 0.1)],
                    [0.0, -0.2, depth(1.6, 0.1)],
                    [-0.42 * sine, -0.42 * cosine, depth(0.05, 0.02)],
                    [0.45 * sine, 0.45 * cosine, depth(0.02, 0.02)],
                ],
                [0.0, 0.0, -1.0],
                [0.0, 1.0, 0.0],
            ),
            PhotographAngle::HeelVarus => (
                vec![
                    [0.0, depth(-0.38, 0.03), 1.4],
                    [0.0, depth(-0.28, 0.03), 0.5],
                    [0.0, depth(-0.40, 0.02), 0.32],
                    [-0.28 * sine, depth(-0.38, 0.03), 0.32 - 0.28 * cosine],
                ],
                [0.0, -1.0, 0.0],
                [0.0, 0.0, 1.0],
            ),
            PhotographAngle::Dorsiflexion => (
                vec![
                    [depth(0.22, 0.03), -0.15 + 1.5 * sine, 0.35 + 1.5 * cosine],
                    [depth(0.20, 0.02), -0.15, 0.35],
                    [depth(0.05, 0.03), -0.40, 0.0],
                    [depth(0.18, 0.03), 0.05, 0.0],
                ],
                [1.0, 0.0, 0.0],
                [0.0, 0.0, 1.0],
            ),
        };
        let points = points.into_iter().map(|point| point.map(|part| part * length_mm)).collect();
        Self { truth_deg, points, straight, up }
    }

    /// The same foot, or its mirror image.
    pub fn of_side(mut self, side: Side) -> Self {
        if side == Side::Left {
            let mirrored = |vector: &mut Vector| vector[0] = -vector[0];
            self.points.iter_mut().for_each(mirrored);
            mirrored(&mut self.straight);
        }
        self
    }

    /// The middle of the points and their extent.
    pub fn extent(&self) -> (Vector, f64) {
        let mut middle = [0.0; 3];
        let mut extent = 0.0_f64;
        for (axis, part) in middle.iter_mut().enumerate() {
            let values = || self.points.iter().map(|point| point[axis]);
            let (low, high) = (values().fold(f64::MAX, f64::min), values().fold(f64::MIN, f64::max));
            *part = (low + high) / 2.0;
            if self.straight[axis] == 0.0 {
                extent = extent.max(high - low);
            }
        }
        (middle, extent)
    }

    pub fn stand(&self, distance_mm: f64, tilt_deg: f64, rng: &mut StdRng) -> Stand {
        let (mut target, extent) = self.extent();
        target.iter_mut().for_each(|part| *part += extent * rng.random_range(-0.1..0.1));
        Stand {
            target,
            straight: self.straight,
            up: self.up,
            distance_mm,
            tilt_deg,
            azimuth_deg: rng.random_range(0.0..360.0),
            roll_deg: rng.random_range(0.0..360.0),
        }
    }
}
