//! A right leg and foot seen from the outer side, toes to the right.

use super::{
    layer::{arrow, finger, guide, label, stroke},
    path::{Spot, arc, closed, line, num, open, towards, turned},
};
use maud::{Markup, html};

/// The ankle.
const ANKLE: Spot = (52.0, 75.0);
/// From the ankle down to the sole of a foot at a right angle.
const SOLE: f64 = 33.0;

/// The foot in its own place at a right angle, from the ankle: from the heel cord by heel and toes to the instep.
const FOOT: [Spot; 16] = [
    (-17.0, 3.0),
    (-23.0, 12.0),
    (-24.0, 22.0),
    (-19.0, 31.0),
    (-9.0, 33.5),
    (6.0, 31.5),
    (22.0, 31.5),
    (40.0, 33.5),
    (54.0, 33.5),
    (65.0, 33.0),
    (69.0, 28.0),
    (65.0, 22.0),
    (54.0, 17.0),
    (40.0, 8.0),
    (26.0, -3.0),
    (18.0, -13.0),
];

fn leg_front() -> [Spot; 3] {
    [(15.0, -30.0), (18.0, -52.0), (20.0, -86.0)]
}

fn leg_back() -> [Spot; 4] {
    [(-22.0, -86.0), (-23.0, -58.0), (-17.0, -34.0), (-13.0, -14.0)]
}

/// Leg and foot with the foot turned up by some degrees, or down if they are below zero.
fn limb(up_deg: f64, foot: &[Spot], toes: &[Spot]) -> Markup {
    let here = |(x, y): Spot| (ANKLE.0 + x, ANKLE.1 + y);
    let mut outline: Vec<Spot> = leg_back().into_iter().map(here).collect();
    outline.extend(foot.iter().map(|point| turned(here(*point), ANKLE, -up_deg)));
    outline.extend(leg_front().into_iter().map(here));
    let toe = |x: f64, y: f64| turned(here((x, y)), ANKLE, -up_deg);
    html! {
        path class="skin" d={ (open(&outline)) } {}
        @for &(x, y) in toes { (stroke("fine", &open(&[toe(x + 2.0, y + 5.0), toe(x - 2.0, y + 2.5), toe(x + 0.5, y - 1.0)]))) }
        (stroke("fine", &arc(here((0.0, -1.0)), 6.0, -60.0, 130.0)))
    }
}

fn whole(up_deg: f64) -> Markup {
    limb(up_deg, &FOOT, &[(64.0, 27.0), (57.0, 25.0), (50.0, 24.5)])
}

/// The foot brought up as far as it goes, beside the right angle; `push` shows the hand under the forefoot.
pub fn brought_up(up_deg: f64, words: &str) -> Markup {
    let sole_at = |x: f64| turned((ANKLE.0 + x, ANKLE.1 + SOLE), ANKLE, -up_deg);
    let under = turned((ANKLE.0 + 46.0, ANKLE.1 + SOLE + 3.0), ANKLE, -up_deg);
    let from = (under.0 + 2.0, under.1 + 24.0);
    let heel = (ANKLE.0 - 8.0, ANKLE.1 + SOLE);
    html! {
        (whole(up_deg))
        (guide(&line((ANKLE.0 - 30.0, heel.1), (148.0, heel.1))))
        (guide(&line((ANKLE.0, 4.0), (ANKLE.0, ANKLE.1))))
        @if up_deg.abs() > 4.0 { (stroke("axis", &line(sole_at(-26.0), sole_at(74.0)))) }
        @if up_deg > -10.0 { (arrow(from, under)) } @else { (arrow((from.0 - 4.0, from.1 - 4.0), (under.0, under.1 + 2.0))) }
        @if up_deg < -4.0 { (label((146.0, heel.1 - 6.0), "end", words)) } @else { (label((24.0, heel.1 + 15.0), "start", words)) }
    }
}

/// The heel bone within the heel, and a finger at the corner of the heel; `up` is how far the bone is drawn up.
pub fn empty_heel(up: f64) -> Markup {
    let scale = 1.45;
    let here = |(x, y): Spot| (74.0 + x * scale, 58.0 + y * scale);
    let mut outline: Vec<Spot> =
        [(-25.0, -50.0), (-21.0, -34.0), (-15.0, -14.0)].into_iter().map(here).collect();
    outline.extend(FOOT.iter().take(7).map(|point| here(*point)));
    outline.push(here((60.0, 33.0)));
    outline.push(here((60.0, -40.0)));
    let bone: Vec<Spot> = [
        (-18.0, 14.0),
        (-19.0, 21.0),
        (-15.0, 27.0),
        (-7.0, 28.5),
        (4.0, 25.0),
        (15.0, 23.0),
        (21.0, 18.0),
        (19.0, 11.0),
        (10.0, 8.0),
        (2.0, 10.0),
        (-8.0, 9.0),
    ]
    .into_iter()
    .map(|(x, y)| turned(here((x + 1.5 + up * 0.6, y - up)), here((20.0, 16.0 - up)), up * 1.1))
    .collect();
    let corner = here((-20.5, 29.5));
    let tip = (corner.0 - 6.4, corner.1 + 6.4);
    html! {
        path class="skin" d=(open(&outline)) {}
        path class="bone" d=(closed(&bone)) {}
        (finger((tip.0 - 40.0, tip.1 + 40.0), tip))
        (label((146.0, 138.0), "end", "toes →"))
        @if up > 4.0 {
            @let near = (corner.0 + 3.0, corner.1 - 3.0);
            (stroke("gap", &line(near, towards(near, 45.0, up * 1.45))))
        }
    }
}

/// An angle of deformity: how far the foot stays below the right angle.
pub fn equinus(down_deg: f64) -> Markup {
    let far = (ANKLE.0 + 4.0, ANKLE.1 + 4.0);
    html! {
        (whole(-down_deg))
        (guide(&line(far, (148.0, far.1))))
        (stroke("axis", &line(far, towards(far, 90.0 + down_deg, 84.0))))
        (stroke("arc", &arc(far, 52.0, 90.0, 90.0 + down_deg)))
        (label(towards(far, 90.0 + down_deg / 2.0, 72.0), "middle", &format!("{down_deg:.0}°")))
    }
}

/// An atypical foot: rigid equinus, every metatarsal bent down, the great toe bent up, a deep fold above the heel.
pub fn atypical() -> Markup {
    let mut foot = FOOT;
    let bent: [(usize, Spot); 12] = [
        (4, (-9.0, 33.0)),
        (5, (4.0, 27.0)),
        (6, (14.0, 25.0)),
        (7, (25.0, 33.0)),
        (8, (34.0, 46.0)),
        (9, (46.0, 49.0)),
        (10, (60.0, 41.0)),
        (11, (58.0, 32.5)),
        (12, (48.0, 34.0)),
        (13, (39.0, 19.0)),
        (14, (26.0, 0.0)),
        (15, (18.0, -12.0)),
    ];
    for (place, spot) in bent {
        if let Some(point) = foot.get_mut(place) {
            *point = spot;
        }
    }
    let here = |x: f64, y: f64| turned((ANKLE.0 + x, ANKLE.1 + y), ANKLE, 22.0);
    html! {
        (limb(-22.0, &foot, &[]))
        (stroke("deep", &open(&[here(-19.5, 4.0), here(-12.0, 6.0), here(-5.0, 4.0)])))
        (stroke("deep", &open(&[here(8.0, 26.0), here(10.0, 19.0), here(8.0, 13.0)])))
        circle class="mark-at" cx=(num(here(54.0, 40.0).0)) cy=(num(here(54.0, 40.0).1)) r="14" {}
    }
}
