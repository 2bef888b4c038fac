//! A right leg and foot seen from the front and above, toes up: the great toe is on the left.

use super::{
    layer::{finger, guide, label, stroke},
    path::{Bend, Spot, arc, line, num, open, towards},
};
use maud::{Markup, html};

/// The end of the heel, hidden behind the leg.
const HEEL: Spot = (76.0, 124.0);
const TOES: [(f64, f64, f64); 5] =
    [(93.0, -15.0, 9.0), (95.5, -3.0, 5.6), (92.5, 6.0, 5.2), (88.0, 13.5, 4.8), (82.0, 19.0, 4.4)];
const OUTLINE: [Spot; 17] = [
    (-24.0, 18.0),
    (-6.0, 16.5),
    (12.0, 17.0),
    (28.0, 19.0),
    (46.0, 20.5),
    (62.0, 20.8),
    (75.0, 21.5),
    (83.0, 17.0),
    (87.0, 7.0),
    (89.0, -5.0),
    (88.0, -17.0),
    (81.0, -24.0),
    (70.0, -23.5),
    (54.0, -19.0),
    (34.0, -16.5),
    (12.0, -16.5),
    (-24.0, -18.0),
];

fn foot(bend: Bend) -> Markup {
    let outline: Vec<Spot> = OUTLINE.iter().map(|spot| bend.place(*spot, HEEL)).collect();
    html! {
        @for (u, v, radius) in TOES {
            @let (x, y) = bend.place((u, v), HEEL);
            circle class="skin" cx=(num(x)) cy=(num(y)) r=(num(radius)) {}
        }
        path class="skin" d=(open(&outline)) {}
        @for (u, v, radius) in TOES {
            @let (from, to) = (bend.place((u + radius * 0.45, v - radius * 0.4), HEEL), bend.place((u + radius * 0.45, v + radius * 0.4), HEEL));
            (stroke("fine", &line(from, to)))
        }
    }
}

/// The foot turned out under the leg by some degrees, or in if they are below zero.
pub fn turned_out(out_deg: f64, words: &str) -> Markup {
    let bend = Bend { from: 4.0, to: 30.0, deg: out_deg };
    let turn = (HEEL.0, HEEL.1 - 16.0);
    html! {
        (foot(bend))
        (guide(&line((HEEL.0, 148.0), (HEEL.0, 8.0))))
        @if out_deg.abs() > 1.0 {
            (stroke("axis", &line(turn, towards(turn, out_deg, 80.0))))
            (stroke("arc", &arc(turn, 62.0, 0.0, out_deg)))
        }
        @if out_deg < 0.0 { (label((HEEL.0 + 8.0, 20.0), "start", words)) } @else { (label((HEEL.0 - 8.0, 20.0), "end", words)) }
    }
}

/// The head of the talus and the bone in front of it, with a thumb at the outer side; `uncovered_deg` is how far
/// that bone has slipped to the inner side.
pub fn talar_head(uncovered_deg: f64, bend_deg: f64) -> Markup {
    let bend = Bend { from: 34.0, to: 66.0, deg: bend_deg };
    let head = bend.place((38.0, 2.0), HEEL);
    let body = bend.place((20.0, 0.0), HEEL);
    let ahead = -uncovered_deg;
    let (inner, outer) = (12.5, 21.5);
    let (from, to) = (ahead - 52.0, ahead + 52.0);
    let end = |deg: f64, radius: f64| {
        let (x, y) = towards(head, deg, radius);
        format!("{} {}", num(x), num(y))
    };
    let cap = format!(
        "{}L{}A{o} {o} 0 0 0 {}Z",
        arc(head, inner, from, to),
        end(to, outer),
        end(from, outer),
        o = num(outer)
    );
    let tip = towards(head, 72.0, 20.0);
    html! {
        (foot(bend))
        path class="bone" d={ "M" (num(body.0 - 9.0)) " " (num(body.1 + 10.0)) "Q" (num(body.0 - 12.0)) " " (num(body.1 - 4.0)) " " (num(head.0 - 7.0)) " " (num(head.1 + 6.0)) "L" (num(head.0 + 7.0)) " " (num(head.1 + 6.0)) "Q" (num(body.0 + 12.0)) " " (num(body.1 - 4.0)) " " (num(body.0 + 9.0)) " " (num(body.1 + 10.0)) "Z" } {}
        circle class="bone-head" cx=(num(head.0)) cy=(num(head.1)) r="10.5" {}
        path class="bone" d=(cap) {}
        (finger(towards(tip, 72.0, 60.0), tip))
    }
}
