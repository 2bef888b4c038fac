//! A simple world in which the truth is known: a pinhole camera with tilt, distance and lens distortion, the points of
//! a foot that are tapped, and a foot of ellipsoids that can be drawn. Sizes and spreads are judgement.

pub mod camera;
pub mod carded;
pub mod drawn;
pub mod landmarks;

pub use camera::Camera;
use rand::{RngExt, rngs::StdRng};

pub type Vector = [f64; 3];

pub fn add(one: Vector, other: Vector) -> Vector {
    [one[0] + other[0], one[1] + other[1], one[2] + other[2]]
}

pub fn scaled(vector: Vector, factor: f64) -> Vector {
    vector.map(|value| value * factor)
}

pub fn dot(one: Vector, other: Vector) -> f64 {
    one[0] * other[0] + one[1] * other[1] + one[2] * other[2]
}

pub fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub fn unit(vector: Vector) -> Vector {
    scaled(vector, 1.0 / dot(vector, vector).sqrt())
}

/// A vector turned about an axis of length 1.
pub fn turned(vector: Vector, axis: Vector, deg: f64) -> Vector {
    let (sine, cosine) = deg.to_radians().sin_cos();
    let along = scaled(axis, dot(axis, vector) * (1.0 - cosine));
    add(add(scaled(vector, cosine), scaled(cross(axis, vector), sine)), along)
}

/// A normal deviate (Box and Muller).
pub fn normal(rng: &mut StdRng) -> f64 {
    let (u, v): (f64, f64) = (rng.random_range(1e-12..1.0), rng.random_range(0.0..1.0));
    (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
}

/// The value below which this share of values lies.
pub fn quantile(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    values[((values.len() - 1) as f64 * share).round() as usize]
}
