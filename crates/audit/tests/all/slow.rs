//! A slow, plain second implementation on random clinics.

use crate::rows::{child, clinic, foot, on};
use audit::{
    CareStage, Case, Cases, ChildHistory, DetailLevel, EndOfCare, FootHistory, Gap, Measure, MeasureResult,
    Ratio, RatioPair, Selection, difference,
};
use proptest::prelude::*;
use record::Side;
use std::collections::{BTreeMap, BTreeSet};

/// Floating-point sums of some hundred terms added in another order.
const ROUNDING: f64 = 1e-9;
const AS_OF: i32 = 2_000;

fn random_foot(side: Side) -> impl Strategy<Value = Option<FootHistory>> {
    (0_i32..1_200, 10_i32..90, prop::option::of(0_i32..600), any::<bool>(), 0_u16..3, any::<bool>()).prop_map(
        move |(cast, days, relapse, cut, problems, there)| {
            there.then(|| FootHistory {
                first_cast: on(cast).into(),
                brace: (cast % 7 != 0).then(|| on(cast + days)).into(),
                tenotomy: cut.then(|| on(cast + days / 2)).into(),
                relapse: relapse.filter(|_| cast % 7 != 0).map(|after| on(cast + days + after)).into(),
                cast_problems: problems,
                casts: 3 + problems,
                correcting_casts: 3,
                ..foot(side)
            })
        },
    )
}

/// Right and left foot, days seen, days to a drop-out, way of leaving.
type Drawn = (Option<FootHistory>, Option<FootHistory>, i32, Option<i32>, u8);

fn random_clinic() -> impl Strategy<Value = Vec<ChildHistory>> {
    let one = (
        random_foot(Side::Right),
        random_foot(Side::Left),
        0_i32..600,
        prop::option::of(0_i32..900),
        0_u8..8,
    );
    prop::collection::vec(one, 1..40).prop_map(|children| {
        let row = |(number, (right, left, seen, gap, leaving)): (usize, Drawn)| {
            let brace = [right, left].iter().flatten().filter_map(|foot| foot.brace.day()).min();
            let left_on = on(1_300 + seen);
            ChildHistory {
                brace: brace.into(),
                last_seen: on(1_300 + seen).into(),
                lost: brace.zip(gap).map(|(brace, after)| Gap {
                    on: brace + after,
                    stage: CareStage::Bracing,
                    came_back: false,
                }),
                left: match leaving {
                    0 => Some((left_on, EndOfCare::Died)),
                    1 => Some((left_on, EndOfCare::Discharged)),
                    2 => Some((left_on, EndOfCare::Transferred)),
                    _ => None,
                },
                ..child(number as u128, [right, left])
            }
        };
        let rows = children.into_iter().enumerate().map(row);
        rows.filter(|row| row.feet().next().is_some()).collect()
    })
}

/// Sums of each child.
fn by_child(cases: &[Case], of: impl Fn(&Case) -> (f64, f64)) -> Vec<(f64, f64)> {
    let mut sums = BTreeMap::<u32, (f64, f64)>::new();
    for case in cases {
        let (y, x) = of(case);
        let sum = sums.entry(case.child).or_default();
        *sum = (sum.0 + y, sum.1 + x);
    }
    sums.into_values().collect()
}

fn near(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= ROUNDING * (1.0 + expected.abs())
}

/// Product limit from the definition: for every day, who is at risk and who has the event.
fn survival(cases: &[Case], until: i32) -> f64 {
    (0..=until).fold(1.0, |share, day| {
        let at_risk = cases.iter().filter(|case| case.time >= day).count() as f64;
        let events = cases.iter().filter(|case| case.time == day && case.cause == 1).count() as f64;
        if at_risk > 0.0 { share * (1.0 - events / at_risk) } else { share }
    })
}

/// Aalen and Johansen from the definition.
fn incidence(cases: &[Case], cause: u8, until: i32) -> f64 {
    let (mut free, mut sum) = (1.0, 0.0);
    for day in 0..=until {
        let at_risk = cases.iter().filter(|case| case.time >= day).count() as f64;
        let count = |keep: &dyn Fn(&Case) -> bool| {
            cases.iter().filter(|case| case.time == day && keep(case)).count() as f64
        };
        if at_risk > 0.0 {
            sum += free * count(&|case| case.cause == cause) / at_risk;
            free *= 1.0 - count(&|case| case.cause > 0) / at_risk;
        }
    }
    sum
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn cases_are_what_the_definitions_say(children in random_clinic()) {
        let clinic = clinic(on(AS_OF), children);
        let cases = Cases::of(&clinic, &Selection::default(), Measure::Relapse).cases;
        let mut expected = Vec::new();
        for child in &clinic.children {
            for foot in child.feet() {
                let Some(brace) = foot.brace.day() else { continue };
                // Day by day: what happens first?
                let mut found = (AS_OF, 0);
                for day in 0..=AS_OF {
                    let today = brace + day;
                    if today > on(AS_OF) { break; }
                    let cause = if foot.relapse.day() == Some(today) { 1 }
                        else if child.lost.is_some_and(|gap| gap.on == today) { 2 }
                        else if child.left.is_some_and(|(on, why)| on == today && why != EndOfCare::Discharged) { 3 }
                        else if child.left.is_some_and(|(on, why)| on == today && why == EndOfCare::Discharged) { 9 }
                        else { 0 };
                    found = (day, if cause == 9 { 0 } else { cause });
                    if cause > 0 { break; }
                }
                expected.push(found);
            }
        }
        let found: Vec<_> = cases.iter().map(|case| (case.time, i32::from(case.cause))).collect();
        for (found, expected) in found.iter().zip(&expected) {
            prop_assert!(*found == (expected.0, i32::from(expected.1 as u8)), "{found:?} {expected:?}");
        }
        prop_assert_eq!(found.len(), expected.len());
    }

    #[test]
    fn shares_and_rates_and_their_errors(children in random_clinic()) {
        let clinic = clinic(on(AS_OF), children);
        for measure in [Measure::Tenotomy, Measure::CastProblems, Measure::DaysCasting] {
            let cases = Cases::of(&clinic, &Selection::default(), measure).cases;
            let ratio = Ratio::of(&cases);
            let sums = by_child(&cases, |case| (case.value.into(), case.of.into()));
            let (y, x) = sums.iter().fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
            prop_assert_eq!(ratio.children, sums.len());
            prop_assert_eq!(ratio.n, cases.len());
            if x > 0.0 {
                let value = y / x;
                prop_assert!(near(ratio.value().unwrap(), value));
                if sums.len() > 1 {
                    let c = sums.len() as f64;
                    let squares: f64 = sums.iter().map(|(y, x)| (y - value * x).powi(2)).sum();
                    let error = (c / (c - 1.0) * squares).sqrt() / x;
                    prop_assert!((ratio.std_err().unwrap() - error).abs() < 1e-6 * (1.0 + error));
                }
            }
        }
    }

    #[test]
    fn curves_agree_with_their_definitions(children in random_clinic()) {
        let clinic = clinic(on(AS_OF), children);
        for (measure, causes) in [(Measure::RelapseFree, 0), (Measure::Relapse, 3), (Measure::Correction, 4)] {
            let cases = Cases::of(&clinic, &Selection::default(), measure).cases;
            let answer = MeasureResult::of(&clinic, &Selection::default(), measure, DetailLevel::Overview);
            for day in [0, 30, 200, 365, 700, 1_500] {
                let at = |curve: usize, before: f64| answer.curves[curve].at(day.into()).map_or(before, |step| step.share);
                if cases.is_empty() { continue; }
                if causes == 0 {
                    prop_assert!(near(at(0, 1.0), survival(&cases, day)));
                }
                for cause in 1..=causes {
                    prop_assert!(near(at(cause as usize - 1, 0.0), incidence(&cases, cause, day)));
                }
            }
        }
    }

    /// Two identical feet of a child add no information: doubling every foot within its child changes no
    /// interval.
    #[test]
    fn a_second_foot_like_the_first_adds_no_certainty(children in random_clinic()) {
        let single: Vec<ChildHistory> = children.into_iter().map(|mut child| {
            if child.feet[0].is_none() { child.feet.swap(0, 1); }
            child.feet[1] = None;
            child
        }).collect();
        let double: Vec<ChildHistory> = single.iter().cloned().map(|mut child| {
            child.feet[1] = child.feet[0];
            child
        }).collect();
        for measure in [Measure::Tenotomy, Measure::DaysCasting, Measure::RelapseFree, Measure::Relapse] {
            let ask = |children: &[ChildHistory]| MeasureResult::of(&clinic(on(AS_OF), children.to_vec()), &Selection::default(), measure, DetailLevel::Overview);
            let (one, two) = (ask(&single), ask(&double));
            prop_assert_eq!(two.counted.n, 2 * one.counted.n);
            for figure in &one.figures {
                // At the horizons of the doubled clinic more feet are under observation, never fewer.
                let Some(same) = two.figures.iter().find(|other| other.label == figure.label) else {
                    return Err(TestCaseError::fail(format!("{} is gone", figure.label)));
                };
                if figure.label.contains("quartile") || figure.label == "median" { continue; }
                let (found, twice) = (figure.estimate, same.estimate);
                prop_assert!(near(twice.value, found.value), "{measure:?} {figure:?} {same:?}");
                for (a, b) in [(found.lower, twice.lower), (found.upper, twice.upper)] {
                    match (a, b) {
                        (Some(a), Some(b)) => prop_assert!((a - b).abs() < 1e-6 * (1.0 + a.abs()), "{measure:?} {figure:?} {same:?}"),
                        (a, b) => prop_assert_eq!(a.is_some(), b.is_some()),
                    }
                }
            }
        }
    }

    #[test]
    fn the_order_of_children_changes_nothing(children in random_clinic(), seed in any::<u64>()) {
        let mut shuffled = children.clone();
        let count = shuffled.len();
        for place in 0..count {
            shuffled.swap(place, (seed as usize).wrapping_mul(place + 7) % count);
        }
        for measure in [Measure::Tenotomy, Measure::RelapseFree, Measure::Relapse, Measure::DropOut] {
            let ask = |children: Vec<ChildHistory>| MeasureResult::of(&clinic(on(AS_OF), children), &Selection::default(), measure, DetailLevel::Full);
            let (one, two) = (ask(children.clone()), ask(shuffled.clone()));
            for (a, b) in one.figures.iter().zip(&two.figures) {
                let (a, b) = (a.estimate, b.estimate);
                prop_assert!(near(a.value, b.value));
                prop_assert!(a.lower.zip(b.lower).is_none_or(|(a, b)| (a - b).abs() < 1e-7));
            }
            prop_assert_eq!(one.change.sentence, two.change.sentence);
        }
    }

    #[test]
    fn the_difference_of_two_years(values in prop::collection::vec((0_u32..12, 0_u8..2, any::<bool>()), 4..60)) {
        let mut values = values;
        values.sort_by_key(|(child, _, _)| *child);
        let pairs: Vec<RatioPair> = values.iter().map(|(child, y, late)| {
            let one = (f64::from(*y), 1.0);
            if *late { RatioPair { child: *child, first: (0.0, 0.0), second: one } } else { RatioPair { child: *child, first: one, second: (0.0, 0.0) } }
        }).collect();
        let mean = |late: bool| {
            let of: Vec<f64> = values.iter().filter(|one| one.2 == late).map(|one| f64::from(one.1)).collect();
            (of.iter().sum::<f64>() / of.len() as f64, of.len() as f64)
        };
        let ((before, n1), (after, n2)) = (mean(false), mean(true));
        let Some(found) = difference(&pairs) else { return Ok(()) };
        prop_assert!(near(found.value, after - before));
        let children: BTreeSet<u32> = values.iter().map(|one| one.0).collect();
        let mut sum = 0.0;
        for child in &children {
            let of = |late: bool, mean: f64, n: f64| -> f64 {
                values.iter().filter(|one| one.0 == *child && one.2 == late).map(|one| (f64::from(one.1) - mean) / n).sum()
            };
            sum += (of(true, after, n2) - of(false, before, n1)).powi(2);
        }
        let c = children.len() as f64;
        let error = (c / (c - 1.0) * sum).sqrt();
        let half = 0.5 * (found.upper - found.lower);
        let df = [false, true].map(|late| values.iter().filter(|one| one.2 == late).map(|one| one.0).collect::<BTreeSet<_>>().len());
        let t = statistics::special::t_quantile(0.975, df[0].min(df[1]) as f64 - 1.0);
        prop_assert!((half - t * error).abs() < 1e-7 * (1.0 + half));
    }
}
