//! Which feet are affected, and what is recorded about them.

use crate::child::{Log, day, relapse, scored};
use course::{Phase, QuestionKind};
use record::*;
use rstest::rstest;

fn diagnosis(nature: Option<Nature>, complex: Option<bool>) -> Diagnosis {
    Diagnosis { side: Side::Right, nature, complex, earlier_treatment: None }
}

fn measured() -> Assessment {
    Assessment { foot_length_mm: Some(80), abduction_deg: Some(60), ..Assessment::of(Side::Right) }
}

#[rstest]
#[case::diagnosed(diagnosis(Some(Nature::Idiopathic), None).into(), true)]
#[case::diagnosed_without_a_nature(diagnosis(None, None).into(), true)]
#[case::not_a_clubfoot(diagnosis(Some(Nature::NotClubfoot), None).into(), false)]
#[case::scored(scored(Side::Right, [0; 6]).into(), true)]
#[case::measured_alone(measured().into(), false)]
#[case::cast(CastApplied::on(Side::Right).into(), true)]
#[case::cut(TenotomyDone::on(Side::Right).into(), true)]
#[case::relapsed(relapse(Side::Right).into(), true)]
#[case::braced(BraceFitted::default().into(), false)]
fn a_foot_is_affected_when(#[case] body: Body, #[case] affected: bool) {
    let mut log = Log::registered();
    log.write("2024-01-08", body);
    assert_eq!(log.course().foot(Side::Right).is_some(), affected);
    assert!(log.course().foot(Side::Left).is_none());
}

#[test]
fn a_bilateral_child_has_two_courses_right_before_left() {
    let mut log = Log::registered();
    log.casts("2024-01-15", 1, Side::Left);
    log.write("2024-01-15", scored(Side::Right, [1; 6]));
    let sides: Vec<_> = log.course().feet.iter().map(|foot| (foot.side, foot.phase)).collect();
    assert_eq!(sides, [(Side::Right, Phase::Referred), (Side::Left, Phase::InCorrection)]);
}

#[test]
fn not_a_clubfoot_takes_the_foot_out_however_it_was_scored() {
    let mut log = Log::registered();
    log.write("2024-01-08", scored(Side::Right, [1; 6]));
    log.write("2024-01-08", diagnosis(Some(Nature::NotClubfoot), None));
    log.write("2024-02-08", scored(Side::Right, [0; 6]));
    assert!(log.course().feet.is_empty());
    log.write("2024-03-08", diagnosis(Some(Nature::Idiopathic), None));
    assert_eq!(log.course().feet.len(), 1, "the later diagnosis counts");
}

#[test]
fn a_foot_in_a_cast_is_never_out_of_sight() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-15", diagnosis(Some(Nature::NotClubfoot), None));
    assert!(log.right().cast_on().is_some());
    log.write("2024-01-15", CastRemoved { side: Side::Right, why: RemovalReason::Planned, note: None });
    assert!(log.course().feet.is_empty());
    let cast = log.write("2024-01-16", CastApplied::on(Side::Right));
    let course = log.course();
    assert!(course.foot(Side::Right).is_some());
    assert_eq!(course.questions[0].kind, QuestionKind::FootNotOnRecord);
    assert!(course.questions[0].entries.contains(&cast));
}

#[test]
fn values_of_a_diagnosis_count_until_another_changes_them() {
    let mut log = Log::registered();
    log.write("2024-01-08", diagnosis(Some(Nature::Idiopathic), Some(true)));
    log.write("2024-02-08", diagnosis(Some(Nature::Syndromic), None));
    assert_eq!((log.right().nature, log.right().complex), (Some(Nature::Syndromic), Some(true)));
    log.write("2024-03-08", diagnosis(None, Some(false)));
    assert_eq!((log.right().nature, log.right().complex), (Some(Nature::Syndromic), Some(false)));
}

#[test]
fn not_recorded_as_complex_is_not_the_same_as_not_complex() {
    assert_eq!(Log::usual().right().complex, None);
}

#[test]
fn the_last_registration_replaces_earlier_ones_and_the_first_day_remains() {
    let mut log = Log::registered();
    let given_name = "Ilse Marie".to_owned();
    let last = log.write("2024-05-01", Registration { given_name, ..Registration::default() });
    let course = log.course();
    assert_eq!((course.registered, course.referred_on), (Some(last), Some(day("2024-01-01"))));
    assert_eq!((course.about.full_name().as_str(), course.about.born), ("Ilse Marie", None));
}

#[test]
fn visits_are_what_needs_the_child_in_the_room() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-08", scored(Side::Right, [1; 6]));
    log.write("2024-01-09", ContactAttempt { way: ContactWay::Phone, reached: true, whom: None, note: None });
    log.write("2024-01-10", CastRemoved { side: Side::Right, why: RemovalReason::ByFamily, note: None });
    log.write("2024-01-11", Note { text: "called".to_owned() });
    log.write("2024-01-12", AppointmentAttended::default());
    log.write("2024-01-12", Note { text: "skin looks well".to_owned() });
    let course = log.course();
    assert_eq!(course.seen_on, [day("2024-01-08"), day("2024-01-12")]);
    assert_eq!(course.last_seen(), Some(day("2024-01-12")));
    assert_eq!(course.contacts.len(), 1);
}

#[test]
fn each_part_of_the_screening_counts_until_it_is_repeated() {
    let mut log = Log::registered();
    let awaited = Screening { hips: Some(Screened::Awaited), ..Screening::default() };
    log.write("2024-01-08", Screening { spine: Some(Screened::Normal), ..awaited });
    log.write("2024-02-08", Screening { hips: Some(Screened::Normal), ..Screening::default() });
    let screening = log.course().screening.unwrap();
    assert_eq!(
        (screening.hips, screening.spine, screening.nerve_and_muscle),
        (Some(Screened::Normal), Some(Screened::Normal), None)
    );
}

#[test]
fn an_attendance_with_nothing_recorded_is_no_visit() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-12", AppointmentAttended::default());
    let course = log.course();
    assert_eq!(course.seen_on, [day("2024-01-08")]);
    assert_eq!(course.only_attended_on, [day("2024-01-12")]);
}
