//! Casts: number, end, purpose, and episodes.

use crate::child::{Log, day, scored};
use course::QuestionKind;
use record::*;
use rstest::rstest;

fn removed(why: RemovalReason) -> CastRemoved {
    CastRemoved { side: Side::Right, why, note: None }
}

fn stated(purpose: CastPurpose) -> CastApplied {
    CastApplied { purpose: Some(purpose), ..CastApplied::on(Side::Right) }
}

#[test]
fn a_cast_ends_with_the_next_cast_or_the_brace() {
    let foot = Log::usual().right();
    let off: Vec<_> = foot.casts.iter().map(|cast| cast.off.unwrap()).collect();
    let ends = ["2024-01-15", "2024-01-22", "2024-01-29", "2024-02-05", "2024-02-26"];
    assert_eq!(off, ends.map(|on| (day(on), None)));
}

#[test]
fn a_removal_records_its_reason() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-11", removed(RemovalReason::Slipped));
    log.casts("2024-01-15", 1, Side::Right);
    assert_eq!(log.right().casts[0].off, Some((day("2024-01-11"), Some(RemovalReason::Slipped))));
}

#[test]
fn a_score_does_not_show_the_cast_off() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-15", scored(Side::Right, [1; 6]));
    assert!(log.right().cast_on().is_some());
}

#[test]
fn each_foot_has_its_own_casts() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 3, Side::Right);
    log.casts("2024-01-15", 2, Side::Left);
    let course = log.course();
    let numbers = |side| course.foot(side).unwrap().casts.iter().map(|cast| cast.number).collect::<Vec<_>>();
    assert_eq!((numbers(Side::Right), numbers(Side::Left)), (vec![1, 2, 3], vec![1, 2]));
}

#[rstest]
#[case::written_before_the_new_one(true)]
#[case::written_after_the_new_one(false)]
fn a_removal_on_the_day_of_a_cast_is_of_the_cast_before(#[case] removal_first: bool) {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    if removal_first {
        log.write("2024-01-15", removed(RemovalReason::Planned));
    }
    log.write("2024-01-15", CastApplied::on(Side::Right));
    if !removal_first {
        log.write("2024-01-15", removed(RemovalReason::Planned));
    }
    let foot = log.right();
    assert_eq!(foot.casts[0].off, Some((day("2024-01-15"), Some(RemovalReason::Planned))));
    assert_eq!(foot.casts[1].off, None);
}

#[test]
fn a_cast_taken_off_on_its_own_day_may_be_followed_by_another() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-08", removed(RemovalReason::Circulation));
    log.write("2024-01-08", CastApplied::on(Side::Right));
    let foot = log.right();
    let numbers: Vec<_> = foot.casts.iter().map(|cast| (cast.number, cast.off.is_some())).collect();
    assert_eq!(numbers, [(1, true), (2, false)]);
    assert!(log.course().questions.is_empty());
}

#[test]
fn a_cast_from_elsewhere_taken_off_before_the_first_one_here_leaves_that_one_on() {
    let mut log = Log::registered();
    log.write("2024-01-08", removed(RemovalReason::Planned));
    log.write("2024-01-08", CastApplied::on(Side::Right));
    assert!(log.right().cast_on().is_some());
}

#[test]
fn one_cast_recorded_twice_counts_once_and_raises_a_question() {
    let mut log = Log::registered();
    let first = log.write("2024-01-08", CastApplied::on(Side::Right));
    log.by = 2;
    let again = log.write("2024-01-08", CastApplied { number: Some(1), ..CastApplied::on(Side::Right) });
    let third = log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-15", CastApplied::on(Side::Right));
    let course = log.course();
    let casts = &course.foot(Side::Right).unwrap().casts;
    assert_eq!(casts.iter().map(|cast| cast.number).collect::<Vec<_>>(), [1, 2]);
    assert_eq!(casts[0].entry, first);
    assert_eq!(course.questions.len(), 1);
    assert_eq!(course.questions[0].kind, QuestionKind::Clash);
    assert_eq!(course.questions[0].entries, [first, again, third]);
}

#[test]
fn a_purpose_not_recorded_is_after_tenotomy_on_its_day_or_for_the_first_cast_since() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-15", TenotomyDone::on(Side::Right));
    log.casts("2024-01-16", 2, Side::Right);
    let purposes: Vec<_> = log.right().casts.iter().map(|cast| cast.purpose).collect();
    use CastPurpose::{AfterTenotomy, Correction};
    assert_eq!(purposes, [Correction, AfterTenotomy, Correction]);
    let episode = log.right().episodes[0];
    assert_eq!((episode.casts, episode.correcting_casts), (3, 2));
}

#[test]
fn a_recorded_purpose_is_used() {
    let mut log = Log::registered();
    log.write("2024-01-08", stated(CastPurpose::Holding));
    log.write("2024-01-15", TenotomyDone::on(Side::Right));
    log.write("2024-01-15", stated(CastPurpose::Holding));
    let purposes: Vec<_> = log.right().casts.iter().map(|cast| cast.purpose).collect();
    assert_eq!(purposes, [CastPurpose::Holding; 2]);
    assert_eq!(log.right().episodes[0].correcting_casts, 0);
}

#[test]
fn the_other_foots_tenotomy_does_not_affect_this_foots_cast() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-08", TenotomyDone::on(Side::Left));
    assert_eq!(log.right().casts[0].purpose, CastPurpose::Correction);
}

#[rstest]
#[case("2024-01-14", None)]
#[case("2024-01-15", None)] // the first cast goes on that day, after the score
#[case("2024-01-16", Some(1))]
#[case("2024-01-22", Some(7))] // the second cast goes on that day and is not counted
#[case("2024-01-23", Some(1))]
fn days_since_the_last_cast(#[case] on: &str, #[case] days: Option<i32>) {
    let mut log = Log::registered();
    log.casts("2024-01-15", 2, Side::Right);
    log.write(on, scored(Side::Right, [1; 6]));
    assert_eq!(log.right().scores[0].days_since_cast, days);
}
