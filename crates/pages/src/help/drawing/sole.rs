//! A right foot seen from the sole, toes up: the great toe is on the right, the outer border on the left.

use super::{
    layer::{arrow, guide, label, stroke},
    path::{Bend, Spot, arc, bow, closed, line, num, towards},
};
use maud::{Markup, html};

/// The end of the heel in the drawing.
const HEEL: Spot = (64.0, 132.0);
/// The outer border of the straight foot, from the middle line.
const OUTER: f64 = -20.5;
/// Toes: position and radius, the great toe first.
const TOES: [(f64, f64, f64); 5] =
    [(93.0, 15.0, 9.0), (95.5, 3.0, 5.6), (92.5, -6.0, 5.2), (88.0, -12.8, 4.8), (82.0, -17.4, 4.3)];

/// A foot seen from the sole.
pub struct Sole {
    pub bend: Bend,
    /// How deep the inner contour is drawn in at the arch.
    pub pinch: f64,
    /// A short great toe.
    pub short_toe: bool,
}

impl Sole {
    pub const fn bent(deg: f64) -> Self {
        Self { bend: Bend { from: 28.0, to: 70.0, deg }, pinch: 0.0, short_toe: false }
    }

    fn at(&self, u: f64, v: f64) -> Spot {
        self.bend.place((u, v), HEEL)
    }

    /// Toes and sole.
    pub fn drawn(&self) -> Markup {
        let pinch = self.pinch;
        let outline: Vec<Spot> = [
            (0.0, 0.0),
            (3.0, -12.0),
            (13.0, -19.0),
            (28.0, -20.5),
            (46.0, -20.5),
            (62.0, -20.8),
            (75.0, -21.5),
            (83.0, -17.0),
            (87.0, -7.0),
            (89.0, 5.0),
            (88.0, 17.0),
            (81.0, 24.0),
            (70.0, 23.5),
            (58.0, 18.5 - pinch * 0.1),
            (46.0, 15.5 - pinch),
            (34.0, 16.0 - pinch * 0.1),
            (18.0, 18.0),
            (5.0, 12.5),
        ]
        .into_iter()
        .map(|(u, v)| self.at(u, v))
        .collect();
        html! {
            @for (place, (u, v, radius)) in TOES.into_iter().enumerate() {
                @let back = if self.short_toe && place == 0 { 7.0 } else { 0.0 };
                @let (x, y) = self.at(u - back, v);
                circle class="skin" cx=(num(x)) cy=(num(y)) r=(num(radius)) {}
            }
            path class="skin" d=(closed(&outline)) {}
        }
    }

    /// A skin fold from the inner border towards the outer one.
    fn crease(&self, u: f64, from: f64, to: f64, class: &str) -> Markup {
        stroke(class, &bow(self.at(u, from), self.at(u - 5.0, f64::midpoint(from, to)), self.at(u + 1.0, to)))
    }
}

/// The outer border beside a straight edge.
pub fn lateral_border(bend: Bend) -> Markup {
    let sole = Sole { bend, pinch: 0.0, short_toe: false };
    let edge = HEEL.0 + OUTER - 2.0;
    let leaves = HEEL.1 - bend.from - 4.0;
    html! {
        (sole.drawn())
        rect class="edge" x=(num(edge - 6.0)) y="14" width="6" height="122" {}
        @if bend.deg > 0.0 { (arrow((edge - 24.0, leaves), (edge - 8.0, leaves))) }
    }
}

/// The arch of a foot held gently corrected, with its skin folds.
pub fn medial_crease(fine: &[f64], deep: &[f64], pinch: f64) -> Markup {
    let sole = Sole { bend: Bend { from: 30.0, to: 72.0, deg: 10.0 }, pinch, short_toe: false };
    let edge = 15.0;
    html! {
        (sole.drawn())
        @for u in fine { (sole.crease(*u, edge - 0.5, 3.0, "fine")) }
        @for u in deep { (sole.crease(*u, edge - pinch, if pinch > 0.0 { -9.0 } else { -2.0 }, "deep")) }
        @let (x, y) = sole.at(46.0, edge - pinch);
        (arrow((x + 30.0, y + 6.0), (x + 6.0, y + 1.0)))
    }
}

/// The length of the foot, from the heel to the end of the longest toe.
pub fn length() -> Markup {
    let sole = Sole::bent(0.0);
    let (top, bottom) = (HEEL.1 - 102.0, HEEL.1);
    let x = HEEL.0 + 46.0;
    html! {
        (sole.drawn())
        (guide(&line((HEEL.0 - 24.0, top), (x + 6.0, top))))
        (guide(&line((HEEL.0 - 24.0, bottom), (x + 6.0, bottom))))
        (arrow((x, bottom - 30.0), (x, top + 1.0)))
        (arrow((x, top + 30.0), (x, bottom - 1.0)))
        (label((x + 6.0, f64::midpoint(top, bottom) + 4.0), "start", "mm"))
    }
}

/// The angle between the middle of the heel and the middle of the forefoot.
pub fn adduction(deg: f64) -> Markup {
    let sole = Sole { bend: Bend { from: 34.0, to: 62.0, deg }, pinch: 0.0, short_toe: false };
    let turn = (HEEL.0, HEEL.1 - 48.0);
    html! {
        (sole.drawn())
        (guide(&line(HEEL, (HEEL.0, HEEL.1 - 124.0))))
        (stroke("axis", &line(turn, towards(turn, deg, 66.0))))
        (stroke("arc", &arc(turn, 34.0, 0.0, deg)))
        (label(towards(turn, deg / 2.0, 74.0), "middle", &format!("{deg:.0}°")))
    }
}

/// The sole of an atypical foot: short and broad, with one fold from edge to edge and a short great toe.
pub fn atypical() -> Markup {
    let sole = Sole { bend: Bend { from: 30.0, to: 60.0, deg: 14.0 }, pinch: 4.0, short_toe: true };
    html! {
        g transform="translate(2 16) scale(1.12 .86)" {
            (sole.drawn())
            (sole.crease(46.0, 11.5, -20.5, "deep"))
        }
    }
}
