//! Simulated clinics whose true hazards are known.

use crate::rows::{child, clinic, foot, on};
use audit::{CareStage, ChildHistory, DetailLevel, FootHistory, Gap, Measure, MeasureResult, Selection};
use record::Side;

/// Reproducible random numbers: a multiplicative congruential generator (Park and Miller 1988).
pub struct Chance(pub u64);

impl Chance {
    pub fn next(&mut self) -> f64 {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        self.0 as f64 / 2_147_483_647.0
    }

    pub fn exponential(&mut self, per_year: f64) -> i32 {
        (-self.next().ln() / per_year * 365.25).ceil() as i32
    }
}

const RELAPSE: f64 = 0.178;
const DROP_OUT: f64 = 0.10;
const AS_OF: i32 = 3_000;

/// Children braced evenly over 1,500 days; relapse 0.178 a year (the published hazard of the first two
/// years), drop-out 0.10; in children with both feet affected the second foot has the same course as the first with a given
/// probability.
fn simulated(children: usize, both: f64, alike: f64, seed: u64) -> Vec<ChildHistory> {
    let mut chance = Chance(seed);
    (0..children)
        .map(|number| {
            let brace = 60 + (1_440.0 * chance.next()) as i32;
            let gap = brace + chance.exponential(DROP_OUT);
            let relapse = brace + chance.exponential(RELAPSE);
            let other = if chance.next() < alike { relapse } else { brace + chance.exponential(RELAPSE) };
            let dropped = gap <= AS_OF;
            let seen = if dropped { gap } else { AS_OF };
            let one = |side, relapse: i32| {
                Some(FootHistory {
                    first_cast: on(brace - 60).into(),
                    brace: on(brace).into(),
                    relapse: (relapse <= seen).then(|| on(relapse)).into(),
                    ..foot(side)
                })
            };
            let second = chance.next() < both;
            let feet = [one(Side::Right, relapse), if second { one(Side::Left, other) } else { None }];
            ChildHistory {
                brace: on(brace).into(),
                last_seen: on(seen).into(),
                lost: dropped.then(|| Gap { on: on(gap), stage: CareStage::Bracing, came_back: false }),
                ..child(number as u128, feet)
            }
        })
        .collect()
}

fn at_two_years(children: Vec<ChildHistory>, measure: Measure) -> audit::Estimate {
    let answer = MeasureResult::of(
        &clinic(on(AS_OF), children),
        &Selection::default(),
        measure,
        DetailLevel::Overview,
    );
    answer.figures.into_iter().find(|figure| figure.label == "at 2 years").unwrap().estimate
}

fn truth(measure: Measure) -> f64 {
    let years = 730.0 / 365.25;
    match measure {
        Measure::RelapseFree => (-RELAPSE * years).exp(),
        _ => RELAPSE / (RELAPSE + DROP_OUT) * (1.0 - (-(RELAPSE + DROP_OUT) * years).exp()),
    }
}

/// 20,000 children: rounding to whole days changes the true share by 0.0003; tolerance of four standard
/// errors of the estimate.
#[test]
fn the_true_hazards_are_recovered() {
    for measure in [Measure::RelapseFree, Measure::Relapse] {
        let found = at_two_years(simulated(20_000, 0.5, 0.5, 7), measure);
        let error = (found.upper.unwrap() - found.lower.unwrap()) / 3.92;
        assert!(
            (found.value - truth(measure)).abs() < 4.0 * error + 0.0005,
            "{measure:?}: {found:?}, {}",
            truth(measure)
        );
        assert!(error < 0.004, "{error}");
    }
}

/// 400 clinics of 120 children whose two feet always have the same course: intervals that treated feet as
/// independent would contain the truth in only about 83 % (1.96/√2 = 1.386 standard errors).
#[test]
fn intervals_contain_the_truth_if_two_feet_have_the_same_course() {
    for measure in [Measure::RelapseFree, Measure::Relapse] {
        let held = (0..400)
            .filter(|seed| {
                let found = at_two_years(simulated(120, 1.0, 1.0, 1_000 + 77 * seed), measure);
                (found.lower.unwrap()..=found.upper.unwrap()).contains(&truth(measure))
            })
            .count();
        // Binomial of 400 at 0.95: 380, standard deviation 4.4; at 0.83 it would be 334, 7.5.
        assert!((365..=395).contains(&held), "{measure:?}: {held} of 400");
    }
}
