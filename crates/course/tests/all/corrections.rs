//! Corrections and withdrawals: which entries are effective.

use crate::child::{Log, day, scored};
use course::{CorrectedLog, Fate, IneffectiveWhy, QuestionKind};
use record::*;

fn fate(log: &Log, id: EntryId) -> Fate {
    CorrectedLog::of(&log.entries, Day::LAST).line(id).unwrap().fate
}

/// The total of the right foot's only score, in half points.
fn total(log: &Log) -> u8 {
    let foot = log.right();
    assert_eq!(foot.scores.len(), 1);
    foot.scores[0].pirani.total().unwrap().0
}

#[test]
fn the_last_recorded_correction_is_effective() {
    let mut log = Log::registered();
    let score = log.write("2024-01-08", scored(Side::Right, [2, 2, 2, 2, 2, 2]));
    log.correct(score, scored(Side::Right, [1, 1, 1, 1, 1, 1]));
    let last = log.correct(score, scored(Side::Right, [1, 1, 1, 1, 1, 2]));
    assert_eq!(total(&log), 7);
    assert_eq!(fate(&log, score), Fate::Corrected { by: last });
    assert_eq!(fate(&log, last), Fate::Amends { entry: score });
    assert!(fate(&log, score).holds() && !fate(&log, last).holds());
    assert_eq!(log.right().scores[0].entry, score, "the corrected entry keeps its place");
}

#[test]
fn a_withdrawn_correction_falls_back_to_the_one_before() {
    let mut log = Log::registered();
    let score = log.write("2024-01-08", scored(Side::Right, [2, 2, 2, 2, 2, 2]));
    let first = log.correct(score, scored(Side::Right, [1, 1, 1, 1, 1, 1]));
    let second = log.correct(score, scored(Side::Right, [0, 0, 0, 0, 0, 0]));
    let by = log.withdraw(second);
    assert_eq!((total(&log), fate(&log, second)), (6, Fate::Withdrawn { by }));
    assert!(!fate(&log, second).holds());
    log.withdraw(first);
    assert_eq!((total(&log), fate(&log, score)), (12, Fate::Unchanged));
    assert!(fate(&log, score).holds());
}

#[test]
fn a_withdrawn_entry_has_no_effect_until_the_withdrawal_is_withdrawn() {
    let mut log = Log::registered();
    let score = log.write("2024-01-08", scored(Side::Right, [2, 2, 2, 2, 2, 2]));
    let by = log.withdraw(score);
    assert_eq!(fate(&log, score), Fate::Withdrawn { by });
    assert!(log.course().feet.is_empty());
    log.correct(score, scored(Side::Right, [1, 1, 1, 1, 1, 1]));
    assert_eq!(fate(&log, score), Fate::Withdrawn { by }, "a correction does not bring it back");
    log.withdraw(by);
    assert_eq!(total(&log), 6);
}

#[test]
fn amendments_dated_later_are_not_seen() {
    let mut log = Log::registered();
    let score = log.write("2024-01-08", scored(Side::Right, [2, 2, 2, 2, 2, 2]));
    log.write("2024-01-15", Note { text: "a week later".to_owned() });
    log.correct(score, scored(Side::Right, [1, 1, 1, 1, 1, 1]));
    let totals = ["2024-01-14", "2024-01-15"]
        .map(|on| log.course_on(on).foot(Side::Right).unwrap().scores[0].pirani.total().unwrap().0);
    assert_eq!(totals, [12, 6]);
}

#[test]
fn a_correction_may_move_the_day_and_the_side() {
    let mut log = Log::registered();
    let cast = log.write("2024-01-08", CastApplied::on(Side::Left));
    log.move_to(cast, "2024-01-07", CastApplied::on(Side::Right));
    let course = log.course();
    assert!(course.foot(Side::Left).is_none());
    assert_eq!(course.foot(Side::Right).unwrap().casts[0].on, day("2024-01-07"));
}

#[test]
fn an_entry_typed_with_a_day_to_come_is_seen_where_a_correction_puts_it() {
    let mut log = Log::registered();
    let cast = log.write("2025-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-09", Note { text: "wrong year".to_owned() });
    log.move_to(cast, "2024-01-08", CastApplied::on(Side::Right));
    let course = log.course_on("2024-01-09");
    assert_eq!(course.foot(Side::Right).unwrap().casts[0].on, day("2024-01-08"));
    assert!(course.questions.is_empty(), "{:?}", course.questions);
}

#[test]
fn an_entry_moved_to_a_day_to_come_waits_for_it_and_asks() {
    let mut log = Log::registered();
    let cast = log.write("2024-01-08", CastApplied::on(Side::Right));
    log.move_to(cast, "2024-02-08", CastApplied::on(Side::Right));
    let before = log.course_on("2024-02-07");
    assert!(before.feet.is_empty());
    assert_eq!(before.questions[0].kind, QuestionKind::OutOfOrder);
    assert_eq!(log.course_on("2024-02-08").feet.len(), 1);
}

#[test]
fn an_amendment_of_a_missing_entry_raises_a_question() {
    let mut log = Log::registered();
    let erased = EntryId::new(uuid::Uuid::from_u128(99));
    let correction = log.correct(erased, Note { text: "better".to_owned() });
    let withdrawal = log.withdraw(erased);
    let course = log.course();
    let asked: Vec<_> =
        course.questions.iter().map(|question| (question.kind, question.entries[0])).collect();
    assert_eq!(asked, [(QuestionKind::AmendsNothing, correction), (QuestionKind::AmendsNothing, withdrawal)]);
}

#[test]
fn a_correction_of_a_correction_has_no_effect_and_raises_a_question() {
    let mut log = Log::registered();
    let score = log.write("2024-01-08", scored(Side::Right, [2, 2, 2, 2, 2, 2]));
    let first = log.correct(score, scored(Side::Right, [1, 1, 1, 1, 1, 1]));
    let second = log.correct(first, scored(Side::Right, [0, 0, 0, 0, 0, 0]));
    assert_eq!(total(&log), 6);
    let log = CorrectedLog::of(&log.entries, Day::LAST);
    let ineffective: Vec<_> =
        log.ineffective.iter().map(|ineffective| (ineffective.entry, ineffective.why)).collect();
    assert_eq!(ineffective, [(second, IneffectiveWhy::CorrectsAmendment)]);
}

#[test]
fn of_two_withdrawals_of_each_other_the_later_counts() {
    let mut log = Log::registered();
    // The next two ids are known beforehand: entries are numbered from 1000.
    let (first, second) = (1001, 1002);
    let id = |number| EntryId::new(uuid::Uuid::from_u128(number));
    let withdrawal = |number| Withdrawal { entry: id(number), reason: "no".to_owned() };
    log.write("2024-01-08", withdrawal(second));
    log.write("2024-01-08", withdrawal(first));
    assert_eq!(fate(&log, id(first)), Fate::Withdrawn { by: id(second) });
    assert_eq!(fate(&log, id(second)), Fate::Amends { entry: id(first) });
}

#[test]
fn entries_of_another_child_are_left_out() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.entries.last_mut().unwrap().child = ChildId::new(uuid::Uuid::from_u128(8));
    assert!(log.course().feet.is_empty());
}
