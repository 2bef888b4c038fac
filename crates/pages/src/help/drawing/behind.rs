//! A right leg and heel seen from behind: the inner side is on the left.

use super::{
    layer::{guide, label, stroke},
    path::{Spot, arc, bow, line, open, towards, turned},
};
use maud::{Markup, html};

const MIDDLE: f64 = 75.0;
/// Where the heel turns under the leg.
const TURN: Spot = (MIDDLE, 92.0);

/// The left half of the outline, from the top of the leg to the sole.
const HALF: [Spot; 12] = [
    (-21.0, 4.0),
    (-24.0, 30.0),
    (-19.0, 58.0),
    (-14.5, 78.0),
    (-16.0, 88.0),
    (-16.5, 96.0),
    (-16.0, 102.0),
    (-18.0, 112.0),
    (-20.5, 124.0),
    (-18.0, 136.0),
    (-9.0, 142.0),
    (0.0, 143.0),
];

/// Leg and heel; `pinch` draws the contour in at the fold, `in_deg` turns the heel in.
fn limb(pinch: f64, in_deg: f64) -> Markup {
    let half = |sign: f64| {
        HALF.map(|(x, y)| {
            let drawn_in = if (95.0..103.0).contains(&y) { pinch } else { 0.0 };
            let spot = (MIDDLE + sign * (-x - drawn_in).max(0.0), y);
            // The turn sets in gradually below the ankle, so that the contour stays smooth.
            let share = ((y - 80.0) / 26.0).clamp(0.0, 1.0);
            turned(spot, TURN, in_deg * share)
        })
    };
    let mut outline = half(-1.0).to_vec();
    outline.extend(half(1.0).into_iter().rev().skip(1));
    html! { path class="skin" d=(open(&outline)) {} }
}

fn fold(y: f64, half_width: f64, class: &str) -> Markup {
    stroke(class, &bow((MIDDLE - half_width, y - 2.0), (MIDDLE, y + 5.0), (MIDDLE + half_width, y - 2.0)))
}

/// The folds above the heel.
pub fn posterior_crease(fine: &[f64], deep: &[f64], pinch: f64) -> Markup {
    let width = 15.0 - pinch;
    html! {
        (limb(pinch, 0.0))
        (stroke("fine", &line((MIDDLE - 5.0, 66.0), (MIDDLE - 4.0, 86.0))))
        (stroke("fine", &line((MIDDLE + 5.0, 66.0), (MIDDLE + 4.0, 86.0))))
        @for y in fine { (fold(*y, 8.0, "fine")) }
        @for y in deep { (fold(*y, width, "deep")) }
        (super::layer::arrow((MIDDLE + 52.0, 92.0), (MIDDLE + 21.0, 97.0)))
    }
}

/// The heel turned in by some degrees, beside the line of the leg.
pub fn varus(in_deg: f64) -> Markup {
    html! {
        (limb(0.0, in_deg))
        (guide(&line((MIDDLE, 6.0), (MIDDLE, 148.0))))
        (stroke("axis", &line(TURN, towards(TURN, 180.0 + in_deg, 56.0))))
        (stroke("arc", &arc(TURN, 44.0, 180.0, 180.0 + in_deg)))
        (label((24.0, 128.0), "middle", &format!("{in_deg:.0}°")))
        (label((4.0, 16.0), "start", "inner"))
        (label((146.0, 16.0), "end", "outer"))
    }
}
