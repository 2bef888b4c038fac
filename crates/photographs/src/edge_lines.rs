//! Long lines of a picture, each with the parts of it that are edge.

use crate::{PixelPoint, edge_strokes::EdgeStroke};

/// How far a piece may lie from a line to belong to it, in pixels.
const NEAR: f64 = 2.5;
/// The sine of the most that the direction of a piece may differ from that of its line, 6°.
const SAME_DIRECTION: f64 = 0.105;
/// The most lines, those with most edge first.
const MOST_LINES: usize = 110;
/// A gap between two pieces that is closed, in pixels.
const GAP: f64 = 5.0;

/// A line of which some parts are edge.
#[derive(Debug, Clone)]
pub(crate) struct EdgeLine {
    /// A point of the line.
    pub at: PixelPoint,
    /// Its direction, length 1.
    pub way: (f64, f64),
    /// The parts that are edge, by distance from the point, in their order and without overlap.
    parts: Vec<(f64, f64)>,
}

/// The lines on which pieces of edge lie, those with most edge first.
pub(crate) fn edge_lines(strokes: &[EdgeStroke]) -> Vec<EdgeLine> {
    let mut free = vec![true; strokes.len()];
    let mut lines = Vec::new();
    for (first, stroke) in strokes.iter().enumerate() {
        if !free.get(first).copied().unwrap_or(false) {
            continue;
        }
        let Some(line) = EdgeLine::through(stroke).and_then(|line| line.fitted(strokes)) else { continue };
        // A piece may belong to two lines, but two lines never come from one piece.
        for (free, other) in free.iter_mut().zip(strokes) {
            *free = *free && !line.holds(other);
        }
        lines.push(line);
    }
    lines.sort_by(|one, other| other.edge().total_cmp(&one.edge()));
    lines.truncate(MOST_LINES);
    lines
}

impl EdgeLine {
    fn through(stroke: &EdgeStroke) -> Option<Self> {
        let length = stroke.length();
        let way = ((stroke.to.x - stroke.from.x) / length, (stroke.to.y - stroke.from.y) / length);
        (length > 1.0).then(|| Self { at: stroke.from, way, parts: Vec::new() })
    }

    /// The distance of a point from the line, above zero to its right.
    fn off(&self, point: PixelPoint) -> f64 {
        (point.y - self.at.y) * self.way.0 - (point.x - self.at.x) * self.way.1
    }

    /// How far along the line a point is.
    pub(crate) fn along(&self, point: PixelPoint) -> f64 {
        (point.x - self.at.x) * self.way.0 + (point.y - self.at.y) * self.way.1
    }

    fn holds(&self, stroke: &EdgeStroke) -> bool {
        let (from, to) = (self.off(stroke.from), self.off(stroke.to));
        from.abs().max(to.abs()) <= NEAR && (to - from).abs() <= SAME_DIRECTION * stroke.length()
    }

    /// The line through the middle of all the pieces that lie on it, with its parts.
    fn fitted(mut self, strokes: &[EdgeStroke]) -> Option<Self> {
        for _ in 0..2 {
            let own: Vec<&EdgeStroke> = strokes.iter().filter(|stroke| self.holds(stroke)).collect();
            self = Self::least_squares(&own)?;
        }
        let own = strokes.iter().filter(|stroke| self.holds(stroke));
        let span = |stroke: &EdgeStroke| {
            let (from, to) = (self.along(stroke.from), self.along(stroke.to));
            (from.min(to), from.max(to))
        };
        let mut spans: Vec<(f64, f64)> = own.map(span).collect();
        spans.sort_by(|one, other| one.0.total_cmp(&other.0));
        for (low, high) in spans {
            match self.parts.last_mut() {
                Some(last) if low <= last.1 + GAP => last.1 = last.1.max(high),
                _ => self.parts.push((low, high)),
            }
        }
        Some(self)
    }

    /// Through both ends of every piece, weighted by its length.
    fn least_squares(strokes: &[&EdgeStroke]) -> Option<Self> {
        let ends = || {
            strokes.iter().flat_map(|stroke| [(stroke.from, stroke.length()), (stroke.to, stroke.length())])
        };
        let weight: f64 = ends().map(|(_, weight)| weight).sum();
        let mean = |value: &dyn Fn(PixelPoint) -> f64| {
            ends().map(|(point, share)| share * value(point)).sum::<f64>() / weight
        };
        let at = PixelPoint::new(mean(&|point| point.x), mean(&|point| point.y));
        let xx = mean(&|point| (point.x - at.x).powi(2));
        let yy = mean(&|point| (point.y - at.y).powi(2));
        let xy = mean(&|point| (point.x - at.x) * (point.y - at.y));
        let (down, across) = (0.5 * (2.0 * xy).atan2(xx - yy)).sin_cos();
        (weight > 1.0 && at.is_finite()).then(|| Self { at, way: (across, down), parts: Vec::new() })
    }

    /// How much of it is edge, in pixels.
    fn edge(&self) -> f64 {
        self.parts.iter().map(|(low, high)| high - low).sum()
    }

    /// The share of the line between two points that is edge.
    pub(crate) fn covered(&self, one: PixelPoint, other: PixelPoint) -> f64 {
        let (one, other) = (self.along(one), self.along(other));
        let (low, high) = (one.min(other), one.max(other));
        let inside = |(from, to): &(f64, f64)| (to.min(high) - from.max(low)).max(0.0);
        self.parts.iter().map(inside).sum::<f64>() / (high - low).max(1e-9)
    }

    /// The sine of the angle to another line, without a sign.
    pub(crate) fn sine(&self, other: &Self) -> f64 {
        (self.way.0 * other.way.1 - self.way.1 * other.way.0).abs()
    }

    /// Where it meets another; `None` where they are nearly parallel.
    pub(crate) fn meets(&self, other: &Self) -> Option<PixelPoint> {
        let cross = self.way.0 * other.way.1 - self.way.1 * other.way.0;
        let (dx, dy) = (other.at.x - self.at.x, other.at.y - self.at.y);
        let along = (dx * other.way.1 - dy * other.way.0) / cross;
        let point = PixelPoint::new(self.at.x + along * self.way.0, self.at.y + along * self.way.1);
        (cross.abs() > 0.2 && point.is_finite()).then_some(point)
    }
}
