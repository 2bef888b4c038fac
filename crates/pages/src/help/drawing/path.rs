//! Smooth outlines through points, and the two ways in which a drawn foot is moved: bent along its length, turned
//! about the ankle.

use std::fmt::Write;

/// A position: x to the right, y down, in units of the drawing.
pub type Spot = (f64, f64);

/// A coordinate in its shortest form, to a tenth.
pub fn num(value: f64) -> String {
    let text = format!("{value:.1}");
    let short = text.strip_suffix(".0").unwrap_or(&text);
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

fn pair((x, y): Spot) -> String {
    format!("{} {}", num(x), num(y))
}

/// A smooth open line through points.
pub fn open(points: &[Spot]) -> String {
    let last = points.len().saturating_sub(1);
    let at = |place: i64| -> Option<Spot> {
        let place = usize::try_from(place.max(0)).unwrap_or(0).min(last);
        points.get(place).copied()
    };
    smooth(points, last, at)
}

/// A smooth closed outline through points.
pub fn closed(points: &[Spot]) -> String {
    let count = i64::try_from(points.len()).unwrap_or(0).max(1);
    let at = |place: i64| points.get(usize::try_from(place.rem_euclid(count)).unwrap_or(0)).copied();
    smooth(points, points.len(), at) + "Z"
}

/// Catmull–Rom segments as cubic curves, which pass through every point.
fn smooth(points: &[Spot], segments: usize, at: impl Fn(i64) -> Option<Spot>) -> String {
    let Some(first) = points.first() else { return String::new() };
    let mut path = format!("M{}", pair(*first));
    for segment in 0..i64::try_from(segments).unwrap_or(0) {
        let around = (at(segment - 1), at(segment), at(segment + 1), at(segment + 2));
        let (Some(before), Some(from), Some(to), Some(after)) = around else { continue };
        let ahead = (from.0 + (to.0 - before.0) / 6.0, from.1 + (to.1 - before.1) / 6.0);
        let back = (to.0 - (after.0 - from.0) / 6.0, to.1 - (after.1 - from.1) / 6.0);
        // Writing to a string cannot fail.
        let _ = write!(path, "C{} {} {}", pair(ahead), pair(back), pair(to));
    }
    path
}

/// A bow from one point to another, through the pull of a third.
pub fn bow(from: Spot, pull: Spot, to: Spot) -> String {
    format!("M{}Q{} {}", pair(from), pair(pull), pair(to))
}

/// A straight line.
pub fn line(from: Spot, to: Spot) -> String {
    format!("M{}L{}", pair(from), pair(to))
}

/// A point turned about a centre by degrees, clockwise as seen.
pub fn turned(point: Spot, about: Spot, deg: f64) -> Spot {
    let (sin, cos) = deg.to_radians().sin_cos();
    let (x, y) = (point.0 - about.0, point.1 - about.1);
    (about.0 + x * cos - y * sin, about.1 + x * sin + y * cos)
}

/// Where a direction leads: 0° is up, 90° to the right.
pub fn towards(from: Spot, deg: f64, length: f64) -> Spot {
    let (sin, cos) = deg.to_radians().sin_cos();
    (from.0 + length * sin, from.1 - length * cos)
}

/// An arc about a centre between two directions (0° up, clockwise), with the radius of the drawing's unit.
pub fn arc(centre: Spot, radius: f64, from_deg: f64, to_deg: f64) -> String {
    let (from, to) = (towards(centre, from_deg, radius), towards(centre, to_deg, radius));
    let sweep = u8::from(to_deg > from_deg);
    let large = u8::from((to_deg - from_deg).abs() > 180.0);
    format!("M{}A{r} {r} 0 {large} {sweep} {}", pair(from), pair(to), r = num(radius))
}

/// How the middle line of a foot bends: straight to `from`, evenly to `to`, and straight again.
#[derive(Debug, Clone, Copy)]
pub struct Bend {
    pub from: f64,
    pub to: f64,
    /// Positive to the right of the drawing.
    pub deg: f64,
}

impl Bend {
    pub const NONE: Self = Self { from: 30.0, to: 60.0, deg: 0.0 };

    /// Where a point of the straight foot comes to lie: `u` along the foot from the heel, `v` to the right of its
    /// middle line. `heel` is the position of the heel's end.
    pub fn place(&self, (u, v): Spot, heel: Spot) -> Spot {
        let angle = self.deg.to_radians();
        let length = (self.to - self.from).max(1.0);
        let along = (u - self.from).clamp(0.0, length);
        let beyond = (u - self.to).max(0.0);
        let theta = angle * along / length;
        let (sin, cos) = theta.sin_cos();
        let radius = if angle.abs() < 1e-9 { 0.0 } else { length / angle };
        let (x, y) = if radius == 0.0 { (0.0, along) } else { (radius * (1.0 - cos), radius * sin) };
        let middle = (x + beyond * sin, u.min(self.from) + y + beyond * cos);
        (heel.0 + middle.0 + v * cos, heel.1 - middle.1 + v * sin)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bend_of_a_right_angle_leads_to_the_side() {
        // From 0 to 10 along a quarter circle of radius 10 / (π / 2) = 6.37, then 5 to the right.
        let bend = Bend { from: 0.0, to: 10.0, deg: 90.0 };
        let (x, y) = bend.place((15.0, 0.0), (0.0, 0.0));
        assert!((x - 11.37).abs() < 0.01 && (y + 6.37).abs() < 0.01, "{x} {y}");
        assert_eq!(Bend::NONE.place((50.0, 4.0), (10.0, 90.0)), (14.0, 40.0));
    }

    #[test]
    fn outlines_pass_through_their_points() {
        let points = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)];
        let path = closed(&points);
        assert!(path.starts_with("M0 0C") && path.ends_with("Z"), "{path}");
        assert_eq!(path.matches('C').count(), 3);
        assert_eq!(open(&points).matches('C').count(), 2);
        for end in ["10 0C", "10 10C", "0 0Z"] {
            assert!(path.contains(end), "{end} in {path}");
        }
    }

    #[test]
    fn directions_are_those_of_a_clock() {
        let (x, y) = towards((0.0, 0.0), 90.0, 5.0);
        assert!((x - 5.0).abs() < 1e-9 && y.abs() < 1e-9);
        let (x, y) = turned((1.0, 0.0), (0.0, 0.0), 90.0);
        assert!(x.abs() < 1e-9 && (y - 1.0).abs() < 1e-9, "down, because y runs down");
    }
}
