//! Left and right swapped between visits.

use crate::child::{Log, day, scored};
use course::{Question, QuestionKind};
use record::*;
use rstest::rstest;

type Signs = [u8; 6];

const BAD: Signs = [2, 2, 2, 2, 2, 2];
const BETTER: Signs = [1, 1, 1, 2, 2, 2];
const GOOD: Signs = [0, 0, 0, 1, 1, 1];

/// Both feet scored at visits, each this many days after 2024-01-08.
fn visits(visits: &[(i32, Signs, Signs)]) -> Log {
    let mut log = Log::registered();
    for &(after, right, left) in visits {
        log.write_on(day("2024-01-08") + after, scored(Side::Right, right));
        log.write_on(day("2024-01-08") + after, scored(Side::Left, left));
    }
    log
}

fn asked(log: &Log) -> Vec<Question> {
    let mut questions = log.course().questions;
    questions.retain(|question| question.kind == QuestionKind::SidesSwapped);
    questions
}

#[rstest]
#[case::unchanged(BAD, GOOD, BAD, GOOD, false)]
#[case::both_better(BAD, BETTER, BETTER, GOOD, false)]
#[case::one_catches_up(BAD, GOOD, GOOD, GOOD, false)]
#[case::one_relapses(GOOD, GOOD, GOOD, BAD, false)]
#[case::swapped(BAD, GOOD, GOOD, BAD, true)]
#[case::swapped_and_better(BAD, GOOD, GOOD, BETTER, true)]
#[case::alike_feet_cannot_be_distinguished(BAD, BAD, BAD, BAD, false)]
// Right 4.5 → 3 is 3 halves from its own 9 and 3 from the other's 3: no nearer.
#[case::half_way(BETTER, GOOD, [0, 0, 0, 2, 2, 2], BETTER, false)]
fn both_feet_scored_at_two_visits(
    #[case] right: Signs,
    #[case] left: Signs,
    #[case] right_next: Signs,
    #[case] left_next: Signs,
    #[case] asks: bool,
) {
    let log = visits(&[(0, right, left), (7, right_next, left_next)]);
    let questions = asked(&log);
    assert_eq!(questions.len(), usize::from(asks), "{questions:?}");
    assert!(questions.iter().all(|question| question.entries.len() == 4));
}

/// Feet that differ by `differing` signs of half a point are exchanged: each foot is then nearer to the
/// other's by that many halves, both together by twice as many.
#[rstest]
#[case(2, false)] // 2 + 2 = 4 halves, under the 6 needed
#[case(3, true)] // 3 + 3 = 6
fn the_limit_of_three_points_together(#[case] differing: usize, #[case] asks: bool) {
    let worse = [1; 6];
    let mut better = worse;
    better[..differing].fill(0);
    let log = visits(&[(0, worse, better), (7, better, worse)]);
    assert_eq!(asked(&log).len(), usize::from(asks));
}

#[rstest]
#[case::day_60(60, 1)]
#[case::day_61(61, 0)]
fn visits_far_apart_are_not_compared(#[case] days: i32, #[case] questions: usize) {
    let log = visits(&[(0, BAD, GOOD), (days, GOOD, BAD)]);
    assert_eq!(asked(&log).len(), questions);
}

#[test]
fn one_odd_visit_raises_one_question() {
    let log = visits(&[(0, BAD, GOOD), (7, GOOD, BAD), (14, BAD, GOOD), (21, BAD, GOOD)]);
    let questions = asked(&log);
    assert_eq!(questions.len(), 1);
    assert_eq!(questions[0].on, day("2024-01-15"));
}

#[test]
fn incomplete_scores_are_not_compared() {
    let mut log = visits(&[(0, BAD, GOOD)]);
    let mut half = scored(Side::Right, GOOD);
    half.pirani.empty_heel = None;
    log.write("2024-01-15", half);
    log.write("2024-01-15", scored(Side::Left, BAD));
    assert!(asked(&log).is_empty());
}

#[test]
fn a_child_with_one_foot_whose_entries_change_side() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 2, Side::Right);
    let before = log.entries.last().unwrap().id;
    let other = log.write("2024-01-22", CastApplied::on(Side::Left));
    log.casts("2024-01-29", 2, Side::Right);
    let questions = asked(&log);
    assert_eq!(questions.len(), 1);
    assert_eq!(questions[0].entries, [before, other]);
    assert_eq!(questions[0].side, Some(Side::Left));
}

#[test]
fn the_diagnosis_is_right_and_the_first_cast_left() {
    let mut log = Log::registered();
    let diagnosis =
        |side| Diagnosis { side, nature: Some(Nature::Idiopathic), complex: None, earlier_treatment: None };
    log.write("2024-01-08", diagnosis(Side::Right));
    log.write("2024-01-08", CastApplied::on(Side::Left));
    assert_eq!(asked(&log).len(), 1);
    log.write("2024-01-09", diagnosis(Side::Left));
    assert!(asked(&log).is_empty(), "both feet are affected after all");
}

#[test]
fn feet_treated_in_turn_are_not_swapped() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-08", CastApplied::on(Side::Left));
    log.write("2024-01-15", CastApplied::on(Side::Right));
    log.write("2024-01-22", CastApplied::on(Side::Left));
    assert!(asked(&log).is_empty());
}
