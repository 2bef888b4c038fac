//! Leitner's boxes: right moves on, wrong goes back, early practice changes no day.

use practice::{BOX_DAYS, CaseKey, PracticeAnswer, PracticeSchedule, SET};
use proptest::prelude::*;
use record::{Day, HalfPoint, Sign, UserId};
use uuid::Uuid;

fn person(n: u128) -> UserId {
    UserId::new(Uuid::from_u128(n))
}

fn day(n: i32) -> Day {
    Day::new(2025, 1, 1).unwrap().plus_days(n)
}

fn answer(on: i32, sign: Sign, is_right: bool) -> PracticeAnswer {
    let given = if is_right { HalfPoint::Half } else { HalfPoint::One };
    PracticeAnswer {
        person: person(1),
        on: day(on),
        case: CaseKey::new(1),
        sign,
        given,
        reference: HalfPoint::Half,
    }
}

/// A set of three on a day.
fn set(on: i32, sign: Sign, is_right: bool) -> Vec<PracticeAnswer> {
    vec![answer(on, sign, true), answer(on, sign, is_right), answer(on, sign, true)]
}

fn schedule(answers: &[PracticeAnswer], on: i32) -> PracticeSchedule {
    PracticeSchedule::of(answers, person(1), day(on))
}

const HEEL: Sign = Sign::EmptyHeel;

#[test]
fn a_new_person_is_asked_the_first_sign() {
    let schedule = schedule(&[], 0);
    assert_eq!(schedule.next().unwrap().sign, Sign::LateralBorder);
    assert!(schedule.signs.iter().all(|sign| sign.box_number == 0 && sign.is_due(day(0))));
    assert_eq!(schedule.next_day(), None);
}

#[test]
fn three_right_in_a_row_move_one_box_on_and_wait_longer() {
    let mut answers = Vec::new();
    let mut on = 0;
    for (place, days) in BOX_DAYS.into_iter().enumerate() {
        answers.extend(set(on, HEEL, true));
        let schedule = schedule(&answers, on);
        let heel = schedule.sign(HEEL).unwrap();
        assert_eq!((usize::from(heel.box_number), heel.due), (place + 1, Some(day(on + days))));
        assert!(!heel.is_due(day(on + days - 1)) && heel.is_due(day(on + days)));
        on += days;
    }
    // The last box is the last: 30 days again.
    answers.extend(set(on, HEEL, true));
    let heel = *schedule(&answers, on).sign(HEEL).unwrap();
    assert_eq!((heel.box_number, heel.due, heel.answered), (5, Some(day(on + 30)), 6 * SET));
}

#[test]
fn one_wrong_of_three_goes_back_to_the_first_box() {
    // Box 1 until day 1, box 2 until day 1 + 3 = 4, wrong on day 4: box 1 until day 5.
    let answers = [set(0, HEEL, true), set(1, HEEL, true), set(4, HEEL, false)].concat();
    let heel = *schedule(&answers, 4).sign(HEEL).unwrap();
    assert_eq!((heel.box_number, heel.due), (1, Some(day(5))));
}

#[test]
fn practice_before_the_day_moves_nothing_on_and_a_wrong_answer_counts() {
    let early = [set(0, HEEL, true), set(0, HEEL, true)].concat();
    let heel = *schedule(&early, 0).sign(HEEL).unwrap();
    assert_eq!(
        (heel.box_number, heel.due),
        (1, Some(day(1))),
        "the same day shows nothing about remembering"
    );
    // Box 2 on day 1, due on day 4; wrong on day 2, before it is due.
    let wrong = [set(0, HEEL, true), set(1, HEEL, true), set(2, HEEL, false)].concat();
    assert_eq!(schedule(&wrong, 2).sign(HEEL).unwrap().due, Some(day(3)));
}

#[test]
fn a_set_that_was_begun_is_finished_first() {
    let mut answers = set(0, HEEL, true);
    answers.push(answer(0, Sign::TalarHead, true));
    let schedule = schedule(&answers, 0);
    let next = schedule.next().unwrap();
    assert_eq!((next.sign, next.in_set), (Sign::TalarHead, 1));
}

#[test]
fn what_is_due_longest_comes_before_what_is_new() {
    let answers = [set(0, Sign::TalarHead, true), set(1, Sign::MedialCrease, true)].concat();
    assert_eq!(schedule(&answers, 9).next().unwrap().sign, Sign::TalarHead);
    // On day 1 the talar head is due; the medial crease, practised that day, is not; others are new.
    assert_eq!(schedule(&answers, 1).next().unwrap().sign, Sign::TalarHead);
    assert_eq!(schedule(&answers[..3], 0).next().unwrap().sign, Sign::LateralBorder, "new ones in order");
}

#[test]
fn when_nothing_is_due_the_next_day_is_named() {
    let answers: Vec<PracticeAnswer> = Sign::ALL.into_iter().flat_map(|sign| set(0, sign, true)).collect();
    let all = schedule(&answers, 0);
    assert_eq!((all.next(), all.next_day()), (None, Some(day(1))));
}

#[test]
fn other_people_and_later_days_do_not_count() {
    let mut answers = set(0, HEEL, true);
    answers.extend(set(5, HEEL, false));
    answers.extend(set(0, HEEL, false).into_iter().map(|one| PracticeAnswer { person: person(2), ..one }));
    let heel = *schedule(&answers, 3).sign(HEEL).unwrap();
    assert_eq!((heel.answered, heel.box_number), (SET, 1));
}

#[test]
fn the_next_case_changes_with_an_answer_and_not_before() {
    let none = schedule(&[], 0);
    let one = schedule(&[answer(0, HEEL, true)], 0);
    assert_eq!(none.case(HEEL), schedule(&[], 1).case(HEEL));
    assert_ne!(none.case(HEEL), one.case(HEEL));
    assert_eq!(none.case(Sign::TalarHead), one.case(Sign::TalarHead));
    assert!(
        none.asks(HEEL, none.case(HEEL)) && !one.asks(HEEL, none.case(HEEL)),
        "sent twice, it counts once"
    );
}

proptest! {
    /// Whatever was answered: boxes are 0 to 5, a sign with a complete set has a day, and it is never more than 30 days
    /// after the last answer.
    #[test]
    fn boxes_and_days_stay_within_bounds(given in proptest::collection::vec((0_i32..200, 0_usize..6, any::<bool>()), 0..120)) {
        let answers: Vec<PracticeAnswer> = given.iter().map(|(on, sign, right)| answer(*on, Sign::ALL[*sign], *right)).collect();
        for one in schedule(&answers, 200).signs {
            prop_assert!(one.box_number <= 5);
            prop_assert_eq!(one.due.is_some(), one.answered >= SET);
            prop_assert_eq!(one.in_set, one.answered % SET);
            let last = answers.iter().filter(|answer| answer.sign == one.sign).map(|answer| answer.on).max();
            if let (Some(due), Some(last)) = (one.due, last) {
                prop_assert!(due - last <= 30, "{due:?} {last:?}");
            }
        }
    }
}
