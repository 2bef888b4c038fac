//! Small pieces of drawing: lines, points, words, links.

use maud::{Markup, html};
use record::{ChildId, EntryId};

/// A number as short as it can be written.
pub fn num(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// A line through points; nothing for fewer than two.
pub fn polyline(class: &str, points: &[(f64, f64)]) -> Markup {
    let text = points.iter().map(|(x, y)| format!("{},{}", num(*x), num(*y))).collect::<Vec<_>>().join(" ");
    html! { @if points.len() > 1 { polyline class=(class) points=(text) {} } }
}

/// A straight line.
pub fn line(class: &str, from: (f64, f64), to: (f64, f64)) -> Markup {
    html! { line class=(class) x1=(num(from.0)) y1=(num(from.1)) x2=(num(to.0)) y2=(num(to.1)) {} }
}

/// Words at a place; `anchor` is start, middle or end.
pub fn words(class: &str, (x, y): (f64, f64), anchor: &str, text: &str) -> Markup {
    html! { text class=(class) x=(num(x)) y=(num(y)) text-anchor=(anchor) { (text) } }
}

/// Words for the eye that lie over a mark: the mark itself says more, so they are not read out twice.
pub fn seen(class: &str, (x, y): (f64, f64), anchor: &str, text: &str) -> Markup {
    html! { text class={ "seen " (class) } x=(num(x)) y=(num(y)) text-anchor=(anchor) aria-hidden="true" { (text) } }
}

/// A sign drawn with lines, centred: "×" not come, "R" relapse, "?" incomplete.
pub fn sign((x, y): (f64, f64), sign: &str) -> Markup {
    let path = match sign {
        "×" => "M-4 -4L4 4M-4 4L4 -4",
        "R" => "M-3 5V-5H1.5A2.6 2.6 0 0 1 1.5 0.2H-3M0.5 0.2L4 5",
        _ => "M-3 -2.5A3 3 0 1 1 1.5 0.2Q0 1 0 2.6M0 4.6V5.6",
    };
    html! {
        g class="sign" transform=(format!("translate({} {})", num(x), num(y))) {
            circle class="sign-ground" r="7" {}
            path d=(path) {}
        }
    }
}

/// A box.
pub fn rect(class: &str, (x, y): (f64, f64), (width, height): (f64, f64)) -> Markup {
    html! { rect class=(class) x=(num(x)) y=(num(y)) width=(num(width.max(0.5))) height=(num(height)) {} }
}

/// A mark that leads to its entry and says what it is.
pub fn mark(child: ChildId, entry: EntryId, says: &str, shape: &Markup) -> Markup {
    html! {
        a href=(format!("/child/{child}/entry/{entry}")) aria-label=(says) {
            title { (says) }
            (shape)
        }
    }
}

/// A triangle pointing up, centred.
pub fn triangle(class: &str, (x, y): (f64, f64), size: f64) -> Markup {
    let points = format!(
        "{},{} {},{} {},{}",
        num(x - size),
        num(y + size),
        num(x + size),
        num(y + size),
        num(x),
        num(y - size)
    );
    html! { polygon class=(class) points=(points) {} }
}

/// A diamond, centred.
pub fn diamond(class: &str, (x, y): (f64, f64), size: f64) -> Markup {
    let points = format!(
        "{},{} {},{} {},{} {},{}",
        num(x - size),
        num(y),
        num(x),
        num(y - size),
        num(x + size),
        num(y),
        num(x),
        num(y + size)
    );
    html! { polygon class=(class) points=(points) {} }
}
