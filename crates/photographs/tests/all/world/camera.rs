//! A camera: a pinhole with square pixels, its axis through the middle of the picture, and one term of radial distortion.

use super::{Vector, add, cross, dot, scaled, turned, unit};
use photographs::PixelPoint;

#[derive(Debug, Clone, Copy)]
pub struct Camera {
    pub place: Vector,
    /// Right, down and forward.
    axes: [Vector; 3],
    pub focal_px: f64,
    pub size: (u32, u32),
    /// Radial distortion: a point at distance r from the axis, in focal lengths, is drawn at r (1 + k1 r²).
    pub k1: f64,
}

/// From where a picture is taken.
#[derive(Debug, Clone, Copy)]
pub struct Stand {
    /// What the middle of the picture shows.
    pub target: Vector,
    /// From the target to where the camera should be, length 1.
    pub straight: Vector,
    /// What is upward in the picture when the camera is not rolled.
    pub up: Vector,
    pub distance_mm: f64,
    /// How far the camera is from where it should be, and in which direction about the straight line.
    pub tilt_deg: f64,
    pub azimuth_deg: f64,
    pub roll_deg: f64,
}

impl Camera {
    pub fn standing(stand: &Stand, focal_px: f64, size: (u32, u32), k1: f64) -> Self {
        let sideways = turned(unit(cross(stand.straight, stand.up)), stand.straight, stand.azimuth_deg);
        let towards = turned(stand.straight, sideways, stand.tilt_deg);
        let forward = scaled(towards, -1.0);
        let right = turned(unit(cross(forward, stand.up)), forward, stand.roll_deg);
        let place = add(stand.target, scaled(towards, stand.distance_mm));
        Self { place, axes: [right, cross(forward, right), forward], focal_px, size, k1 }
    }

    pub fn sees(&self, point: Vector) -> PixelPoint {
        let sight = add(point, scaled(self.place, -1.0));
        let [across, down, depth] = self.axes.map(|axis| dot(axis, sight));
        assert!(depth > 0.0, "a point lies behind the camera");
        let (x, y) = (across / depth, down / depth);
        let bent = 1.0 + self.k1 * (x * x + y * y);
        let middle = (f64::from(self.size.0) / 2.0, f64::from(self.size.1) / 2.0);
        PixelPoint::new(middle.0 + self.focal_px * x * bent, middle.1 + self.focal_px * y * bent)
    }

    /// The direction in which a pixel looks.
    pub fn ray(&self, x: f64, y: f64) -> Vector {
        let (u, v) = (
            (x - f64::from(self.size.0) / 2.0) / self.focal_px,
            (y - f64::from(self.size.1) / 2.0) / self.focal_px,
        );
        let (mut a, mut b) = (u, v);
        for _ in 0..4 {
            let bent = 1.0 + self.k1 * (a * a + b * b);
            (a, b) = (u / bent, v / bent);
        }
        let [right, down, forward] = self.axes;
        unit(add(add(scaled(right, a), scaled(down, b)), forward))
    }
}

#[test]
fn a_ray_leads_back_to_the_pixel() {
    let stand = Stand {
        target: [3.0, -5.0, 8.0],
        straight: [0.0, 0.0, -1.0],
        up: [0.0, 1.0, 0.0],
        distance_mm: 400.0,
        tilt_deg: 17.0,
        azimuth_deg: 50.0,
        roll_deg: 130.0,
    };
    let camera = Camera::standing(&stand, 1440.0, (2000, 1500), 0.02);
    for (x, y) in [(10.0, 20.0), (1000.0, 750.0), (1900.0, 1400.0)] {
        let point = add(camera.place, scaled(camera.ray(x, y), 350.0));
        let back = camera.sees(point);
        assert!((back.x - x).abs() < 0.05 && (back.y - y).abs() < 0.05, "{back:?}");
    }
    let straight_on = camera.sees(stand.target);
    assert!((straight_on.x - 1000.0).abs() < 1e-9 && (straight_on.y - 750.0).abs() < 1e-9);
}
