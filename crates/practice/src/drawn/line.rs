//! Curves as rows of points, and the ways in which a drawn foot is moved.

use super::shape::DrawnPoint;

/// Points between two anchors of a curve.
const STEPS: usize = 7;

/// A smooth open curve through anchors.
pub(super) fn open(anchors: &[DrawnPoint]) -> Vec<DrawnPoint> {
    let last = anchors.len().saturating_sub(1) as i64;
    let mut points = smooth(anchors, last, |place| place.clamp(0, last));
    points.extend(anchors.last());
    points
}

/// A smooth closed curve through anchors; it begins at the first.
pub(super) fn closed(anchors: &[DrawnPoint]) -> Vec<DrawnPoint> {
    let count = anchors.len().max(1) as i64;
    smooth(anchors, anchors.len() as i64, |place| place.rem_euclid(count))
}

/// Catmull and Rom's curve, which passes through every anchor.
fn smooth(anchors: &[DrawnPoint], segments: i64, place: impl Fn(i64) -> i64) -> Vec<DrawnPoint> {
    let at = |number: i64| usize::try_from(place(number)).ok().and_then(|place| anchors.get(place)).copied();
    let mut points = Vec::with_capacity(anchors.len() * STEPS + 1);
    for segment in 0..segments {
        let around = (at(segment - 1), at(segment), at(segment + 1), at(segment + 2));
        let (Some(before), Some(from), Some(to), Some(after)) = around else { continue };
        points.extend((0..STEPS).map(|step| {
            let t = step as f64 / STEPS as f64;
            (cubic(t, [before.0, from.0, to.0, after.0]), cubic(t, [before.1, from.1, to.1, after.1]))
        }));
    }
    points
}

fn cubic(t: f64, [before, from, to, after]: [f64; 4]) -> f64 {
    let (one, two, three) =
        (to - before, 2.0 * before - 5.0 * from + 4.0 * to - after, 3.0 * (from - to) + after - before);
    from + 0.5 * t * (one + t * (two + t * three))
}

/// A smooth contour: the height over `x` through anchors whose first numbers rise, with the slopes of the chords
/// between their neighbours (Hermite's cubic).
pub(super) fn contour<const N: usize>(anchors: &[DrawnPoint; N], x: f64) -> f64 {
    let slope = |place: usize| {
        let before = anchors.get(place.saturating_sub(1));
        let after = anchors.get(place + 1).or(anchors.last());
        before.zip(after).map_or(0.0, |(a, b)| if b.0 > a.0 { (b.1 - a.1) / (b.0 - a.0) } else { 0.0 })
    };
    let after = anchors.iter().position(|(at, _)| *at >= x).unwrap_or(N.saturating_sub(1)).max(1);
    let (Some(from), Some(to)) = (anchors.get(after - 1), anchors.get(after)) else { return 0.0 };
    let width = to.0 - from.0;
    let t = ((x - from.0) / width).clamp(0.0, 1.0);
    let (square, cube) = (t * t, t * t * t);
    from.1 * (2.0 * cube - 3.0 * square + 1.0)
        + to.1 * (3.0 * square - 2.0 * cube)
        + width * (slope(after - 1) * (cube - 2.0 * square + t) + slope(after) * (cube - square))
}

/// A straight line.
pub(super) fn straight(from: DrawnPoint, to: DrawnPoint) -> Vec<DrawnPoint> {
    vec![from, to]
}

/// A bow from one point to another, pulled towards a third.
pub(super) fn bow(from: DrawnPoint, pull: DrawnPoint, to: DrawnPoint) -> Vec<DrawnPoint> {
    let at = |t: f64| {
        let (a, b, c) = ((1.0 - t) * (1.0 - t), 2.0 * t * (1.0 - t), t * t);
        (a * from.0 + b * pull.0 + c * to.0, a * from.1 + b * pull.1 + c * to.1)
    };
    (0..=14).map(|step| at(f64::from(step) / 14.0)).collect()
}

/// A point turned about a centre by degrees, clockwise as seen.
pub(super) fn turned(point: DrawnPoint, about: DrawnPoint, deg: f64) -> DrawnPoint {
    let (sin, cos) = deg.to_radians().sin_cos();
    let (x, y) = (point.0 - about.0, point.1 - about.1);
    (about.0 + x * cos - y * sin, about.1 + x * sin + y * cos)
}

/// Where a direction leads: 0° is up, 90° to the right.
pub(super) fn towards(from: DrawnPoint, deg: f64, length: f64) -> DrawnPoint {
    let (sin, cos) = deg.to_radians().sin_cos();
    (from.0 + length * sin, from.1 - length * cos)
}

/// An arc about a centre between two directions.
pub(super) fn arc(centre: DrawnPoint, radius: f64, from_deg: f64, to_deg: f64) -> Vec<DrawnPoint> {
    let steps = ((to_deg - from_deg).abs() / 6.0).ceil().max(1.0);
    (0..=steps as u32)
        .map(|step| towards(centre, from_deg + (to_deg - from_deg) * f64::from(step) / steps, radius))
        .collect()
}

/// An ellipse whose first radius lies along a direction.
pub(super) fn ellipse(centre: DrawnPoint, (along, across): (f64, f64), deg: f64) -> Vec<DrawnPoint> {
    (0..36)
        .map(|step| {
            let angle = f64::from(step) * 10.0_f64.to_radians();
            turned((centre.0 + across * angle.sin(), centre.1 - along * angle.cos()), centre, deg)
        })
        .collect()
}

/// The distance between two points.
pub(super) fn apart(a: DrawnPoint, b: DrawnPoint) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// The distance of a point from the nearest place of a closed line.
pub(super) fn nearest(point: DrawnPoint, outline: &[DrawnPoint]) -> f64 {
    apart(point, nearest_place(point, outline))
}

/// The place of a closed line that is nearest to a point; the point itself if there is no line.
pub(super) fn nearest_place(point: DrawnPoint, outline: &[DrawnPoint]) -> DrawnPoint {
    let next = outline.iter().cycle().skip(1);
    let places = outline.iter().zip(next).map(|(a, b)| on_segment(point, *a, *b));
    places.min_by(|a, b| apart(*a, point).total_cmp(&apart(*b, point))).unwrap_or(point)
}

fn on_segment(point: DrawnPoint, a: DrawnPoint, b: DrawnPoint) -> DrawnPoint {
    let (x, y) = (b.0 - a.0, b.1 - a.1);
    let length = x * x + y * y;
    let along = if length > 0.0 { ((point.0 - a.0) * x + (point.1 - a.1) * y) / length } else { 0.0 };
    let along = along.clamp(0.0, 1.0);
    (a.0 + along * x, a.1 + along * y)
}

/// The argument at which a rising function reaches a value, to within 2⁻⁵⁰ of the interval.
pub(super) fn reached(goal: f64, (mut low, mut high): (f64, f64), of: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        if of(middle) < goal { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

/// How the middle line of a foot curves: straight up to `from`, evenly to `to`, and straight again. `u` runs along
/// the foot from the end of the heel, `v` to the right of its middle line.
#[derive(Debug, Clone, Copy)]
pub(super) struct FootCurve {
    pub(super) from: f64,
    pub(super) to: f64,
    /// Positive to the right.
    pub(super) deg: f64,
}

impl FootCurve {
    /// The direction of the foot at a place along it: 0° is up, as before the curve.
    pub(super) fn direction(&self, u: f64) -> f64 {
        self.deg * ((u - self.from) / (self.to - self.from).max(1.0)).clamp(0.0, 1.0)
    }

    /// Where a point of the straight foot comes to lie: to the right of the heel, and up from it.
    pub(super) fn place(&self, (u, v): DrawnPoint) -> DrawnPoint {
        let angle = self.deg.to_radians();
        let length = (self.to - self.from).max(1.0);
        let along = (u - self.from).clamp(0.0, length);
        let beyond = (u - self.to).max(0.0);
        let theta = angle * along / length;
        let (sin, cos) = theta.sin_cos();
        let (x, y) = if angle.abs() < 1e-9 {
            (0.0, along)
        } else {
            let radius = length / angle;
            (radius * (1.0 - cos), radius * sin)
        };
        (x + beyond * sin + v * cos, u.min(self.from) + y + beyond * cos - v * sin)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_of_a_right_angle_leads_to_the_side() {
        // From 0 to 10 along a quarter circle of radius 10 / (π / 2) = 6.366, then 5 to the right.
        let curve = FootCurve { from: 0.0, to: 10.0, deg: 90.0 };
        let (x, y) = curve.place((15.0, 0.0));
        assert!((x - 11.366).abs() < 1e-3 && (y - 6.366).abs() < 1e-3, "{x} {y}");
        let straight = FootCurve { from: 30.0, to: 60.0, deg: 0.0 };
        assert_eq!(straight.place((50.0, 4.0)), (4.0, 50.0));
    }

    #[test]
    fn curves_pass_through_their_anchors() {
        let anchors = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        for points in [open(&anchors), closed(&anchors)] {
            for anchor in anchors {
                assert!(points.iter().any(|point| apart(*point, anchor) < 1e-9), "{anchor:?}");
            }
        }
        assert_eq!((open(&anchors).len(), closed(&anchors).len()), (3 * STEPS + 1, 4 * STEPS));
        assert!(open(&[]).is_empty() && closed(&[]).is_empty());
    }

    #[test]
    fn a_contour_passes_through_its_anchors_without_a_corner() {
        let anchors = [(0.0, 3.0), (4.0, 5.0), (10.0, 1.0)];
        for (x, y) in anchors {
            assert!((contour(&anchors, x) - y).abs() < 1e-12);
        }
        let slope = |x: f64| (contour(&anchors, x + 1e-6) - contour(&anchors, x)) / 1e-6;
        assert!((slope(4.0 - 1e-5) - slope(4.0 + 1e-5)).abs() < 1e-3, "the same slope on both sides");
    }

    #[test]
    fn distances_and_directions() {
        let square = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)];
        assert!((nearest((2.0, 7.0), &square) - 3.0).abs() < 1e-12);
        let (x, y) = towards((0.0, 0.0), 90.0, 5.0);
        assert!((x - 5.0).abs() < 1e-9 && y.abs() < 1e-9);
        // x² = 2 on 0..4.
        assert!((reached(2.0, (0.0, 4.0), |x| x * x) - 2.0_f64.sqrt()).abs() < 1e-9);
    }
}
