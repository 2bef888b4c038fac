//! Odd records give a message, never NaN or a panic.

use forecast::backtest::{Followed, backtest, recalibrate};
use forecast::foot::{Forecaster, Stage, UnlikeWhy};
use forecast::learning::ClinicPosterior;
use forecast::natural_history::{Calendar, ClinicHabits, Cohort, Parameters, simulate};
use forecast::{SeenChild, SeenFoot, SeenVisit, SeenWear};
use proptest::prelude::*;
use record::{HalfPoint, Side};

fn published() -> Forecaster {
    Forecaster::new(&ClinicPosterior::published(&Parameters::published()))
}

fn one_foot(foot: SeenFoot) -> SeenChild {
    SeenChild { born_day: Some(-30), feet: vec![foot], ..SeenChild::unseen() }
}

#[test]
fn a_child_without_feet_has_no_forecast() {
    assert!(published().of(&SeenChild::unseen(), 0).is_empty());
}

#[test]
fn a_foot_never_seen_has_the_average_forecast_and_states_so() {
    let forecast = published().of(&one_foot(SeenFoot::unseen(Side::Left)), 0).remove(0);
    assert_eq!(forecast.stage, Stage::BeforeFirstCast);
    assert_eq!(forecast.basis.finished_feet, 0);
    assert!(forecast.basis.words.contains("Published cohorts only"));
    assert!(forecast.cautions.iter().any(|text| text.contains("No sign of this foot has been scored")));
    assert!(forecast.cautions.iter().any(|text| text.contains("No first visit is booked")));
    // Published: 41 to 97 % of feet have a tenotomy.
    let chance = forecast.tenotomy.unwrap();
    assert!((0.41..=0.97).contains(&chance.value) && chance.low < chance.value && chance.value < chance.high);
}

#[test]
fn missing_scores_widen_and_never_become_zero() {
    let visits = |signs| {
        (0..3).map(|week| SeenVisit { day: 7 * week, signs, cast: true, ..SeenVisit::default() }).collect()
    };
    let blind = SeenFoot { visits: visits([None; 6]), casts: 3, ..SeenFoot::unseen(Side::Left) };
    let zeros =
        SeenFoot { visits: visits([Some(HalfPoint::Zero); 6]), casts: 3, ..SeenFoot::unseen(Side::Left) };
    let mean = |foot: SeenFoot| published().of(&one_foot(foot), 14).remove(0).casts_to_come.unwrap().mean;
    assert!(mean(blind) > mean(zeros) + 1.0);
}

#[test]
fn unlike_feet_are_wider_and_state_why() {
    let visit = SeenVisit { day: 0, signs: [Some(HalfPoint::One); 6], cast: true, ..SeenVisit::default() };
    let plain = SeenFoot { visits: vec![visit], casts: 1, ..SeenFoot::unseen(Side::Left) };
    let width = |foot: SeenFoot| {
        let forecast = published().of(&one_foot(foot), 0).remove(0);
        let window = forecast.brace.unwrap().window90;
        let chance = forecast.tenotomy.unwrap();
        (window.to_day - window.from_day, chance.high - chance.low, forecast.unlike)
    };
    let usual = width(plain.clone());
    assert!(usual.2.is_empty());
    let complex = width(SeenFoot { complex: true, ..plain.clone() });
    let treated = width(SeenFoot { treated_before: true, ..plain });
    assert_eq!(complex.2[0].why, UnlikeWhy::Complex);
    assert!(complex.0 > usual.0 && complex.1 > usual.1, "{complex:?} {usual:?}");
    assert!(treated.0 > usual.0 && treated.1 > usual.1, "{treated:?} {usual:?}");
}

#[test]
fn later_phases_have_only_the_forecasts_that_apply() {
    let visit = SeenVisit { day: 0, signs: [Some(HalfPoint::Zero); 6], ..SeenVisit::default() };
    let mut foot = SeenFoot { visits: vec![visit], ready_day: Some(0), ..SeenFoot::unseen(Side::Right) };
    foot.tenotomy_decided = Some(true);
    foot.tenotomy_day = Some(7);
    let cast = published().of(&one_foot(foot.clone()), 10).remove(0);
    assert_eq!(cast.stage, Stage::TenotomyCast);
    assert!(cast.tenotomy.is_none() && cast.ready.is_none() && cast.path.is_empty());
    // Three weeks in the cast is usual.
    assert_eq!(cast.brace.unwrap().median_day, 28);
    foot.brace_day = Some(28);
    let brace = published().of(&one_foot(foot.clone()), 30).remove(0);
    assert_eq!(brace.stage, Stage::FullTimeBracing);
    assert!(brace.brace.is_none() && brace.casts_to_come.is_none());
    assert!(brace.full_time_end.is_some() && brace.relapse_within_year.is_some());
    foot.relapse_day = Some(300);
    let again = published().of(&one_foot(foot), 310).remove(0);
    assert_eq!(again.stage, Stage::AfterRelapse);
    assert!(again.relapse_within_year.is_none());
    assert!(again.cautions.iter().any(|text| text.contains("little to forecast from")));
}

/// The hours worn show whether the family keeps to the brace, and logged hours count before reported ones.
#[test]
fn fewer_hours_mean_more_relapses() {
    let mut foot = SeenFoot::unseen(Side::Left);
    foot.brace_day = Some(60);
    foot.full_time_end_day = Some(144);
    let worn = |hours: f64, logged: bool| {
        let wear = (0..3).map(|quarter| SeenWear {
            from_day: 150 + 91 * quarter,
            to_day: 240 + 91 * quarter,
            hours_per_day: hours,
            logged,
        });
        let child = SeenChild { wear: wear.collect(), ..one_foot(foot.clone()) };
        published().of(&child, 430).remove(0).relapse_within_year.unwrap().value
    };
    assert!(worn(4.0, true) > 2.0 * worn(11.0, true));
    assert!(worn(4.0, false) > worn(11.0, false));
}

#[test]
fn no_child_and_one_foot_give_a_report() {
    let none = backtest(&Parameters::published(), &[], 0);
    assert_eq!(none.feet, 0);
    assert!(none.windows.ninety.coverage.is_none() && none.tenotomy.log_score.is_none());
    assert!(none.notes.iter().any(|note| note.contains("nothing to test on")));
    let calendar = Calendar { first_referral: 0, last_referral: 1, as_of: 900 };
    let cohort = Cohort { bilateral: 0.0, ..Cohort::usual(1, 4, calendar) };
    let child = simulate(&Parameters::published(), &ClinicHabits::published(), &cohort).unwrap().remove(0);
    let one = backtest(&Parameters::published(), &[Followed::of_truth(&child.truth, 900)], 900);
    assert_eq!(one.feet, 1);
    assert!(one.windows.ninety.coverage.is_some_and(f64::is_finite));
    assert!(one.tenotomy.log_score.is_some_and(f64::is_finite));
    assert!(one.tenotomy.reliability.slope.is_none());
    assert!(one.notes.iter().any(|note| note.contains("Too few to fit")));
    let text = serde_json::to_string(&one).unwrap();
    assert!(!text.contains("NaN"));
}

#[test]
fn recalibration_finds_the_line_or_states_that_there_is_none() {
    // Chances of 0.2 and 0.8 that happen in 0.2 and 0.8: slope 1, intercept 0.
    let pairs = |low: usize, high: usize| {
        let mut pairs: Vec<(f64, bool)> = (0..100).map(|n| (0.2, n < low)).collect();
        pairs.extend((0..100).map(|n| (0.8, n < high)));
        pairs
    };
    let line = recalibrate(&pairs(20, 80)).unwrap();
    assert!((line.slope - 1.0).abs() < 1e-6 && line.intercept.abs() < 1e-6, "{line:?}");
    // They happen in 1/3 and 2/3: logit ∓ln 2 for a forecast of ∓ln 4, so a slope of one half.
    let timid = recalibrate(&pairs(33, 67)).unwrap();
    assert!((timid.slope - (67.0_f64 / 33.0).ln() / 4.0_f64.ln()).abs() < 1e-6, "{timid:?}");
    assert!(recalibrate(&pairs(0, 100)).is_err());
    assert!(recalibrate(&[(0.5, true); 200]).unwrap_err().contains("Too few"));
    let alike: Vec<(f64, bool)> = (0..200).map(|n| (0.5, n % 2 == 0)).collect();
    assert!(recalibrate(&alike).is_err());
}

fn sign() -> impl Strategy<Value = Option<HalfPoint>> {
    prop_oneof![Just(None), (0..3_usize).prop_map(|n| Some(HalfPoint::ALL[n]))]
}

fn any_visit() -> impl Strategy<Value = SeenVisit> {
    let signs = proptest::array::uniform6(sign());
    (-50..400_i32, signs, proptest::option::of(-500.0..500.0_f64), any::<bool>(), any::<bool>()).prop_map(
        |(day, signs, dorsiflexion_deg, cast, slipped)| SeenVisit {
            day,
            signs,
            dorsiflexion_deg,
            abduction_deg: None,
            cast,
            slipped,
        },
    )
}

fn any_foot(side: Side) -> impl Strategy<Value = SeenFoot> {
    let day = || proptest::option::of(-50..600_i32);
    let visits = proptest::collection::vec(any_visit(), 0..12);
    (visits, any::<[bool; 3]>(), [day(), day(), day(), day(), day(), day()], any::<u16>()).prop_map(
        move |(mut visits, flags, days, casts)| {
            visits.sort_by_key(|visit| visit.day);
            SeenFoot {
                side,
                complex: flags[0],
                other_cause: flags[1],
                treated_before: flags[2],
                visits,
                casts,
                ready_day: days[0],
                tenotomy_decided: days[1].map(|day| day % 2 == 0),
                tenotomy_planned_day: days[2],
                tenotomy_day: days[3],
                brace_day: days[4],
                full_time_end_day: days[5],
                relapse_day: days[4].map(|day| day + 10).filter(|day| day % 3 == 0),
            }
        },
    )
}

fn finite(chances: &[f64]) -> bool {
    (chances.iter().sum::<f64>() - 1.0).abs() < 1e-6
        && chances.iter().all(|chance| (0.0..=1.0 + 1e-9).contains(chance))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// For any record, in any order, chances sum to one and intervals contain their value.
    #[test]
    fn any_record_gives_valid_numbers(
        right in any_foot(Side::Right),
        left in proptest::option::of(any_foot(Side::Left)),
        born in proptest::option::of(-4_000..100_i32),
        next in proptest::option::of(-50..500_i32),
        hours in -5.0..60.0_f64,
        as_of in -60..700_i32,
    ) {
        let wear = vec![SeenWear { from_day: 10, to_day: 5, hours_per_day: hours, logged: hours > 20.0 }];
        let feet = std::iter::once(right).chain(left).collect();
        let child = SeenChild {
            born_day: born, gestation_weeks: Some(30), feet, wear, next_day: next, last_day: 0, left_day: None,
        };
        for forecast in published().of(&child, as_of) {
            for date in [&forecast.ready, &forecast.tenotomy_day, &forecast.brace, &forecast.full_time_end].into_iter().flatten() {
                prop_assert!(finite(&date.chances), "{date:?}");
                prop_assert!(date.window50.from_day <= date.window50.to_day);
                prop_assert!(date.window90.chance > 0.0 && date.first_day >= as_of);
            }
            for count in [&forecast.casts_to_come, &forecast.correcting_casts_to_come].into_iter().flatten() {
                prop_assert!(finite(&count.chances) && count.mean.is_finite());
            }
            for chance in [forecast.tenotomy, forecast.relapse_within_year].into_iter().flatten() {
                prop_assert!((0.0..=1.0).contains(&chance.value), "{chance:?}");
                prop_assert!(chance.low <= chance.value && chance.value <= chance.high, "{chance:?}");
            }
            for point in &forecast.path {
                prop_assert!(point.total.mean.is_finite() && point.total.from90 <= point.total.to90);
            }
        }
        let mut clinic = ClinicPosterior::published(&Parameters::published());
        clinic.add(&child);
        clinic.learn_bracing(std::slice::from_ref(&child), as_of);
        let habits = clinic.habits();
        prop_assert!(habits.tenotomy_intercept.is_finite() && habits.pace_shift.is_finite());
        prop_assert!(habits.relapse_factor.is_finite() && finite(&habits.interval_days));
    }
}
