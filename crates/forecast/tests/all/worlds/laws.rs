//! The eight laws.

use super::World;
use super::clinic::{AtDecision, Hidden, Law, between, happens, logistic, normal, unit};
use rand::rngs::StdRng;
use record::HalfPoint;

/// How much stiffer each sign is than the foot.
const SIGNS: [f64; 6] = [0.9, 0.85, 1.0, 1.1, 1.25, 1.05];

pub fn law(world: World) -> Law {
    match world {
        World::SignsApart => signs_apart(),
        World::HeavyTails => heavy_tails(),
        World::OtherTenotomy => other_tenotomy(),
        World::Drift => drift(),
        World::TwoRaters => two_raters(),
        World::ComplexTenth => complex_tenth(),
        World::Slow => slow(),
        World::Fast => fast(),
    }
}

fn point(seen: f64, half: f64, one: f64) -> HalfPoint {
    match seen {
        seen if seen > one => HalfPoint::One,
        seen if seen > half => HalfPoint::Half,
        _ => HalfPoint::Zero,
    }
}

fn plain_score(foot: &Hidden, _: usize, _: bool, rng: &mut StdRng) -> [HalfPoint; 6] {
    foot.stiff.map(|stiff| point(stiff + 0.07 * normal(rng), 0.28, 0.62))
}

fn stiffness(rng: &mut StdRng) -> [f64; 6] {
    let foot = 0.55 + 0.55 * unit(rng);
    SIGNS.map(|sign| (foot * sign + 0.1 * normal(rng)).clamp(0.05, 1.5))
}

/// Each sign has its own rate, a little alike within a foot.
fn foot_of_signs(rng: &mut StdRng) -> Hidden {
    let common = 0.25 * normal(rng);
    let rate = std::array::from_fn(|sign| {
        let middle = if sign < 3 { 0.30 } else { 0.20 };
        middle * (common + 0.45 * normal(rng)).exp()
    });
    Hidden { stiff: stiffness(rng), rate, complex: false, noted: false }
}

/// Every sign loses its own share of what is left.
fn decay(foot: &mut Hidden, rng: &mut StdRng) {
    for (stiff, rate) in foot.stiff.iter_mut().zip(foot.rate) {
        *stiff *= (-rate * (0.6 + 0.8 * unit(rng))).exp();
    }
}

fn weekly(_: usize, rng: &mut StdRng) -> i32 {
    if happens(0.12, rng) { 14 } else { 7 }
}

fn by_score(_: usize, at: AtDecision, rng: &mut StdRng) -> bool {
    happens(logistic(-0.5 + 0.9 * (f64::from(at.hindfoot) - 1.5) + 0.8 * f64::from(at.equinus)), rng)
}

fn signs_apart() -> Law {
    Law {
        arrival: (1, 8),
        bilateral: 0.4,
        foot: foot_of_signs,
        resembling: 0.5,
        interval: weekly,
        cast: decay,
        score: plain_score,
        ready: |_, at, rng| at.midfoot == 0 || (at.midfoot == 1 && happens(0.6, rng)),
        cut: by_score,
        theatre: |_, day, rng| day + 7 * between(0, 1, rng),
        brace: |_, cut, rng| if cut { 21 + 7 * i32::from(happens(0.15, rng)) } else { between(0, 7, rng) },
        slips: 0.03,
        decision_recorded: true,
    }
}

/// Student's t with three degrees of freedom.
fn student(rng: &mut StdRng) -> f64 {
    let chi: f64 = (0..3).map(|_| normal(rng).powi(2)).sum();
    normal(rng) / (chi / 3.0).sqrt()
}

fn heavy_tails() -> Law {
    Law {
        foot: |rng| {
            // Casts until the stiffest sign is gone: 5, with heavy tails to both sides.
            let casts = (5.0 * (0.3 * student(rng)).exp()).clamp(1.0, 40.0);
            Hidden { stiff: stiffness(rng), rate: [1.0 / casts; 6], complex: false, noted: false }
        },
        cast: |foot, rng| {
            // In one cast of seven nothing moves.
            if happens(1.0 / 7.0, rng) {
                return;
            }
            for (stiff, rate) in foot.stiff.iter_mut().zip(foot.rate) {
                *stiff = (*stiff - rate).max(0.0);
            }
        },
        interval: |_, rng| between(5, 9, rng),
        ready: |_, at, _| at.midfoot <= 1,
        resembling: 0.7,
        decision_recorded: false,
        ..signs_apart()
    }
}

fn other_tenotomy() -> Law {
    Law {
        cut: |_, at, rng| {
            let logit = -0.6 + 0.55 * (f64::from(at.casts) - 5.0) + 0.012 * (f64::from(at.age_days) - 90.0);
            happens(logistic(logit), rng)
        },
        // The list is every second Monday, never on the day of the decision.
        theatre: |_, day, _| day + 14 - day.rem_euclid(14),
        brace: |_, cut, rng| if cut { 14 + 7 * between(0, 2, rng) } else { 7 },
        decision_recorded: false,
        ..signs_apart()
    }
}

/// The foot at which the clinic changes.
const CHANGE: usize = 150;

fn drift() -> Law {
    Law {
        interval: |number, rng| {
            let days = if number < CHANGE { 7 } else { 10 };
            if happens(0.1, rng) { 2 * days } else { days }
        },
        ready: |number, at, rng| match number {
            ..CHANGE => at.midfoot <= 1 || (at.midfoot == 2 && happens(0.5, rng)),
            _ => at.midfoot == 0,
        },
        cut: |number, at, rng| {
            let habit = if number < CHANGE { 2.0 } else { -0.3 };
            happens(logistic(habit + 0.7 * (f64::from(at.hindfoot) - 2.0)), rng)
        },
        theatre: |number, day, rng| day + if number < CHANGE { 0 } else { between(7, 21, rng) },
        ..signs_apart()
    }
}

fn two_raters() -> Law {
    Law {
        score: |foot, _, severe, rng| {
            foot.stiff.map(|stiff| {
                let seen = stiff + 0.08 * normal(rng);
                // The severe rater hardly uses the half point.
                if severe { point(seen, 0.22, 0.34) } else { point(seen, 0.36, 0.8) }
            })
        },
        ready: |_, at, rng| at.midfoot == 0 || (at.midfoot == 1 && happens(0.4, rng)),
        ..signs_apart()
    }
}

fn complex_tenth() -> Law {
    Law {
        foot: |rng| {
            let mut foot = foot_of_signs(rng);
            if happens(0.1, rng) {
                foot.complex = true;
                foot.noted = happens(0.5, rng);
                foot.rate = foot.rate.map(|rate| 0.35 * rate);
                foot.stiff = foot.stiff.map(|stiff| (stiff + 0.2).min(1.5));
            }
            foot
        },
        cut: |number, at, rng| at.complex || by_score(number, at, rng),
        slips: 0.12,
        ..signs_apart()
    }
}

fn slow() -> Law {
    Law {
        arrival: (4, 16),
        foot: |rng| {
            let mut foot = foot_of_signs(rng);
            foot.rate = foot.rate.map(|rate| 0.6 * rate);
            foot
        },
        interval: |_, rng| match unit(rng) {
            u if u < 0.6 => 14,
            u if u < 0.85 => 21,
            _ => 28,
        },
        theatre: |_, day, rng| day + 7 * between(1, 7, rng),
        brace: |_, cut, rng| if cut { between(28, 49, rng) } else { between(7, 35, rng) },
        decision_recorded: false,
        ..signs_apart()
    }
}

fn fast() -> Law {
    Law {
        foot: |rng| {
            let mut foot = foot_of_signs(rng);
            foot.rate = foot.rate.map(|rate| 1.4 * rate);
            foot
        },
        interval: |_, rng| between(3, 4, rng),
        ready: |_, at, rng| at.midfoot <= 2 || (at.midfoot == 3 && happens(0.5, rng)),
        cut: |_, at, rng| happens(logistic(1.1 + 0.3 * (f64::from(at.hindfoot) - 3.0)), rng),
        theatre: |_, day, _| day,
        brace: |_, cut, rng| if cut { 14 + 7 * i32::from(happens(0.3, rng)) } else { between(0, 3, rng) },
        ..signs_apart()
    }
}
