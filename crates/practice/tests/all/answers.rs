//! What is said about an answer.

use practice::{CannotShowAnswer, CaseKey, DRAWING_VERSION, DrawnCase, PracticeAnswer, SignGeometry};
use record::{Day, HalfPoint, Sign, UserId};
use uuid::Uuid;

fn person() -> UserId {
    UserId::new(Uuid::from_u128(7))
}

fn day() -> Day {
    Day::new(2025, 3, 4).unwrap()
}

#[test]
fn an_answer_says_what_was_given_what_is_right_and_what_to_look_at() {
    for seed in 0..60 {
        let case = DrawnCase::of(CaseKey::new(seed)).unwrap();
        for sign in Sign::ALL {
            for given in HalfPoint::ALL {
                let answer = PracticeAnswer::of(person(), day(), &case, sign, given);
                let (shown, said) = answer.explained().unwrap();
                assert_eq!(shown, case);
                assert_eq!((said.given, said.right), (given, case.level(sign)));
                assert_eq!(said.how, sign.how());
                assert_eq!(said.given_would_be.is_some(), given != said.right);
                assert!((said.range.0..=said.range.1).contains(&said.value), "{said:?}");
                assert_eq!(said.drawn, SignGeometry::of(sign).level(said.right).drawn);
                assert_eq!(answer.is_right(), answer.difference() == 0.0);
            }
        }
    }
}

#[test]
fn the_difference_is_given_minus_drawn() {
    let case = (0..)
        .map(|seed| DrawnCase::of(CaseKey::new(seed)).unwrap())
        .find(|case| case.level(Sign::EmptyHeel) == HalfPoint::Half)
        .unwrap();
    let difference = |given| PracticeAnswer::of(person(), day(), &case, Sign::EmptyHeel, given).difference();
    assert_eq!(HalfPoint::ALL.map(difference), [-0.5, 0.0, 0.5]);
}

#[test]
fn an_answer_that_contradicts_its_drawing_is_not_shown() {
    let case = DrawnCase::of(CaseKey::new(11)).unwrap();
    let right = case.level(Sign::MedialCrease);
    let wrong = HalfPoint::ALL.into_iter().find(|level| *level != right).unwrap();
    let kept = PracticeAnswer {
        reference: wrong,
        ..PracticeAnswer::of(person(), day(), &case, Sign::MedialCrease, right)
    };
    let Err(error) = kept.explained() else { panic!("it was shown") };
    assert_eq!(error, CannotShowAnswer::Contradicts { stored: wrong, drawn: right });
    assert!(error.to_string().ends_with("cannot be told"));

    let old = PracticeAnswer { case: CaseKey { drawing: DRAWING_VERSION + 9, ..case.key }, ..kept };
    assert!(matches!(old.explained(), Err(CannotShowAnswer::OtherVersion(_))));
}
