//! Small clinics calculated by hand, with the fractions.

use crate::rows::{child, clinic, foot, on};
use audit::{
    CareStage, Cases, ChildHistory, DetailLevel, EndOfCare, ExclusionReason, FootHistory, Gap, GroupBy,
    MeanWear, Measure, MeasureResult, Selection, Severity, Verdict, Wear,
};
use record::{Halves, Side};

/// Floating-point sums added in another order.
const ROUNDING: f64 = 1e-12;
/// The as-of day of every result here.
const AS_OF: i32 = 3_000;

fn ask(children: Vec<ChildHistory>, measure: Measure) -> MeasureResult {
    MeasureResult::of(&clinic(on(AS_OF), children), &Selection::default(), measure, DetailLevel::Full)
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < ROUNDING, "{found} against {expected}");
}

/// A foot cast on a day and braced this many days later.
fn treated(side: Side, cast: i32, days: i32, cut: bool) -> FootHistory {
    FootHistory {
        first_cast: on(cast).into(),
        brace: on(cast + days).into(),
        tenotomy: cut.then(|| on(cast + days - 21)).into(),
        correcting_casts: 5,
        casts: 6,
        ..foot(side)
    }
}

fn braced(number: u128, feet: [Option<FootHistory>; 2], last_seen: i32) -> ChildHistory {
    let brace = feet.iter().flatten().filter_map(|foot| foot.brace.day()).min();
    ChildHistory { brace: brace.into(), last_seen: on(last_seen).into(), ..child(number, feet) }
}

/// Three children: both feet with a tenotomy, one foot without, one foot with; one more still in casts.
/// Share 3/4. Of children: sums (y, x) = (2, 2), (0, 1), (1, 1); with R = 3/4 the residuals are
/// 2 − 3/2 = 1/2, −3/4, 1/4: squares 4/16 + 9/16 + 1/16 = 14/16. Of feet: three of (1/4)² and one of
/// (3/4)² = 12/16. Design effect 14/12 = 7/6; n over it 4·6/7 = 24/7.
/// Wilson at p = 3/4, m = 24/7 and z² = 3.8414588207: centre (p + z²/2m)/(1 + z²/m).
#[test]
fn tenotomy_share_with_two_feet_of_one_child() {
    let children = vec![
        braced(1, [Some(treated(Side::Right, 0, 60, true)), Some(treated(Side::Left, 0, 60, true))], 500),
        braced(2, [Some(treated(Side::Right, 0, 60, false)), None], 500),
        braced(3, [None, Some(treated(Side::Left, 0, 60, true))], 500),
        child(4, [Some(FootHistory { first_cast: on(2_990).into(), casts: 1, ..foot(Side::Right) }), None]),
    ];
    let answer = ask(children, Measure::Tenotomy);
    assert_eq!((answer.counted.n, answer.counted.children), (4, 3));
    assert_eq!((answer.counted.events, answer.counted.event_children), (Some(3), Some(2)));
    assert_eq!(answer.left_out.len(), 1);
    assert_eq!((answer.left_out[0].reason, answer.left_out[0].n), (ExclusionReason::NotSettled, 1));
    let share = answer.figures[0].estimate;
    near(share.value, 3.0 / 4.0);
    let (p, m, zz) = (0.75, 24.0 / 7.0, 1.959_963_984_540_054_f64.powi(2));
    let centre = (p + zz / (2.0 * m)) / (1.0 + zz / m);
    let half = zz.sqrt() / (1.0 + zz / m) * (p * (1.0 - p) / m + zz / (4.0 * m * m)).sqrt();
    near(share.lower.unwrap(), centre - half);
    near(share.upper.unwrap(), centre + half);
}

/// Days in casts 40, 40 (one child), 50, 70: median 45, quartiles 40 and 55, mean 50.
/// Residual sums of children −20, 0, 20: squares 800; error √(3/2 · 800)/4 = √1200/4 = 8.660.
/// t(0.975; 2) = 4.302652730: half 37.262.
#[test]
fn days_in_casts() {
    let children = vec![
        braced(1, [Some(treated(Side::Right, 0, 40, true)), Some(treated(Side::Left, 0, 40, true))], 500),
        braced(2, [Some(treated(Side::Right, 0, 50, true)), None], 500),
        braced(3, [Some(treated(Side::Right, 0, 70, true)), None], 500),
    ];
    let answer = ask(children, Measure::DaysCasting);
    let value = |label: &str| answer.figures.iter().find(|figure| figure.label == label).unwrap().estimate;
    near(value("median").value, 45.0);
    near(value("first quartile").value, 40.0);
    near(value("third quartile").value, 55.0);
    near(value("mean").value, 50.0);
    let half = 4.302_652_729_911_275 * 1_200.0_f64.sqrt() / 4.0;
    assert!((value("mean").upper.unwrap() - (50.0 + half)).abs() < 1e-6);
}

/// Six feet of five children from the brace: relapse at 100, seen to 200, relapse at 300 (both feet of
/// one child), seen to 400 and 900. Free: 5/6 after 100; at 300 four are at risk and two relapse: 5/12.
#[test]
fn free_of_relapse_by_time() {
    let one = |number, relapse: Option<i32>, seen: i32| {
        let foot = FootHistory {
            relapse: relapse.map(|day| on(60 + day)).into(),
            ..treated(Side::Right, 0, 60, true)
        };
        braced(number, [Some(foot), None], 60 + seen)
    };
    let mut both = one(3, Some(300), 700);
    both.feet[1] = both.feet[0].map(|foot| FootHistory { side: Side::Left, ..foot });
    let answer = ask(
        vec![one(1, Some(100), 900), one(2, None, 200), both, one(4, None, 400), one(5, None, 900)],
        Measure::RelapseFree,
    );
    let curve = &answer.curves[0];
    assert_eq!(answer.counted.events, Some(3));
    near(curve.at(100.0).unwrap().share, 5.0 / 6.0);
    near(curve.at(299.0).unwrap().share, 5.0 / 6.0);
    near(curve.at(300.0).unwrap().share, 5.0 / 12.0);
    near(curve.at(300.0).unwrap().at_risk, 4.0);
    // At 0 all six, at 182.6 five (one has relapsed), at 365.25 two, at 730.5 one.
    let counts: Vec<f64> = curve.at_risk.iter().map(|(_, n)| *n).collect();
    assert_eq!(counts, [6.0, 5.0, 2.0, 1.0, 1.0]);
    assert!(
        answer.figures.iter().all(|figure| !figure.label.starts_with("at ")),
        "fewer than five are watched for a year"
    );
}

/// Relapse with drop-out as a competing event. From the brace: relapse at 100; drop-out at 200; death at 300; free to the
/// as-of day. Of four: F = 1/4 for relapse, 1/4 for drop-out (1 of 3 of 3/4), 1/4 for death.
#[test]
fn relapse_with_drop_out_and_death_excluding_it() {
    let plain = |number| braced(number, [Some(treated(Side::Right, 0, 60, true)), None], 400);
    let mut relapsed = plain(1);
    relapsed.feet[0].as_mut().unwrap().relapse = on(160).into();
    // Dropped out later: the relapse came first.
    relapsed.lost = Some(Gap { on: on(800), stage: CareStage::Bracing, came_back: false });
    let mut dropped = plain(2);
    // A gap after which the child came back excludes nothing, even if it meets the published definition.
    dropped.gap = Some(Gap { on: on(30), stage: CareStage::Casting, came_back: true });
    dropped.lost = Some(Gap { on: on(260), stage: CareStage::Bracing, came_back: false });
    let mut died = plain(3);
    died.left = Some((on(360), EndOfCare::Died));
    let answer = ask(vec![relapsed, dropped, died, plain(4)], Measure::Relapse);
    let at = |curve: usize, days: f64| answer.curves[curve].at(days).map_or(0.0, |step| step.share);
    near(at(0, 99.0), 0.0);
    near(at(0, 100.0), 1.0 / 4.0);
    near(at(1, 199.0), 0.0);
    near(at(1, 200.0), 1.0 / 4.0);
    near(at(2, 300.0), 1.0 / 4.0);
    assert_eq!(answer.counted.events, Some(1));
    let discharged = ChildHistory { left: Some((on(200), EndOfCare::Discharged)), ..plain(9) };
    let cases = Cases::of(&clinic(on(AS_OF), vec![discharged]), &Selection::default(), Measure::Relapse);
    assert_eq!((cases.cases[0].time, cases.cases[0].cause), (140, 0), "discharge ends the watch: 200 − 60");
}

/// Born at 0: braced at 100 and relapsed at 500; braced at 300 and free to 700; braced at 600, seen to 900.
/// At 500 two are at risk (100 < 500, 300 < 500; the third enters at 600): 1/2.
#[test]
fn free_of_relapse_by_age_with_late_entry() {
    let one = |number, brace: i32, relapse: Option<i32>, seen: i32| {
        let foot = FootHistory {
            first_cast: on(0).into(),
            brace: on(brace).into(),
            relapse: relapse.map(on).into(),
            ..foot(Side::Right)
        };
        ChildHistory { born: on(0).into(), ..braced(number, [Some(foot), None], seen) }
    };
    let mut nameless = one(4, 100, None, 800);
    nameless.born = audit::OptionalDay::NEVER;
    let answer = ask(
        vec![one(1, 100, Some(500), 900), one(2, 300, None, 700), one(3, 600, None, 900), nameless],
        Measure::RelapseFreeAge,
    );
    near(answer.curves[0].at(500.0).unwrap().share, 0.5);
    near(answer.curves[0].at(500.0).unwrap().at_risk, 2.0);
    assert_eq!((answer.left_out[0].reason, answer.left_out[0].n), (ExclusionReason::NoBirthDay, 1));
}

/// Problems 1 and 1 (one child), 0 and 2 in 6 casts each: 4/24 of a cast, 16.67 per 100.
#[test]
fn problems_per_hundred_casts() {
    let with = |side, problems| FootHistory { cast_problems: problems, ..treated(side, 0, 60, true) };
    let children = vec![
        braced(1, [Some(with(Side::Right, 1)), Some(with(Side::Left, 1))], 400),
        braced(2, [Some(with(Side::Right, 0)), None], 400),
        braced(3, [Some(with(Side::Right, 2)), None], 400),
    ];
    let answer = ask(children, Measure::CastProblems);
    near(answer.figures[0].estimate.value, 100.0 * 4.0 / 24.0);
    assert_eq!((answer.counted.events, answer.counted.event_children), (Some(4), Some(2)));
}

/// Of children, the median wait is over children, not feet.
#[test]
fn waits_and_ages_count_children() {
    let one = |number, referred: i32, cast: i32, both: bool| {
        let foot = |side| Some(FootHistory { first_cast: on(cast).into(), ..foot(side) });
        let feet = [foot(Side::Right), if both { foot(Side::Left) } else { None }];
        ChildHistory { born: on(referred - 5).into(), referred: on(referred).into(), ..child(number, feet) }
    };
    let children =
        vec![one(1, 0, 10, true), one(2, 0, 20, false), one(3, 0, 60, false), one(4, 50, 40, false)];
    let wait = ask(children.clone(), Measure::WaitFirstCast);
    assert_eq!((wait.counted.n, wait.counted.events), (3, None));
    near(wait.figures[0].estimate.value, 20.0);
    assert_eq!((wait.left_out[0].reason, wait.left_out[0].n), (ExclusionReason::OutOfOrder, 1));
    let age = ask(children, Measure::AgeFirstCast);
    // 15, 25 and 65 days; the fourth was born on day 45 and cast on day 40.
    near(age.figures[0].estimate.value, 25.0);
}

/// Logged: 20 and 10 hours: mean 15; reported by one child: 22. Neither affects the other.
#[test]
fn wear_logged_and_reported_stay_apart() {
    let with = |number, logged: f32, reported: f32| {
        let one = |hours: f32| {
            [
                MeanWear { days: if hours > 0.0 { 30 } else { 0 }, hours },
                MeanWear::default(),
                MeanWear::default(),
                MeanWear::default(),
                MeanWear::default(),
                MeanWear::default(),
            ]
        };
        let wear = Wear { logged: one(logged), reported: one(reported) };
        ChildHistory {
            wear: Some(Box::new(wear)),
            ..braced(number, [Some(treated(Side::Right, 0, 60, true)), None], 400)
        }
    };
    let children = vec![with(1, 20.0, 22.0), with(2, 10.0, 0.0)];
    let logged = ask(children.clone(), Measure::WearLogged);
    near(logged.wear[0].hours.unwrap(), 15.0);
    assert_eq!((logged.wear[0].children, logged.wear[1].hours), (2, None));
    let reported = ask(children, Measure::WearReported);
    near(reported.wear[0].hours.unwrap(), 22.0);
    assert_eq!((reported.wear[0].children, reported.wear[0].lower), (1, None));
}

#[test]
fn breakdowns_add_up_and_selection_narrows() {
    let with = |number, site, total, right: bool| {
        let side = if right { Side::Right } else { Side::Left };
        let foot = FootHistory {
            site,
            first_total: total,
            ..treated(side, number as i32 * 200, 60, number % 2 == 0)
        };
        let feet = if right { [Some(foot), None] } else { [None, Some(foot)] };
        braced(number, feet, 2_900)
    };
    let children = vec![
        with(1, 0, Some(Halves(7)), true),   // 3.5
        with(2, 0, Some(Halves(8)), true),   // 4
        with(3, 1, Some(Halves(10)), false), // 5
        with(4, 1, None, false),
    ];
    let answer = ask(children.clone(), Measure::Tenotomy);
    for breakdown in &answer.by {
        let n: usize = breakdown.groups.iter().map(|group| group.counted.n).sum();
        assert_eq!(n, 4, "{:?}", breakdown.by);
    }
    let by = |wanted: GroupBy| answer.by.iter().find(|one| one.by == wanted).unwrap();
    assert_eq!(by(GroupBy::Severity).groups.len(), 4);
    assert_eq!(
        by(GroupBy::Site).groups.iter().map(|group| group.counted.events).collect::<Vec<_>>(),
        [Some(1), Some(1)]
    );
    let selected = |selection: Selection| {
        MeasureResult::of(
            &clinic(on(AS_OF), children.clone()),
            &selection,
            Measure::Tenotomy,
            DetailLevel::Overview,
        )
        .counted
        .n
    };
    assert_eq!(selected(Selection { severity: Some(Severity::Moderate), ..Selection::default() }), 1);
    assert_eq!(selected(Selection { site: Some(1), ..Selection::default() }), 2);
    assert_eq!(selected(Selection { feet: Some(audit::Feet::Left), ..Selection::default() }), 2);
    assert_eq!(selected(Selection { feet: Some(audit::Feet::Both), ..Selection::default() }), 0);
    // Time zero, the first cast, on days 200 to 800.
    assert_eq!(selected(Selection { from: Some(on(400)), to: Some(on(600)), ..Selection::default() }), 2);
}

/// 2 of 40 feet in the last year against 20 of 40 in the one before: clearly more than chance; 20 and 20
/// clearly not.
#[test]
fn a_change_is_distinguished_from_chance() {
    let year = |from: i32, events: usize, first: u128| {
        (0..40).map(move |n| {
            let foot = treated(Side::Right, from + n as i32 * 8, 60, n * events % 40 < events);
            braced(first + n as u128, [Some(foot), None], 2_990)
        })
    };
    let change = |now| {
        let children = year(AS_OF - 720, 20, 1).chain(year(AS_OF - 400, now, 100)).collect();
        ask(children, Measure::Tenotomy).change
    };
    let fallen = change(2);
    // A chart of eight points gives no signal, so only the years count.
    assert_eq!(fallen.verdict, Verdict::OneSign, "{}", fallen.sentence);
    assert!(fallen.sentence.contains("more than chance explains (p below 0.001)"), "{}", fallen.sentence);
    assert!(fallen.sentence.contains("lower (95 % confidence interval −"), "{}", fallen.sentence);
    let same = change(20);
    assert_eq!(same.verdict, Verdict::NoMoreThanChance, "{}", same.sentence);
}

/// Two clinicians, ten single feet each: 9 and 3 with a tenotomy. Overall 12/20; each has an effective number of ten, because
/// no child has two feet. Exact limits are those of `statistics` at n = 10 and 0.6.
#[test]
fn a_funnel_of_two_clinicians() {
    let with = |number: u128, clinician, cut| {
        braced(number, [Some(FootHistory { clinician, ..treated(Side::Right, 0, 60, cut) }), None], 400)
    };
    let children =
        (0..10).map(|n| with(n, 0, n < 9)).chain((0..10).map(|n| with(10 + n, 1, n < 3))).collect();
    let answer = ask(children, Measure::Tenotomy);
    let funnel = answer.funnels.iter().find(|funnel| funnel.by == GroupBy::Clinician).unwrap();
    near(funnel.overall, 0.6);
    near(funnel.design_effect, 1.0);
    let limits = statistics::control::exact_binomial_limits(10, 0.6, 0.025).unwrap();
    for (point, share) in funnel.points.iter().zip([0.9, 0.3]) {
        near(point.value, share);
        near(point.size, 10.0);
        near(point.inner.0, limits.lower);
        near(point.inner.1, limits.upper);
        assert!(!point.outside(), "three of ten is not beyond 99.8 %");
    }
}

/// Expected relapses at the overall hazard add up to those observed, for any lengths of observation.
#[test]
fn expected_events_add_up_to_those_observed() {
    let one = |number: u128, clinician, relapse: Option<i32>, seen: i32| {
        let foot = FootHistory {
            clinician,
            relapse: relapse.map(|day| on(60 + day)).into(),
            ..treated(Side::Right, 0, 60, true)
        };
        braced(number, [Some(foot), None], 60 + seen)
    };
    let children = vec![
        one(1, 0, Some(100), 900),
        one(2, 0, None, 200),
        one(3, 1, Some(300), 800),
        one(4, 1, None, 400),
        one(5, 1, None, 900),
    ];
    let answer = ask(children, Measure::RelapseFree);
    let funnel = answer.funnels.iter().find(|funnel| funnel.by == GroupBy::Clinician).unwrap();
    // Hazards 1/5 at 100 and 1/3 at 300. First: 1/5 + 1/5 = 2/5 expected, 1 seen; second: three feet at
    // 1/5 + 1/3 = 8/5 expected, 1 seen.
    let sizes: Vec<f64> = funnel.points.iter().map(|point| point.size).collect();
    near(sizes[0], 2.0 / 5.0);
    near(sizes[1], 8.0 / 5.0);
    near(funnel.points[0].value, 5.0 / 2.0);
    near(funnel.points[1].value, 5.0 / 8.0);
}

/// Ten feet all braced by day 60: nobody is under observation at 182 days, and every outcome is known.
#[test]
fn a_share_is_read_where_it_has_ended_for_nearly_all() {
    let children = (0..10).map(|n| braced(n, [Some(treated(Side::Right, 0, 60, true)), None], 400)).collect();
    let answer = ask(children, Measure::Correction);
    assert_eq!(answer.figures[0].label, "at 182 days");
    near(answer.figures[0].estimate.value, 1.0);
}
