//! What every drawing is made of: the frame, lines, arrows, a finger, words.

use super::path::{Spot, arc, line, num, towards};
use maud::{Markup, html};

/// A drawing in its frame, with its text alternative.
pub fn framed(alternative: &str, drawn: &Markup) -> Markup {
    html! {
        svg class="foot-drawing" viewBox="0 0 150 150" role="img" aria-label=(alternative) xmlns="http://www.w3.org/2000/svg" { (drawn) }
    }
}

/// A line with a class.
pub fn stroke(class: &str, path: &str) -> Markup {
    html! { path class=(class) d=(path) {} }
}

/// A dashed line for comparison.
pub fn guide(path: &str) -> Markup {
    stroke("guide", path)
}

/// An arrow that points at something.
pub fn arrow(from: Spot, to: Spot) -> Markup {
    let back = (from.1 - to.1).atan2(from.0 - to.0).to_degrees() + 90.0;
    let (left, right) = (towards(to, back - 28.0, 7.0), towards(to, back + 28.0, 7.0));
    html! {
        path class="arrow" d={ (line(from, to)) (line(left, to)) "L" (num(right.0)) " " (num(right.1)) } {}
    }
}

/// A fingertip, from its base to its tip, seen from the side of the nail.
pub fn finger(base: Spot, tip: Spot) -> Markup {
    let deg = (tip.0 - base.0).atan2(base.1 - tip.1).to_degrees();
    let nail = towards(tip, deg, 3.0);
    html! {
        path class="finger-edge" d=(line(base, tip)) {}
        path class="finger" d=(line(base, tip)) {}
        path class="fine" d=(arc(nail, 4.6, deg - 95.0, deg + 95.0)) {}
    }
}

/// Words in a drawing.
pub fn label(at: Spot, anchor: &str, text: &str) -> Markup {
    html! { text x=(num(at.0)) y=(num(at.1)) text-anchor=(anchor) { (text) } }
}
