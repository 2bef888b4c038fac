//! A logistic regression on the clinic's own feet: the chance of a tenotomy from plain facts of a foot.
//!
//! Except for one of its facts, the chance by the signs, it does not use the natural history, and so finds the facts
//! by which this clinic decides: score, number of casts, age.

use super::line::Line;
use crate::{SeenFoot, halves};
use record::Sign;

pub(crate) const FACTS: usize = 9;
/// Prior means: it starts as the sign model, a little flatter. Assumed.
const MEANS: [f64; FACTS] = [0.0, 1.4, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0];
/// Prior standard deviations; assumed.
const SPREADS: [f64; FACTS] = [1.0, 0.6, 0.6, 0.6, 0.6, 0.8, 0.5, 0.5, 0.8];
/// Plain facts of a foot at a forecast, scaled to about −1 to 1. A missing fact has the middle value 0, so that it
/// neither raises nor lowers the chance.
pub(crate) type Facts = [f64; FACTS];

/// The facts as of a day.
pub(crate) fn facts(signs_logit: f64, born_day: Option<i32>, foot: &SeenFoot, as_of: i32) -> Facts {
    let seen: Vec<_> = foot.visits.iter().filter(|visit| visit.day <= as_of).collect();
    let last = |chosen: &[Sign]| seen.iter().rev().find_map(|visit| halves(&visit.signs, chosen));
    let scaled =
        |score: Option<u8>, middle: f64| score.map_or(0.0, |score| (f64::from(score) - middle) / middle);
    let first = seen.first().and_then(|visit| halves(&visit.signs, &Sign::ALL));
    let age = born_day.map_or(0.0, |born| (f64::from(as_of - born) / 90.0 - 1.0).clamp(-1.0, 2.0));
    [
        1.0,
        signs_logit.clamp(-4.0, 4.0) / 2.0,
        scaled(last(&Sign::ALL[3..]), 3.0),
        scaled(last(&[Sign::RigidEquinus]), 1.0),
        scaled(last(&Sign::ALL[..3]), 3.0),
        (1.0 + seen.len() as f64).ln() - 1.4,
        age,
        scaled(first, 6.0),
        f64::from(u8::from(foot.complex || foot.other_cause)),
    ]
}

/// The regression before any foot.
pub(crate) const fn own_line() -> Line<FACTS> {
    Line::new(MEANS, SPREADS)
}
