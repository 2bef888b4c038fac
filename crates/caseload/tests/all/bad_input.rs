//! Impossible settings and children, and clinics without places.

use crate::common::{busy, start};
use caseload::{
    CaseloadSummary, Clinic, CurrentChild, CurrentPhase, PathPool, ReadyClinic, Setting, SettingError,
    lead_sentences, published, simulate,
};
use proptest::prelude::*;
use rstest::rstest;

#[rstest]
#[case("slots = 3", "slots")]
#[case("[cast_clinic]\nmondy = 3", "mondy")]
#[case("[cast_clinic]\nmonday = -3", "line 2")]
#[case("[cast_clinic]\nmonday = 2.5", "line 2")]
#[case("[referrals]\nper_year = -4", "referrals.per_year is -4")]
#[case("[referrals]\nper_year = nan", "referrals.per_year is NaN")]
#[case("[referrals]\nper_year = inf", "referrals.per_year is inf")]
#[case("[referrals]\nper_year = 40\nbirths_per_year = 30000", "both per_year and births_per_year")]
#[case("[referrals]\nincidence_per_1000 = 3.0", "does not contain the incidence")]
#[case("[visits]\nno_show = 1.2", "visits.no_show is 1.2")]
#[case("[visits]\nrebook_after_days = 0", "rebook_after_days is 0")]
#[case("[casting]\nwindow_days = [10, 5]", "the first must not be larger")]
#[case("[casting]\ninterval_days = 20", "are outside the window")]
#[case("[bracing]\nreview_days = [42, 7]", "must rise")]
#[case("[bracing]\nrelapse_per_year = [0.2]", "as many values")]
#[case("[[closures]]\nfrom = \"2026-12-24\"\nto = \"2026-12-20\"", "is later than 2026-12-20")]
#[case("[[closures]]\nfrom = \"2026-13-24\"", "not in the calendar")]
#[case("horizon_weeks = 0", "horizon_weeks is 0")]
#[case("horizon_weeks = 100000", "horizon_weeks is 100000")]
fn what_cannot_be_is_refused_in_words(#[case] text: &str, #[case] says: &str) {
    let error = Setting::from_toml(text).unwrap_err().to_string();
    assert!(error.contains(says), "{error}");
}

#[test]
fn without_a_number_of_children_it_asks_for_one() {
    let setting = Setting::from_toml("").unwrap();
    let ready = ReadyClinic::new(&setting, published::pool(&setting, 1), &[], start());
    assert_eq!(ready.unwrap_err(), SettingError::NoReferrals);
}

#[test]
fn a_setting_written_and_read_again_is_the_same() {
    let mut setting = busy(33.0);
    setting.course.tenotomy = Some(0.6);
    assert_eq!(Setting::from_toml(&setting.to_toml().unwrap()).unwrap(), setting);
}

/// No place is ever found: all children are referred and wait, and nothing is divided by zero.
#[test]
fn a_clinic_without_places_says_how_many_wait() {
    let mut setting = busy(52.0);
    for clinic in [&mut setting.cast_clinic, &mut setting.theatre, &mut setting.brace_clinic] {
        *clinic = Clinic::default();
    }
    let clinic = ReadyClinic::new(&setting, published::pool(&setting, 1), &[], start()).unwrap();
    let runs = simulate(&clinic, 1, 20);
    for run in &runs {
        assert_eq!(run.children.waiting_first, run.children.arrived);
        assert_eq!(run.waits[0].open, run.children.arrived);
    }
    let summary = CaseloadSummary::of(&clinic, &runs).unwrap();
    let text = lead_sentences(&summary).join(" ");
    assert!(text.contains("No cast place was ever found") && text.contains("children wait"), "{text}");
    assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    let json = serde_json::to_string(&summary).unwrap();
    assert!(!json.contains("NaN"), "no number is made up");
    assert_eq!(summary.past_window.band, None);
}

#[test]
fn a_clinic_that_is_always_closed_and_one_whose_staff_are_always_missing_stand_still_too() {
    let mut closed = busy(52.0);
    closed.closures =
        Setting::from_toml("[[closures]]\nfrom = \"2020-01-01\"\nto = \"2050-01-01\"").unwrap().closures;
    let mut missing = busy(52.0);
    missing.cast_clinic.absence = 1.0;
    for setting in [closed, missing] {
        let clinic = ReadyClinic::new(&setting, published::pool(&setting, 1), &[], start()).unwrap();
        for run in simulate(&clinic, 1, 3) {
            assert_eq!(run.casts.correcting, 0);
            assert_eq!(run.children.waiting_first, run.children.arrived);
        }
    }
}

#[test]
fn everybody_staying_away_every_time_is_no_endless_loop() {
    let mut setting = busy(52.0);
    setting.visits.no_show = 1.0;
    let clinic = ReadyClinic::new(&setting, published::pool(&setting, 1), &[], start()).unwrap();
    let run = &simulate(&clinic, 1, 1)[0];
    assert_eq!(run.casts.correcting, 0);
    assert!(run.weeks.iter().any(|week| week[0].lost > 0));
}

#[test]
fn an_empty_pool_is_none() {
    assert!(PathPool::new(&[]).is_none());
    assert!(PathPool::new(&[vec![]]).is_none());
}

#[test]
fn nobody_and_nothing_is_an_answer_too() {
    let setting = busy(0.0);
    let clinic = ReadyClinic::new(&setting, published::pool(&setting, 1), &[], start()).unwrap();
    let runs = simulate(&clinic, 1, 5);
    let summary = CaseloadSummary::of(&clinic, &runs).unwrap();
    assert!(lead_sentences(&summary).join(" ").contains("No child waited"));
    assert!(CaseloadSummary::of(&clinic, &[]).is_none());
}

fn phase() -> impl Strategy<Value = CurrentPhase> {
    let day = || (-3000i32..3000).prop_map(|days| start() + days);
    let booked = || proptest::option::of((-40i32..900).prop_map(|days| start() + days));
    let chances = || proptest::collection::vec(prop_oneof![Just(f64::NAN), -1.0f64..3.0], 0..6);
    let tenotomy = || prop_oneof![Just(f64::NAN), -1.0f64..2.0];
    prop_oneof![
        (day(), booked(), chances(), tenotomy()).prop_map(|(since, booked, remaining, tenotomy)| {
            CurrentPhase::WaitingForFirstCast { since, booked, remaining, tenotomy }
        }),
        (day(), booked(), chances(), tenotomy()).prop_map(|(cast_on, booked, remaining, tenotomy)| {
            CurrentPhase::InCasts { cast_on, booked, remaining, tenotomy }
        }),
        (day(), day(), booked()).prop_map(|(since, cast_on, booked)| CurrentPhase::WaitingForTenotomy {
            since,
            cast_on,
            booked
        }),
        (day(), any::<bool>(), booked()).prop_map(|(cast_on, after_tenotomy, booked)| {
            CurrentPhase::WaitingForBrace { cast_on, after_tenotomy, booked }
        }),
        (day(), booked(), proptest::option::of(day()))
            .prop_map(|(since, booked, last_seen)| CurrentPhase::InBrace { since, booked, last_seen }),
    ]
}

fn child() -> impl Strategy<Value = CurrentChild> {
    let born = proptest::option::of((-4000i32..2000).prop_map(|days| start() + days));
    let foot = proptest::option::of((-50.0f64..500.0, Just(start())));
    (born, phase(), any::<bool>(), any::<u8>(), foot).prop_map(|(born, phase, complex, episode, foot)| {
        CurrentChild { born, phase, complex, episode, foot_length_mm: foot }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    /// For any list of current children, every one is in some phase at the end and Little's law applies.
    #[test]
    fn any_children_at_the_start(children in proptest::collection::vec(child(), 0..40)) {
        let setting = busy(20.0);
        let clinic = ReadyClinic::new(&setting, published::pool(&setting, 1), &children, start()).unwrap();
        for run in simulate(&clinic, 1, 2) {
            prop_assert_eq!(run.children.current as usize, children.len());
            prop_assert_eq!(run.children.somewhere(), run.children.current + run.children.arrived);
            for waits in &run.waits {
                let waited = waits.ended_days + waits.open_days + waits.left_days - waits.before_days;
                prop_assert_eq!(waits.child_days, waited);
            }
        }
    }
}
