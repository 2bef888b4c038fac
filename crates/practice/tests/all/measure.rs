//! Measures a finished drawing from its shapes alone, as a person with a ruler would.

use practice::{DrawnPart, DrawnPoint, DrawnShape, FootDrawing};
use record::Sign;

fn parts(drawing: &FootDrawing, part: DrawnPart) -> Vec<&DrawnShape> {
    drawing.shapes.iter().filter(|shape| shape.part == part).collect()
}

fn part(drawing: &FootDrawing, part: DrawnPart) -> &DrawnShape {
    let found = parts(drawing, part);
    assert_eq!(found.len(), 1, "{part:?} in {:?}", drawing.sign);
    found[0]
}

fn apart(a: DrawnPoint, b: DrawnPoint) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

fn middle(points: &[DrawnPoint]) -> DrawnPoint {
    let n = points.len() as f64;
    (points.iter().map(|p| p.0).sum::<f64>() / n, points.iter().map(|p| p.1).sum::<f64>() / n)
}

/// The area of a closed outline, by Gauss's formula.
fn area(points: &[DrawnPoint]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>().abs() / 2.0
}

/// A straight line as a point and a direction of length 1.
struct Line {
    at: DrawnPoint,
    along: DrawnPoint,
}

impl Line {
    fn through(a: DrawnPoint, b: DrawnPoint) -> Self {
        let length = apart(a, b);
        Self { at: a, along: ((b.0 - a.0) / length, (b.1 - a.1) / length) }
    }

    fn off(&self, point: DrawnPoint) -> f64 {
        ((point.0 - self.at.0) * self.along.1 - (point.1 - self.at.1) * self.along.0).abs()
    }

    fn along(&self, point: DrawnPoint) -> f64 {
        (point.0 - self.at.0) * self.along.0 + (point.1 - self.at.1) * self.along.1
    }
}

/// The outer border of a sole and what it is compared with.
pub struct Border {
    length: f64,
    heel: DrawnPoint,
    line: Line,
    /// From the heel to the head of the fifth metatarsal.
    outer: Vec<DrawnPoint>,
}

impl Border {
    pub fn of(drawing: &FootDrawing) -> Self {
        let skin = part(drawing, DrawnPart::Skin);
        let mut toes: Vec<&DrawnShape> = parts(drawing, DrawnPart::Toe);
        toes.sort_by(|a, b| area(&a.points).total_cmp(&area(&b.points)));
        let little = middle(&toes[0].points);
        // The end of the heel is the point of the sole farthest from the toes.
        let ends = toes.iter().flat_map(|toe| &toe.points);
        let heel = skin.points[0];
        let length = ends.map(|end| apart(*end, heel)).fold(0.0, f64::max);
        // The border at the head of the fifth metatarsal is the first place that near to the little toe's middle.
        let end = skin.points.iter().position(|point| apart(*point, little) <= 0.0766 * length).unwrap();
        let outer = skin.points[..=end].to_vec();
        // The hindfoot's border: some 35 to 40 hundredths of the length along the outline, behind any curve.
        let mut walked = 0.0;
        let mut hind = Vec::new();
        for two in outer.windows(2) {
            walked += apart(two[0], two[1]);
            if (0.345..0.405).contains(&(walked / length)) {
                hind.push(two[1]);
            }
        }
        assert!(hind.len() > 4, "{} points of the hindfoot's border", hind.len());
        Self { length, heel, line: Line::through(hind[0], *hind.last().unwrap()), outer }
    }

    /// In % of the length of the foot.
    pub fn deviation(&self) -> f64 {
        100.0 * self.line.off(*self.outer.last().unwrap()) / self.length
    }

    /// Where the border leaves the line by more than one hundredth of the length, from the heel in %.
    pub fn leaves(&self) -> Option<f64> {
        let begin = self.line.along(self.heel);
        let left = |point: &&DrawnPoint| {
            self.line.along(**point) > 0.0 && self.line.off(**point) > 0.01 * self.length
        };
        self.outer.iter().find(left).map(|point| 100.0 * (self.line.along(*point) - begin) / self.length)
    }
}

/// The longest crease of a drawing: its two ends.
fn longest(drawing: &FootDrawing) -> (DrawnPoint, DrawnPoint) {
    let ends = parts(drawing, DrawnPart::Crease)
        .into_iter()
        .map(|crease| (crease.points[0], *crease.points.last().unwrap()));
    ends.max_by(|a, b| apart(a.0, a.1).total_cmp(&apart(b.0, b.1))).unwrap()
}

/// Where a line across the foot meets its outline: the distance between the outermost two meetings.
fn width_along(skin: &DrawnShape, ends: (DrawnPoint, DrawnPoint)) -> f64 {
    let line = Line::through(ends.0, ends.1);
    let mut met = Vec::new();
    for two in skin.points.windows(2) {
        let side =
            |point: DrawnPoint| (point.0 - line.at.0) * line.along.1 - (point.1 - line.at.1) * line.along.0;
        let (a, b) = (side(two[0]), side(two[1]));
        if (a > 0.0) != (b > 0.0) {
            let share = a / (a - b);
            met.push(
                line.along((
                    two[0].0 + share * (two[1].0 - two[0].0),
                    two[0].1 + share * (two[1].1 - two[0].1),
                )),
            );
        }
    }
    // Only the meetings next to the middle of the crease: the line may cut the foot elsewhere too.
    let centre = apart(ends.0, ends.1) / 2.0;
    let before = met.iter().copied().filter(|at| *at <= centre).fold(f64::NEG_INFINITY, f64::max);
    let after = met.iter().copied().filter(|at| *at > centre).fold(f64::INFINITY, f64::min);
    after - before
}

/// How far the longest crease reaches across the foot, in %.
pub fn crease_reach(drawing: &FootDrawing) -> f64 {
    let ends = longest(drawing);
    100.0 * apart(ends.0, ends.1) / width_along(part(drawing, DrawnPart::Skin), ends)
}

/// How deep the contour is drawn in beside the longest crease, in % of the width: the deepest point below a straight
/// line between two points of the contour 9 units away on either side. The smaller of all contours that the crease
/// belongs to: one at the arch, two above the heel.
pub fn notch(drawing: &FootDrawing) -> f64 {
    let skin = part(drawing, DrawnPart::Skin);
    let ends = longest(drawing);
    let width = width_along(skin, ends);
    let at = |end: DrawnPoint| {
        let near = skin
            .points
            .iter()
            .enumerate()
            .min_by(|a, b| apart(*a.1, end).total_cmp(&apart(*b.1, end)))
            .unwrap()
            .0;
        // Within 14 units of the end of the crease the contour is compared with its chord.
        let around: Vec<DrawnPoint> = contour_around(&skin.points, near, 11.0);
        let chord = Line::through(around[0], *around.last().unwrap());
        around.iter().map(|point| chord.off(*point)).fold(0.0, f64::max)
    };
    let depths =
        if drawing.sign == Sign::MedialCrease { vec![at(ends.0)] } else { vec![at(ends.0), at(ends.1)] };
    100.0 * depths.into_iter().fold(f64::INFINITY, f64::min) / width
}

fn contour_around(points: &[DrawnPoint], near: usize, radius: f64) -> Vec<DrawnPoint> {
    let close = |place: &usize| apart(points[*place], points[near]) <= radius;
    let before: Vec<usize> = (0..near).rev().take_while(close).collect();
    let after: Vec<usize> = (near..points.len()).take_while(close).collect();
    before.into_iter().rev().chain(after).map(|place| points[place]).collect()
}

/// How much of the front of the talar head the navicular covers, in %: of 110° about the axis of its neck, the degrees
/// in which the navicular lies before the head.
pub fn head_covered(drawing: &FootDrawing) -> f64 {
    let head = middle(&part(drawing, DrawnPart::TalarHead).points);
    // Before it is turned with the view the neck points up the drawing; the thumb's nail tells the turn from the
    // direction of the body of the talus to its head at rest, so the body is measured instead.
    let navicular = &part(drawing, DrawnPart::Navicular).points;
    let turn = view_turn(drawing);
    let deg = |point: &DrawnPoint| {
        let raw = (point.0 - head.0).atan2(head.1 - point.1).to_degrees();
        (raw - turn + 540.0).rem_euclid(360.0) - 180.0
    };
    let covered: Vec<f64> = navicular.iter().map(deg).collect();
    let degrees = (-54..=54).filter(|one| {
        let (low, high) = span(&covered);
        (low..=high).contains(&f64::from(*one))
    });
    100.0 * degrees.count() as f64 / 109.0
}

fn span(degrees: &[f64]) -> (f64, f64) {
    // The shell is narrower than 180°, so its ends are those of the shorter way round from its first point.
    let first = degrees[0];
    let near = degrees.iter().map(|deg| first + (deg - first + 540.0).rem_euclid(360.0) - 180.0);
    near.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), deg| (low.min(deg), high.max(deg)))
}

/// By how much the drawing was turned, from the two ends of the leg, which is upright before.
fn view_turn(drawing: &FootDrawing) -> f64 {
    let skin = part(drawing, DrawnPart::Skin);
    let (a, b) = (skin.points[0], *skin.points.last().unwrap());
    let (left, right) = if a.0 < b.0 { (a, b) } else { (b, a) };
    (right.1 - left.1).atan2(right.0 - left.0).to_degrees()
}

/// Degrees past the right angle between the line of the leg and the sole; below zero it stays short.
pub fn dorsiflexion(drawing: &FootDrawing) -> f64 {
    let leg = &part(drawing, DrawnPart::LegLine).points;
    // The skin itself: the sole from below the ankle to the ball, not the line drawn beside it.
    let (down, sole) = (direction(leg[0], leg[1]), sole_direction(drawing));
    let between = (down.0 * sole.0 + down.1 * sole.1).clamp(-1.0, 1.0).acos().to_degrees();
    between - 90.0
}

fn direction(from: DrawnPoint, to: DrawnPoint) -> DrawnPoint {
    let length = apart(from, to);
    ((to.0 - from.0) / length, (to.1 - from.1) / length)
}

/// From heel to toes along the under side of the foot: the two lowest points of the skin on the far side from the leg,
/// found as the longest straight support under the foot.
fn sole_direction(drawing: &FootDrawing) -> DrawnPoint {
    let skin = &part(drawing, DrawnPart::Skin).points;
    let hand = middle(&part(drawing, DrawnPart::Hand).points);
    let hull = hull(skin);
    let next = hull.iter().cycle().skip(1);
    // The edges of the hull on which the foot would stand, seen from the hand: the longest one near it.
    let edge = hull
        .iter()
        .zip(next)
        .filter(|(a, b)| Line::through(**a, **b).off(hand) < 16.0)
        .max_by(|x, y| apart(*x.0, *x.1).total_cmp(&apart(*y.0, *y.1)));
    let (a, b) = edge.unwrap();
    let leg = part(drawing, DrawnPart::LegLine).points[1];
    let (heel, toes) = if apart(*a, leg) < apart(*b, leg) { (a, b) } else { (b, a) };
    direction(*heel, *toes)
}

/// The convex hull (Andrew's monotone chain).
fn hull(points: &[DrawnPoint]) -> Vec<DrawnPoint> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let half = |points: &mut dyn Iterator<Item = DrawnPoint>| {
        let mut chain: Vec<DrawnPoint> = Vec::new();
        for point in points {
            while let [.., a, b] = chain[..] {
                if (b.0 - a.0) * (point.1 - a.1) - (b.1 - a.1) * (point.0 - a.0) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut lower = half(&mut sorted.iter().copied());
    lower.extend(half(&mut sorted.iter().rev().copied()));
    lower
}

/// The heel: depth of the bone under the resting skin, and what is left under the finger, in % of the foot's length.
pub fn heel(drawing: &FootDrawing) -> (f64, f64) {
    let bone = &part(drawing, DrawnPart::HeelBone).points;
    let rest = &part(drawing, DrawnPart::SkinAtRest).points;
    let finger = &part(drawing, DrawnPart::Finger).points;
    let tip = *finger.iter().min_by(|a, b| to_outline(**a, bone).total_cmp(&to_outline(**b, bone))).unwrap();
    let base = f64::midpoint(finger[0].0, finger.last().unwrap().0);
    let base = (base, f64::midpoint(finger[0].1, finger.last().unwrap().1));
    let axis = Line::through(base, tip);
    // Where the finger's axis meets the resting skin.
    let met = rest.iter().min_by(|a, b| axis.off(**a).total_cmp(&axis.off(**b))).unwrap();
    let length = foot_length(drawing);
    (100.0 * to_outline(*met, bone) / length, 100.0 * to_outline(tip, bone) / length)
}

fn to_outline(point: DrawnPoint, outline: &[DrawnPoint]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    let segment = |(a, b): (&DrawnPoint, &DrawnPoint)| {
        let (x, y) = (b.0 - a.0, b.1 - a.1);
        let share =
            (((point.0 - a.0) * x + (point.1 - a.1) * y) / (x * x + y * y).max(1e-12)).clamp(0.0, 1.0);
        apart(point, (a.0 + share * x, a.1 + share * y))
    };
    outline.iter().zip(next).map(segment).fold(f64::INFINITY, f64::min)
}

/// From the back of the heel to the tip of the toes, which is the point of the skin farthest beside the shin.
fn foot_length(drawing: &FootDrawing) -> f64 {
    let rest = &part(drawing, DrawnPart::SkinAtRest).points;
    let skin = &part(drawing, DrawnPart::Skin).points;
    let shin = middle(&part(drawing, DrawnPart::Tibia).points);
    let toe = skin.iter().max_by(|a, b| (a.0 - shin.0).abs().total_cmp(&(b.0 - shin.0).abs())).unwrap();
    rest.iter().map(|point| apart(*point, *toe)).fold(0.0, f64::max)
}

/// Whether the great toe lies on the viewer's right.
pub fn great_toe_is_right(drawing: &FootDrawing) -> bool {
    let mut toes = parts(drawing, DrawnPart::Toe);
    toes.sort_by(|a, b| area(&b.points).total_cmp(&area(&a.points)));
    middle(&toes[0].points).0 > middle(&toes[toes.len() - 1].points).0
}
