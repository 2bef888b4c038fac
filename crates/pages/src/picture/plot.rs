//! Drawing primitives: lines, points, text, links.

use crate::ink::Ink;
use record::{ChildId, EntryId};

/// A position: x and y.
pub type Position = (f64, f64);

/// A CSS class in two parts that are joined; the second may be empty.
pub type Class = (&'static str, &'static str);

fn at(ink: &mut Ink<'_>, (x, y): Position) {
    ink.tag("\" x=\"").num(x).tag("\" y=\"").num(y);
}

/// Writes the points of a shape.
fn points(ink: &mut Ink<'_>, points: &[Position]) {
    for (n, (x, y)) in points.iter().enumerate() {
        ink.tag(if n == 0 { "" } else { " " }).num(*x).tag(",").num(*y);
    }
}

/// A line through points; draws nothing for fewer than two.
pub fn polyline(ink: &mut Ink<'_>, class: Class, through: &[Position]) {
    if through.len() > 1 {
        ink.tag("<polyline class=\"").tag(class.0).tag(class.1).tag("\" points=\"");
        points(ink, through);
        ink.tag("\"></polyline>");
    }
}

/// A straight line.
pub fn line(ink: &mut Ink<'_>, class: &'static str, from: Position, to: Position) {
    ink.tag("<line class=\"").tag(class);
    ink.tag("\" x1=\"").num(from.0).tag("\" y1=\"").num(from.1);
    ink.tag("\" x2=\"").num(to.0).tag("\" y2=\"").num(to.1).tag("\"></line>");
}

/// Text at a position; `anchor` is start, middle or end.
pub fn words(ink: &mut Ink<'_>, class: Class, place: Position, anchor: &'static str, text: &str) {
    ink.tag("<text class=\"").tag(class.0).tag(class.1);
    at(ink, place);
    ink.tag("\" text-anchor=\"").tag(anchor).tag("\">").text(text).tag("</text>");
}

/// Text over a mark, hidden from screen readers because the mark itself has a fuller description.
pub fn seen(ink: &mut Ink<'_>, class: &'static str, place: Position, anchor: &'static str, text: &str) {
    ink.tag("<text class=\"seen ").tag(class);
    at(ink, place);
    ink.tag("\" text-anchor=\"").tag(anchor).tag("\" aria-hidden=\"true\">").text(text).tag("</text>");
}

/// A centred symbol drawn with lines: "×" missed visit, "R" relapse, "?" incomplete score.
pub fn sign(ink: &mut Ink<'_>, (x, y): Position, sign: &str) {
    let path = match sign {
        "×" => "M-4 -4L4 4M-4 4L4 -4",
        "R" => "M-3 5V-5H1.5A2.6 2.6 0 0 1 1.5 0.2H-3M0.5 0.2L4 5",
        _ => "M-3 -2.5A3 3 0 1 1 1.5 0.2Q0 1 0 2.6M0 4.6V5.6",
    };
    ink.tag("<g class=\"sign\" transform=\"translate(").num(x).tag(" ").num(y);
    ink.tag(")\"><circle class=\"sign-ground\" r=\"7\"></circle><path d=\"").tag(path).tag("\"></path></g>");
}

/// A rectangle.
pub fn rect(ink: &mut Ink<'_>, class: Class, place: Position, (width, height): (f64, f64)) {
    ink.tag("<rect class=\"").tag(class.0).tag(class.1);
    at(ink, place);
    ink.tag("\" width=\"").num(width.max(0.5)).tag("\" height=\"").num(height).tag("\"></rect>");
}

/// A round point.
pub fn point(ink: &mut Ink<'_>, class: Class, (x, y): Position, radius: u8) {
    ink.tag("<circle class=\"").tag(class.0).tag(class.1).tag("\" cx=\"").num(x).tag("\" cy=\"").num(y);
    ink.tag("\" r=\"").whole(radius).tag("\"></circle>");
}

/// A mark with a description that links to its entry.
pub fn mark(
    ink: &mut Ink<'_>,
    child: ChildId,
    entry: EntryId,
    description: impl FnOnce(&mut Ink<'_>),
    shape: impl FnOnce(&mut Ink<'_>),
) {
    ink.tag("<a href=\"").entry_href(child, entry).tag("\" aria-label=\"");
    let from = ink.length();
    description(ink);
    let to = ink.length();
    ink.tag("\"><title>").again(from, to).tag("</title>");
    shape(ink);
    ink.tag("</a>");
}

/// A triangle pointing up, centred.
pub fn triangle(ink: &mut Ink<'_>, class: &'static str, (x, y): Position, size: f64) {
    polygon(ink, class, &[(x - size, y + size), (x + size, y + size), (x, y - size)]);
}

/// A diamond, centred.
pub fn diamond(ink: &mut Ink<'_>, class: &'static str, (x, y): Position, size: f64) {
    polygon(ink, class, &[(x - size, y), (x, y - size), (x + size, y), (x, y + size)]);
}

/// A closed shape.
pub fn polygon(ink: &mut Ink<'_>, class: &'static str, corners: &[Position]) {
    ink.tag("<polygon class=\"").tag(class).tag("\" points=\"");
    points(ink, corners);
    ink.tag("\"></polygon>");
}
