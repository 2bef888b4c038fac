//! No children, one child, no events, everyone gone on the first day: sentences, never NaN.

use crate::rows::{basis, child, clinic, foot, on};
use audit::{
    ChildHistory, ClinicHistory, DetailLevel, Estimate, FootHistory, Measure, MeasureResult, Selection,
};
use record::Side;

fn every(clinic: &ClinicHistory) -> Vec<MeasureResult> {
    let answers: Vec<MeasureResult> = Measure::ALL
        .iter()
        .map(|measure| MeasureResult::of(clinic, &Selection::default(), *measure, DetailLevel::Full))
        .collect();
    for answer in &answers {
        let key = answer.measure.key();
        let text = format!("{answer:?}");
        assert!(
            !["NaN", ": inf", "(inf", ", inf", "-inf"].iter().any(|odd| text.contains(odd)),
            "{key}: {text}"
        );
        for figure in &answer.figures {
            let Estimate { value, lower, upper } = figure.estimate;
            assert!(value.is_finite(), "{key}");
            let (low, high) = (lower.unwrap_or(value), upper.unwrap_or(value));
            assert!(low <= value + 1e-9 && value <= high + 1e-9, "{key}: {figure:?}");
        }
        assert_eq!(answer.figures.is_empty(), answer.why_none.is_some(), "{key}");
        assert!(answer.change.sentence.ends_with('.'), "{key}: {}", answer.change.sentence);
    }
    answers
}

#[test]
fn no_children() {
    for answer in every(&ClinicHistory::new(basis(on(0)))) {
        assert_eq!(answer.counted.n, 0);
        assert_eq!(answer.why_none.unwrap(), "No cases match this measure and selection.");
    }
}

fn whole(number: u128, at: i32) -> ChildHistory {
    let foot = FootHistory {
        first_cast: on(at).into(),
        correcting_casts: 4,
        casts: 5,
        booked: on(at + 20).into(),
        tenotomy: on(at + 30).into(),
        brace: on(at + 51).into(),
        expected: u16::MAX >> 5,
        recorded: 3,
        ..foot(Side::Right)
    };
    ChildHistory {
        born: on(at - 10).into(),
        referred: on(at - 5).into(),
        brace: on(at + 51).into(),
        last_seen: on(at + 51).into(),
        ..child(number, [Some(foot), None])
    }
}

#[test]
fn one_child_has_figures_and_no_interval() {
    let answers = every(&clinic(on(2_000), vec![whole(1, 0)]));
    let tenotomy = answers.iter().find(|answer| answer.measure == Measure::Tenotomy).unwrap();
    assert_eq!(tenotomy.figures[0].estimate, Estimate::new(1.0, None));
    assert!(tenotomy.funnels.is_empty());
}

#[test]
fn no_event_at_all_gives_an_upper_limit_and_no_curve_below_one() {
    let mut children: Vec<_> = (0..30).map(|n| whole(n, n as i32 * 20)).collect();
    children.iter_mut().for_each(|child| child.last_seen = on(1_990).into());
    let answers = every(&clinic(on(2_000), children));
    let find = |measure| answers.iter().find(|answer| answer.measure == measure).unwrap();
    let relapse = find(Measure::RelapseFree);
    assert_eq!(relapse.counted.events, Some(0));
    assert!(relapse.figures.iter().all(|figure| figure.estimate.value == 1.0));
    // −ln 0.025 = 3.6889 over 150 casts, per hundred.
    let upper = find(Measure::CastProblems).figures[0].estimate.upper.unwrap();
    assert!((upper - 100.0 * 3.688_879_454 / 150.0).abs() < 1e-6, "{upper}");
}

#[test]
fn everybody_censored_on_day_0() {
    let children: Vec<_> = (0..20).map(|n| whole(n, 100)).collect();
    let answers = every(&clinic(on(151), children));
    let relapse = answers.iter().find(|answer| answer.measure == Measure::RelapseFree).unwrap();
    assert_eq!((relapse.counted.n, relapse.counted.events), (20, Some(0)));
    let by_age = answers.iter().find(|answer| answer.measure == Measure::RelapseFreeAge).unwrap();
    assert_eq!(by_age.counted.n, 0, "no child was seen after the brace");
    assert_eq!(by_age.left_out[0].n, 20);
}

#[test]
fn days_out_of_order_leave_a_foot_out_and_are_counted() {
    let mut odd = whole(1, 500);
    let foot = odd.feet[0].as_mut().unwrap();
    foot.brace = on(400).into();
    foot.tenotomy = on(450).into();
    foot.booked = on(460).into();
    let answers = every(&clinic(on(2_000), vec![odd]));
    for measure in [Measure::DaysCasting, Measure::Tenotomy, Measure::WaitTenotomy] {
        let answer = answers.iter().find(|answer| answer.measure == measure).unwrap();
        let left: u32 = answer.left_out.iter().map(|one| one.n).sum();
        assert!(answer.counted.n == 0 && left <= 1, "{:?}", answer.left_out);
    }
}

#[test]
fn all_children_alike_have_no_spread_and_no_verdict_from_it() {
    let children: Vec<_> = (0..60).map(|n| whole(n, 1_300 + n as i32 * 10)).collect();
    for answer in every(&clinic(on(2_000), children)) {
        let outside =
            answer.chart.iter().flat_map(|chart| &chart.points).filter(|point| point.outside).count();
        assert_eq!(outside, 0, "{}", answer.measure.key());
    }
}
