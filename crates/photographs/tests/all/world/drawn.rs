//! A foot of ellipsoids, drawn by following a ray through each pixel, with light, skin, a background with patterns,
//! blur and noise.

use super::{Camera, Vector, add, camera::Stand, dot, normal, scaled, turned, unit};
use photographs::{GreyPlane, PhotographView};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use record::Side;

struct Ellipsoid {
    middle: Vector,
    radii: Vector,
    /// Its own axes, in the frame of the foot.
    axes: [Vector; 3],
}

const UPRIGHT: [Vector; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

impl Ellipsoid {
    fn turned(mut self, about: Vector, axis: Vector, deg: f64) -> Self {
        let moved = add(self.middle, scaled(about, -1.0));
        self.middle = add(about, turned(moved, axis, deg));
        self.axes = self.axes.map(|own| turned(own, axis, deg));
        self
    }

    /// Where a ray meets it first, and the outward direction there.
    fn met(&self, from: Vector, ray: Vector) -> Option<(f64, Vector)> {
        let local = |vector: Vector| {
            let mut parts = [0.0; 3];
            for (at, part) in parts.iter_mut().enumerate() {
                *part = dot(vector, self.axes[at]) / self.radii[at];
            }
            parts
        };
        let (begin, way) = (local(add(from, scaled(self.middle, -1.0))), local(ray));
        let (a, b, c) = (dot(way, way), dot(begin, way), dot(begin, begin) - 1.0);
        let root = b * b - a * c;
        if root < 0.0 {
            return None;
        }
        let distance = (-b - root.sqrt()) / a;
        let at = add(begin, scaled(way, distance));
        let outward =
            (0..3).fold([0.0; 3], |sum, axis| add(sum, scaled(self.axes[axis], at[axis] / self.radii[axis])));
        (distance > 0.0).then(|| (distance, unit(outward)))
    }
}

/// A child's foot: its shape stays the same on every picture of a day.
#[derive(Debug, Clone)]
pub struct DrawnFoot {
    pub length_mm: f64,
    pub adduction_deg: f64,
    pub varus_deg: f64,
    pub dorsiflexion_deg: f64,
    width: f64,
    toes: [f64; 5],
    skin: f64,
}

impl DrawnFoot {
    /// Any right foot.
    pub fn any(rng: &mut StdRng) -> Self {
        Self {
            length_mm: rng.random_range(70.0..150.0),
            adduction_deg: rng.random_range(0.0..35.0),
            varus_deg: rng.random_range(-5.0..20.0),
            dorsiflexion_deg: rng.random_range(-30.0..15.0),
            width: rng.random_range(0.88..1.12),
            toes: std::array::from_fn(|_| rng.random_range(0.85..1.15)),
            skin: rng.random_range(80.0..200.0),
        }
    }

    /// The other foot of the same child, as a right foot: of its size and skin, with angles of its own.
    pub fn sibling(&self, rng: &mut StdRng) -> Self {
        let (length_mm, skin, width) = (self.length_mm * rng.random_range(0.92..1.08), self.skin, self.width);
        Self { length_mm, skin, width, ..Self::any(rng) }
    }

    /// The same foot some weeks later.
    pub fn later(&self, rng: &mut StdRng) -> Self {
        let mut later = self.clone();
        later.length_mm *= rng.random_range(1.0..1.06);
        later.adduction_deg += 5.0 * normal(rng);
        later.varus_deg += 4.0 * normal(rng);
        later.dorsiflexion_deg += 6.0 * normal(rng);
        later
    }

    fn parts(&self) -> Vec<Ellipsoid> {
        let part = |middle: Vector, radii: Vector| Ellipsoid { middle, radii, axes: UPRIGHT };
        let wide = |radius: f64| radius * self.width;
        let mut front = vec![part([0.0, 0.20, 0.09], [wide(0.20), 0.18, 0.08])];
        let toes = [
            (-0.13, 0.41, 0.055, 0.09),
            (-0.035, 0.43, 0.036, 0.075),
            (0.04, 0.41, 0.034, 0.065),
            (0.105, 0.38, 0.032, 0.06),
            (0.16, 0.34, 0.03, 0.055),
        ];
        for ((x, y, radius, long), size) in toes.into_iter().zip(self.toes) {
            front.push(part([x * self.width, y, 0.06], [radius, long * size, radius]));
        }
        let inward = [0.0, 0.0, 1.0];
        let mut parts: Vec<_> =
            front.into_iter().map(|part| part.turned([0.0, 0.0, 0.0], inward, self.adduction_deg)).collect();
        parts.push(part([0.01, -0.06, 0.13], [wide(0.15), 0.28, 0.12]));
        // In varus the lower edge of a right heel lies inward.
        parts.push(part([0.0, -0.36, 0.14], [wide(0.13), 0.15, 0.15]).turned(
            [0.0, -0.36, 0.28],
            [0.0, 1.0, 0.0],
            self.varus_deg,
        ));
        let leg = part([0.0, -0.20, 0.95], [0.17, 0.17, 0.75]);
        parts.push(leg.turned([0.0, -0.20, 0.32], [1.0, 0.0, 0.0], -self.dorsiflexion_deg));
        for part in &mut parts {
            part.middle = scaled(part.middle, self.length_mm);
            part.radii = scaled(part.radii, self.length_mm);
        }
        parts
    }
}

/// How a picture is taken.
#[derive(Debug, Clone, Copy)]
pub struct Shot {
    pub view: PhotographView,
    pub size: (u32, u32),
    pub tilt_deg: f64,
    pub roll_deg: f64,
    /// Standard deviation of the blur, in pixels.
    pub blur_px: f64,
    /// Standard deviation of the noise, in shades.
    pub noise: f64,
    /// 1 is right; less is darker, more is brighter.
    pub exposure: f64,
}

impl Shot {
    /// As the guide asks for it, more or less.
    pub fn by_guide(view: PhotographView, size: (u32, u32), rng: &mut StdRng) -> Self {
        Self {
            view,
            size,
            tilt_deg: rng.random_range(0.0..15.0),
            roll_deg: 8.0 * normal(rng),
            blur_px: 0.5,
            noise: 3.0,
            exposure: rng.random_range(0.8..1.2),
        }
    }

    /// From the foot to the camera and upward, for a right foot.
    fn directions(&self) -> (Vector, Vector) {
        match self.view {
            PhotographView::Sole => ([0.0, 0.0, -1.0], [0.0, 1.0, 0.0]),
            PhotographView::Behind => ([0.0, -1.0, 0.0], [0.0, 0.0, 1.0]),
            PhotographView::OuterSide | PhotographView::BroughtUp => ([1.0, 0.0, 0.0], [0.0, 0.0, 1.0]),
            _ => (unit([0.0, 0.85, 0.5]), [0.0, 0.0, 1.0]),
        }
    }
}

/// A picture of a foot. A left foot is what a camera sees of the mirror image: the right one is drawn and mirrored.
pub fn drawn(foot: &DrawnFoot, side: Side, shot: &Shot, rng: &mut StdRng) -> GreyPlane {
    let picture = finished(&in_light(foot, shot, rng), shot, rng);
    if side == Side::Left { picture.mirrored() } else { picture }
}

/// The shades of a right foot before blur, exposure and noise.
pub fn in_light(foot: &DrawnFoot, shot: &Shot, rng: &mut StdRng) -> Vec<f64> {
    let (straight, up) = shot.directions();
    let length = foot.length_mm;
    let off = |rng: &mut StdRng| length * 0.06 * normal(rng);
    let stand = Stand {
        target: [off(rng), off(rng), 0.3 * length * up[2] + off(rng)],
        straight,
        up,
        distance_mm: rng.random_range(350.0..900.0),
        tilt_deg: shot.tilt_deg,
        azimuth_deg: rng.random_range(0.0..360.0),
        roll_deg: shot.roll_deg,
    };
    let fills = rng.random_range(1.5..1.9) * length;
    let focal = f64::from(shot.size.0.min(shot.size.1)) * stand.distance_mm / fills;
    let camera = Camera::standing(&stand, focal, shot.size, 0.0);
    Scene { parts: foot.parts(), camera, skin: foot.skin, seed: rng.random_range(0..u64::MAX) }.shades()
}

struct Scene {
    parts: Vec<Ellipsoid>,
    camera: Camera,
    skin: f64,
    seed: u64,
}

impl Scene {
    fn shades(&self) -> Vec<f64> {
        let mut rng = StdRng::seed_from_u64(self.seed);
        let light =
            unit([rng.random_range(-0.6..0.6), rng.random_range(-0.6..0.6), rng.random_range(-0.6..0.6)]);
        let light = unit(add(light, scaled(self.camera.ray(0.0, 0.0), -1.2)));
        let background = Background::any(&mut rng);
        let (width, height) = self.camera.size;
        let mut shades = Vec::with_capacity((width * height) as usize);
        for y in 0..height {
            for x in 0..width {
                let ray = self.camera.ray(f64::from(x) + 0.5, f64::from(y) + 0.5);
                let nearest = self.parts.iter().filter_map(|part| part.met(self.camera.place, ray));
                let nearest = nearest.min_by(|one, other| one.0.total_cmp(&other.0));
                let (across, down) = (f64::from(x) / f64::from(width), f64::from(y) / f64::from(height));
                shades.push(match nearest {
                    Some((_, outward)) => self.skin * (0.35 + 0.75 * dot(outward, light).max(0.0)),
                    None => background.shade(across, down),
                });
            }
        }
        shades
    }
}

/// A sheet or blanket with a gradient of light, stripes or folds, and patches.
struct Background {
    level: f64,
    slope: (f64, f64),
    stripes: (f64, f64, f64),
    patches: Vec<(f64, f64, f64, f64)>,
}

impl Background {
    fn any(rng: &mut StdRng) -> Self {
        let angle: f64 = rng.random_range(0.0..std::f64::consts::TAU);
        let often = rng.random_range(6.0..40.0);
        let strength = if rng.random_range(0.0..1.0) < 0.5 { rng.random_range(0.0..25.0) } else { 0.0 };
        let patches: Vec<_> = (0..rng.random_range(0..6))
            .map(|_| {
                (
                    rng.random_range(0.0..1.0),
                    rng.random_range(0.0..1.0),
                    rng.random_range(0.03..0.2),
                    rng.random_range(-60.0..60.0),
                )
            })
            .collect();
        Self {
            level: rng.random_range(40.0..230.0),
            slope: (rng.random_range(-30.0..30.0), rng.random_range(-30.0..30.0)),
            stripes: (often * angle.cos(), often * angle.sin(), strength),
            patches,
        }
    }

    fn shade(&self, x: f64, y: f64) -> f64 {
        let stripes = self.stripes.2 * (self.stripes.0 * x + self.stripes.1 * y).sin();
        let within = |(px, py, radius, _): &&(f64, f64, f64, f64)| (px - x).hypot(py - y) < *radius;
        let patches: f64 = self.patches.iter().filter(within).map(|patch| patch.3).sum();
        self.level + self.slope.0 * (x - 0.5) + self.slope.1 * (y - 0.5) + stripes + patches
    }
}

/// With the blur, the exposure and the noise of a shot.
pub fn finished(shades: &[f64], shot: &Shot, rng: &mut StdRng) -> GreyPlane {
    let (width, height) = (shot.size.0 as usize, shot.size.1 as usize);
    let blurred = blurred(shades, width, height, shot.blur_px);
    let bytes = blurred
        .iter()
        .map(|shade| (shade * shot.exposure + shot.noise * normal(rng)).clamp(0.0, 255.0) as u8);
    GreyPlane::new(width, height, bytes.collect()).unwrap()
}

/// A Gaussian blur, first along the rows and then along the columns.
pub fn blurred(shades: &[f64], width: usize, height: usize, sd_px: f64) -> Vec<f64> {
    if sd_px <= 0.0 {
        return shades.to_vec();
    }
    let reach = (3.0 * sd_px).ceil() as i64;
    let weights: Vec<f64> = (-reach..=reach).map(|at| (-0.5 * (at as f64 / sd_px).powi(2)).exp()).collect();
    let sum: f64 = weights.iter().sum();
    let along = |from: &[f64], step: (i64, i64)| -> Vec<f64> {
        let shade = |x: i64, y: i64| {
            let (x, y) = (x.clamp(0, width as i64 - 1), y.clamp(0, height as i64 - 1));
            from[y as usize * width + x as usize]
        };
        (0..height as i64)
            .flat_map(|y| (0..width as i64).map(move |x| (x, y)))
            .map(|(x, y)| {
                let parts = weights
                    .iter()
                    .zip(-reach..)
                    .map(|(weight, at)| weight * shade(x + at * step.0, y + at * step.1));
                parts.sum::<f64>() / sum
            })
            .collect()
    };
    along(&along(shades, (1, 0)), (0, 1))
}
