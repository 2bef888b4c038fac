//! How a clinic of any law treats a child, from the first cast to the brace.

use super::FEET;
use forecast::{SeenChild, SeenFoot, SeenVisit};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use record::{HalfPoint, Side};

/// Visits after which a foot is braced whatever it looks like.
const LAST_VISIT: usize = 40;

/// What is true of a foot.
#[derive(Debug, Clone)]
pub struct Hidden {
    /// Stiffness of each sign, about 0 to 1.5.
    pub stiff: [f64; 6],
    /// How quickly each yields; the law says what that means.
    pub rate: [f64; 6],
    /// Complex, whether or not anybody writes it.
    pub complex: bool,
    /// Recorded as complex.
    pub noted: bool,
}

/// Where a foot is when the clinic decides.
#[derive(Debug, Clone, Copy)]
pub struct AtDecision {
    /// Midfoot and hindfoot as scored, half points.
    pub midfoot: u8,
    pub hindfoot: u8,
    /// Rigid equinus as scored, half points.
    pub equinus: u8,
    pub casts: u16,
    pub age_days: i32,
    pub complex: bool,
}

/// The law of a clinic; every function may depend on how many feet came before.
pub struct Law {
    /// Days from one child to the next, at least and at most.
    pub arrival: (i32, i32),
    /// Share of children with both feet.
    pub bilateral: f64,
    pub foot: fn(&mut StdRng) -> Hidden,
    /// The second foot of a child, by the first.
    pub resembling: f64,
    pub interval: fn(usize, &mut StdRng) -> i32,
    pub cast: fn(&mut Hidden, &mut StdRng),
    pub score: fn(&Hidden, usize, bool, &mut StdRng) -> [HalfPoint; 6],
    pub ready: fn(usize, AtDecision, &mut StdRng) -> bool,
    pub cut: fn(usize, AtDecision, &mut StdRng) -> bool,
    /// Day of the tenotomy, from the day of the decision.
    pub theatre: fn(usize, i32, &mut StdRng) -> i32,
    /// Days from the tenotomy, or else from the decision, to the brace.
    pub brace: fn(usize, bool, &mut StdRng) -> i32,
    /// Chance that a cast slips, so that it does nothing; half of it is written.
    pub slips: f64,
    /// Whether the decision for a tenotomy is recorded when it is made.
    pub decision_recorded: bool,
}

pub fn unit(rng: &mut StdRng) -> f64 {
    rng.random()
}

pub fn happens(chance: f64, rng: &mut StdRng) -> bool {
    unit(rng) < chance
}

pub fn normal(rng: &mut StdRng) -> f64 {
    let (radius, angle) = (1.0 - unit(rng), unit(rng));
    (-2.0 * radius.ln()).sqrt() * (std::f64::consts::TAU * angle).cos()
}

pub fn between(least: i32, most: i32, rng: &mut StdRng) -> i32 {
    least + (unit(rng) * f64::from(most - least + 1)) as i32
}

pub fn logistic(logit: f64) -> f64 {
    1.0 / (1.0 + (-logit).exp())
}

pub fn children(law: &Law, seed: u64) -> Vec<SeenChild> {
    let mut rng = StdRng::seed_from_u64(seed);
    let (mut children, mut feet, mut day) = (Vec::new(), 0, 0);
    while feet < FEET {
        day += between(law.arrival.0, law.arrival.1, &mut rng);
        let child = treat(law, feet, day, &mut rng);
        feet += child.feet.len();
        children.push(child);
    }
    children
}

fn sides(law: &Law, rng: &mut StdRng) -> Vec<Side> {
    if happens(law.bilateral, rng) {
        vec![Side::Right, Side::Left]
    } else {
        vec![if happens(0.5, rng) { Side::Right } else { Side::Left }]
    }
}

fn hidden(law: &Law, count: usize, rng: &mut StdRng) -> Vec<Hidden> {
    let first = (law.foot)(rng);
    let mut feet = vec![first.clone()];
    if count > 1 {
        let mut second = (law.foot)(rng);
        for sign in 0..6 {
            let blend = |one: f64, other: f64| law.resembling * one + (1.0 - law.resembling) * other;
            second.stiff[sign] = blend(first.stiff[sign], second.stiff[sign]);
            second.rate[sign] = blend(first.rate[sign].ln(), second.rate[sign].ln()).exp();
        }
        (second.complex, second.noted) = (first.complex, first.noted);
        feet.push(second);
    }
    feet
}

fn treat(law: &Law, number: usize, first: i32, rng: &mut StdRng) -> SeenChild {
    let age = between(5, 90, rng);
    let born = first - age;
    let sides = sides(law, rng);
    let mut truths = hidden(law, sides.len(), rng);
    let mut feet: Vec<SeenFoot> = sides.into_iter().map(SeenFoot::unseen).collect();
    let mut cuts = vec![false; feet.len()];
    let mut slipped = vec![false; feet.len()];
    let mut day = first;
    while feet.iter().any(|foot| foot.ready_day.is_none()) {
        let rater = happens(0.5, rng);
        for (place, foot) in feet.iter_mut().enumerate().filter(|(_, foot)| foot.ready_day.is_none()) {
            let truth = &mut truths[place];
            foot.complex = truth.noted;
            let signs = (law.score)(truth, number, rater, rng);
            let at = at_decision(&signs, foot.casts, day - born, truth.complex);
            let begun = !foot.visits.is_empty() || at.midfoot <= 1;
            let ready = (begun && (law.ready)(number, at, rng)) || foot.visits.len() + 1 == LAST_VISIT;
            foot.visits.push(SeenVisit {
                day,
                signs: signs.map(Some),
                cast: !ready,
                slipped: slipped[place] && happens(0.5, rng),
                ..SeenVisit::default()
            });
            if ready {
                foot.ready_day = Some(day);
                cuts[place] = (law.cut)(number, at, rng);
            } else {
                foot.casts += 1;
                slipped[place] = happens(law.slips, rng);
                if !slipped[place] {
                    (law.cast)(truth, rng);
                }
            }
        }
        day += (law.interval)(number, rng).max(1);
    }
    end(law, number, &mut feet, &cuts, rng);
    let brace = feet.iter().filter_map(|foot| foot.brace_day).max().unwrap();
    SeenChild { born_day: Some(born), feet, last_day: brace, ..SeenChild::unseen() }
}

/// Tenotomy and brace; the brace waits for both feet.
fn end(law: &Law, number: usize, feet: &mut [SeenFoot], cuts: &[bool], rng: &mut StdRng) {
    let mut braced = Vec::new();
    for (foot, cut) in feet.iter_mut().zip(cuts) {
        let ready = foot.ready_day.unwrap();
        let theatre = (law.theatre)(number, ready, rng);
        let from = if *cut { theatre } else { ready };
        foot.tenotomy_day = cut.then_some(theatre);
        foot.tenotomy_decided = law.decision_recorded.then_some(*cut);
        foot.casts += u16::from(*cut) + ((from - ready) as u16).div_ceil(7);
        braced.push(from + (law.brace)(number, *cut, rng));
    }
    let last = braced.iter().copied().max().unwrap();
    for (foot, own) in feet.iter_mut().zip(braced) {
        foot.brace_day = Some(last);
        foot.casts += ((last - own) as u16).div_ceil(21);
    }
}

fn at_decision(signs: &[HalfPoint; 6], casts: u16, age_days: i32, complex: bool) -> AtDecision {
    let halves = |chosen: &[HalfPoint]| chosen.iter().map(|sign| sign.halves().0).sum();
    AtDecision {
        midfoot: halves(&signs[..3]),
        hindfoot: halves(&signs[3..]),
        equinus: signs[4].halves().0,
        casts,
        age_days,
        complex,
    }
}
