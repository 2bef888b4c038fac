//! Four-sided figures of a picture whose sides are edges and that could be a card.

use crate::{CARD_MM, PixelPoint, edge_lines::EdgeLine};

/// The share of each side that has to be edge: fingers, a toe or print may hide the rest.
const LEAST_COVERED: f64 = 0.5;
/// The sine of the most that opposite sides may differ in direction, 20°.
const PARALLEL: f64 = 0.342;
/// The sine of the least angle between neighbouring sides, 55°.
const UPRIGHT: f64 = 0.819;
/// How much longer one of two opposite sides may be.
const LONGER: f64 = 1.6;
/// By which factor the long sides over the short ones may differ from that of a card: 40° from straight give 1.31.
const SLANT: f64 = 1.4;
/// Of the eight ends of sides, the most that may go on as edge beyond their corner. Those of a card end there; the joints of
/// a floor do not.
const MOST_GOING_ON: usize = 3;
/// The most figures, those with most edge on their sides first.
const MOST_SHAPES: usize = 100;

/// A figure with the share of its sides that is edge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CardShape {
    pub corners: [PixelPoint; 4],
    pub covered: f64,
}

/// The figures that lines of a picture make, those with most edge first; no side is shorter than `least_side`, in pixels.
pub(crate) fn card_shapes(
    lines: &[EdgeLine],
    (width, height): (f64, f64),
    least_side: f64,
) -> Vec<CardShape> {
    let inside = |point: &PixelPoint| (0.0..=width).contains(&point.x) && (0.0..=height).contains(&point.y);
    let mut shapes = Vec::new();
    for (at, one) in lines.iter().enumerate() {
        for other in lines.iter().skip(at + 1).filter(|other| one.sine(other) <= PARALLEL) {
            // Of its four lines a figure is found from the first, so that none is found twice.
            let across =
                crossings(lines.get(at + 1..).unwrap_or_default(), (one, other), (least_side, &inside));
            for (nth, first) in across.iter().enumerate() {
                shapes.extend(across.iter().skip(nth + 1).filter_map(|second| first.shape(second)));
            }
        }
    }
    shapes.sort_by(|one, other| other.covered.total_cmp(&one.covered));
    shapes.truncate(MOST_SHAPES);
    shapes
}

/// A line from one of two opposite sides to the other.
struct Crossing<'a> {
    sides: (&'a EdgeLine, &'a EdgeLine),
    line: &'a EdgeLine,
    ends: (PixelPoint, PixelPoint),
    covered: f64,
    least_side: f64,
}

fn crossings<'a>(
    lines: &'a [EdgeLine],
    sides: (&'a EdgeLine, &'a EdgeLine),
    (least_side, inside): (f64, &impl Fn(&PixelPoint) -> bool),
) -> Vec<Crossing<'a>> {
    let crossing = |line: &'a EdgeLine| {
        if line.sine(sides.0) < UPRIGHT || line.sine(sides.1) < UPRIGHT {
            return None;
        }
        let ends = (sides.0.meets(line)?, sides.1.meets(line)?);
        if !inside(&ends.0) || !inside(&ends.1) || ends.0.distance(ends.1) < least_side {
            return None;
        }
        let covered = line.covered(ends.0, ends.1);
        (covered >= LEAST_COVERED).then_some(Crossing { sides, line, ends, covered, least_side })
    };
    lines.iter().filter_map(crossing).collect()
}

impl Crossing<'_> {
    fn shape(&self, other: &Self) -> Option<CardShape> {
        let ((a, d), (b, c)) = (self.ends, other.ends);
        let (ab, dc, ad, bc) = (a.distance(b), d.distance(c), a.distance(d), b.distance(c));
        let alike = |one: f64, other: f64| one.max(other) <= LONGER * one.min(other);
        let ratio = (ab + dc) / (ad + bc);
        let of_card = CARD_MM.0 / CARD_MM.1;
        let slanted = ratio.max(1.0 / ratio) / of_card;
        let fits = ab.min(dc) >= self.least_side && alike(ab, dc) && alike(ad, bc);
        if !fits || !(1.0 / SLANT..=SLANT).contains(&slanted) || self.line.sine(other.line) > PARALLEL {
            return None;
        }
        let (first, second) = (self.sides.0.covered(a, b), self.sides.1.covered(d, c));
        let shares = [first, second, self.covered, other.covered];
        if shares.iter().any(|share| *share < LEAST_COVERED) {
            return None;
        }
        let sides = [(self.sides.0, a, b), (other.line, b, c), (self.sides.1, c, d), (self.line, d, a)];
        let going_on: usize = sides.iter().map(|(line, from, to)| ends_going_on(line, *from, *to)).sum();
        let covered = shares.iter().sum::<f64>() / 4.0;
        (going_on <= MOST_GOING_ON).then_some(CardShape { corners: [a, b, c, d], covered })
    }
}

/// At how many of its two ends a side goes on as edge, for a fifth of its length.
fn ends_going_on(line: &EdgeLine, from: PixelPoint, to: PixelPoint) -> usize {
    let beyond = |end: PixelPoint, other: PixelPoint, share: f64| {
        PixelPoint::new(end.x + (end.x - other.x) * share, end.y + (end.y - other.y) * share)
    };
    let goes_on = |end: PixelPoint, other: PixelPoint| {
        line.covered(beyond(end, other, 0.03), beyond(end, other, 0.2)) > 0.7
    };
    usize::from(goes_on(from, to)) + usize::from(goes_on(to, from))
}
