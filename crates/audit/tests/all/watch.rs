//! A share monitored child by child.

use crate::rows::{child, clinic, foot, on};
use audit::{
    ChildHistory, FootHistory, Measure, Selection,
    watch::{ODDS, Watch, WatchDesign, own_share},
};
use record::Side;

const AS_OF: i32 = 3_000;
const DOUBLED: WatchDesign = WatchDesign { acceptable: 0.2, odds_ratio: 2.0, every: 100 };

fn cut(number: u128, brace: i32, feet: [Option<bool>; 2]) -> ChildHistory {
    let of = |side, cut: bool| FootHistory {
        first_cast: on(brace - 60).into(),
        brace: on(brace).into(),
        tenotomy: cut.then(|| on(brace - 21)).into(),
        ..foot(side)
    };
    let feet = [feet[0].map(|cut| of(Side::Right, cut)), feet[1].map(|cut| of(Side::Left, cut))];
    ChildHistory { brace: on(brace).into(), ..child(number, feet) }
}

fn watch(children: Vec<ChildHistory>, measure: Measure, design: WatchDesign) -> Result<Watch, String> {
    Watch::of(&clinic(on(AS_OF), children), &Selection::default(), measure, design)
}

/// Odds 0.2/0.8 = 1/4 doubled are 1/2, a share of 1/3. A step up is ln 2 − ln(0.8 + 0.4) = ln(5/3), a step
/// down −ln(6/5); the sum never falls below 0.
#[test]
fn steps_by_hand() {
    assert!((DOUBLED.to_find() - 1.0 / 3.0).abs() < 1e-12);
    let outcomes = [false, true, true, false];
    let children =
        (0..).zip(outcomes).map(|(n, yes)| cut(n + 1, 100 + 10 * n as i32, [Some(yes), None])).collect();
    let watch = watch(children, Measure::Tenotomy, DOUBLED).unwrap();
    let up = (5.0_f64 / 3.0).ln();
    let sums = [0.0, up, 2.0 * up, 2.0 * up - (6.0_f64 / 5.0).ln()];
    for (point, sum) in watch.points.iter().zip(sums) {
        assert!((point.sum - sum).abs() < 1e-12, "{point:?} {sum}");
    }
    assert_eq!((watch.points.len(), watch.events, watch.left_out), (4, 2, 0));
}

#[test]
fn two_feet_of_a_child_count_once_by_the_worse_in_the_order_of_days() {
    let children = vec![
        cut(2, 300, [Some(false), Some(true)]),
        cut(1, 400, [Some(false), Some(false)]),
        cut(3, 200, [Some(true), Some(true)]),
    ];
    let watch = watch(children, Measure::Tenotomy, DOUBLED).unwrap();
    let outcomes: Vec<_> = watch.points.iter().map(|point| (point.on, point.event)).collect();
    assert_eq!(outcomes, [(on(200), true), (on(300), true), (on(400), false)]);
}

/// The limit gives the chosen average run length by the chart of `statistics`; detection takes fewer children
/// than a false alarm.
#[test]
fn the_limit_gives_the_false_alarms_that_were_chosen() {
    let one = || vec![cut(1, 100, [Some(true), None])];
    for odds_ratio in ODDS {
        for every in audit::watch::EVERY {
            let watch =
                watch(one(), Measure::Tenotomy, WatchDesign { odds_ratio, every, ..DOUBLED }).unwrap();
            let chart = statistics::control::BernoulliCusum::new(odds_ratio, watch.limit).unwrap();
            let length = chart.average_run_length(0.2, 0.2).unwrap();
            assert!((length / f64::from(every) - 1.0).abs() < 0.01, "{odds_ratio} {every}: {length}");
            assert!(watch.found_after < length, "{odds_ratio} {every}: {}", watch.found_after);
        }
    }
}

#[test]
fn a_run_of_events_raises_one_alarm() {
    let children = (0..60)
        .map(|n| cut(n + 1, 100 + 10 * n as i32, [Some(if n < 40 { n % 5 == 0 } else { true }), None]))
        .collect();
    let watch = watch(children, Measure::Tenotomy, DOUBLED).unwrap();
    let alarms = watch.alarms();
    assert_eq!(alarms.len(), 1, "{alarms:?}");
    assert!(alarms[0].on > on(490) && alarms[0].on < on(600), "{alarms:?}");
}

/// Relapse within a year of the brace: seen on day 100; free at a year; relapsed later; not a year yet;
/// gone within the year.
#[test]
fn a_year_must_be_over_and_observed() {
    let braced = |number: u128, brace: i32, relapse: Option<i32>, left: Option<i32>| {
        let mut child = cut(number, brace, [Some(true), None]);
        child.feet[0].as_mut().unwrap().relapse = relapse.map(|after| on(brace + after)).into();
        child.left = left.map(|after| (on(brace + after), audit::EndOfCare::Transferred));
        child
    };
    let children = vec![
        braced(1, 1_000, Some(100), None),
        braced(2, 1_001, None, None),
        braced(3, 1_002, Some(366), None),
        braced(4, AS_OF - 364, Some(20), None),
        braced(5, 1_004, None, Some(200)),
        braced(6, AS_OF - 365, None, None),
    ];
    let watch = watch(children, Measure::Relapse, DOUBLED).unwrap();
    let outcomes: Vec<_> = watch.points.iter().map(|point| (point.on, point.event)).collect();
    let expected = [(on(1_365), true), (on(1_366), false), (on(1_367), false), (on(AS_OF), false)];
    assert_eq!(outcomes, expected);
    assert_eq!(watch.left_out, 2);
}

#[test]
fn without_outcomes_or_a_limit_the_error_is_a_sentence() {
    assert!(watch(Vec::new(), Measure::Tenotomy, DOUBLED).unwrap_err().contains("nothing to monitor"));
    assert!(watch(vec![cut(1, 100, [Some(true), None])], Measure::Casts, DOUBLED).is_err(), "no share");
    // At a share of one in five even the lowest limit is exceeded at every fifth child.
    let never = WatchDesign { every: 2, ..DOUBLED };
    let error = watch(vec![cut(1, 100, [Some(true), None])], Measure::Tenotomy, never).unwrap_err();
    assert!(error.contains("Choose another"), "{error}");
    let all = clinic(on(AS_OF), vec![cut(1, 100, [Some(true), None])]);
    assert_eq!(own_share(&all, &Selection::default(), Measure::Tenotomy), None);
}
