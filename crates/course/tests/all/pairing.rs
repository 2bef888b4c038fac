//! Second scores: what makes a pair, what does not, and that the course reads none of it.

use crate::child::{Log, day, scored};
use course::{
    Course,
    pairing::{BlindPair, NoPair, pairs},
};
use record::*;

const VISIT: &str = "2024-01-15";
const FIRST: [u8; 6] = [1, 1, 2, 2, 2, 1];
const SECOND: [u8; 6] = [1, 2, 2, 2, 1, 1];

/// A child scored once, right foot, by writer 1.
fn first() -> (Log, EntryId) {
    let mut log = Log::registered();
    let first = log.write(VISIT, scored(Side::Right, FIRST));
    log.by = 2;
    (log, first)
}

fn second(side: Side, signs: [u8; 6], first: Option<EntryId>) -> SecondScore {
    SecondScore { pirani: scored(side, signs).pirani, ..SecondScore::of(side, first) }
}

fn found(log: &Log) -> Result<BlindPair<'_>, NoPair> {
    let found = pairs(&log.entries, Day::LAST);
    assert_eq!(found.len(), 1, "{found:?}");
    found[0].1
}

#[test]
fn two_people_one_foot_one_visit_make_a_pair() {
    let (mut log, first) = first();
    let again = log.write(VISIT, second(Side::Right, SECOND, Some(first)));
    let pair = found(&log).unwrap();
    assert_eq!((pair.side, pair.on, pair.amended), (Side::Right, day(VISIT), false));
    assert_eq!(pair.scores.map(|score| score.entry), [first, again]);
    assert_eq!(pair.scores.map(|score| score.pirani.total()), [Some(Halves(9)), Some(Halves(9))]);
    assert_ne!(pair.scores[0].rater, pair.scores[1].rater);
    assert!(pairs(&log.entries, day("2024-01-14")).is_empty(), "the day before nothing was known");
}

#[test]
fn without_a_name_the_only_score_of_that_foot_and_day_is_meant() {
    let (mut log, first) = first();
    log.write(VISIT, second(Side::Right, SECOND, None));
    assert_eq!(found(&log).unwrap().scores[0].entry, first);
    log.by = 3;
    log.write(VISIT, scored(Side::Right, SECOND));
    assert_eq!(found(&log), Err(NoPair::NotTheOnlyOne), "two others scored it");
    let (mut log, _) = self::first();
    log.write(VISIT, second(Side::Left, SECOND, None));
    assert_eq!(found(&log), Err(NoPair::NotTheOnlyOne), "nobody scored that foot");
}

#[test]
fn what_does_not_belong_together_is_no_pair_and_says_why() {
    let (mut log, _) = first();
    let stray = EntryId::new(uuid::Uuid::from_u128(1));
    log.write(VISIT, second(Side::Right, SECOND, Some(stray)));
    assert_eq!(found(&log), Err(NoPair::Unknown));

    let (mut log, first_score) = first();
    log.write(VISIT, second(Side::Left, SECOND, Some(first_score)));
    assert_eq!(found(&log), Err(NoPair::OtherFoot(Side::Right)));
    let said = NoPair::OtherFoot(Side::Right).sentence();
    assert!(said.contains("first score is of the right foot and this one of the left"), "{said}");

    let (mut log, first_score) = first();
    log.write("2024-01-16", second(Side::Right, SECOND, Some(first_score)));
    assert_eq!(found(&log), Err(NoPair::OtherDay(day(VISIT))));

    let (mut log, first_score) = first();
    log.by = 1;
    log.write(VISIT, second(Side::Right, SECOND, Some(first_score)));
    assert_eq!(found(&log), Err(NoPair::SamePerson));

    let (mut log, first_score) = first();
    log.write(VISIT, second(Side::Right, SECOND, Some(first_score)));
    log.entries.last_mut().unwrap().child = ChildId::new(uuid::Uuid::from_u128(8));
    assert_eq!(found(&log), Err(NoPair::OtherChild));

    let (mut log, first_score) = first();
    log.write(VISIT, second(Side::Right, SECOND, Some(first_score)));
    log.withdraw(first_score);
    assert_eq!(found(&log), Err(NoPair::Withdrawn));

    let (mut log, _) = first();
    let note = log.write(VISIT, Note { text: "n".to_owned() });
    log.write(VISIT, second(Side::Right, SECOND, Some(note)));
    assert_eq!(found(&log), Err(NoPair::NoScore));

    let (mut log, _) = first();
    log.by = 1;
    let length = Assessment { foot_length_mm: Some(84), ..Assessment::of(Side::Right) };
    let length = log.write(VISIT, length);
    log.by = 2;
    log.write(VISIT, second(Side::Right, SECOND, Some(length)));
    assert_eq!(found(&log), Err(NoPair::NoScore), "a length is no score");
}

#[test]
fn a_name_on_the_score_is_the_rater_not_the_one_who_typed_it() {
    let (mut log, first_score) = first();
    log.by = 1;
    let by = |name: &str| SecondScore {
        scored_by: Some(name.to_owned()),
        ..second(Side::Right, SECOND, Some(first_score))
    };
    log.write(VISIT, by("O. Other"));
    assert!(found(&log).is_ok(), "one clerk typed both, two people scored");
}

#[test]
fn a_withdrawn_second_score_is_none_and_one_withdrawn_withdrawal_is_one_again() {
    let (mut log, first_score) = first();
    let again = log.write(VISIT, second(Side::Right, SECOND, Some(first_score)));
    let withdrawal = log.withdraw(again);
    assert!(pairs(&log.entries, Day::LAST).is_empty());
    log.withdraw(withdrawal);
    assert!(found(&log).is_ok());
}

/// Whoever corrects a score afterwards has seen the other one: it no longer tells of two blind people.
#[test]
fn a_correction_made_afterwards_does_not_change_the_pair_and_is_told() {
    let (mut log, first_score) = first();
    log.write(VISIT, second(Side::Right, SECOND, Some(first_score)));
    log.correct(first_score, scored(Side::Right, SECOND));
    let pair = found(&log).unwrap();
    assert_eq!(pair.scores[0].pirani, scored(Side::Right, FIRST).pirani);
    assert!(pair.amended);
}

#[test]
fn a_correction_made_before_the_second_score_counts() {
    let (mut log, first_score) = first();
    log.by = 1;
    log.correct(first_score, scored(Side::Right, [0; 6]));
    log.by = 2;
    log.write(VISIT, second(Side::Right, SECOND, Some(first_score)));
    let pair = found(&log).unwrap();
    assert_eq!((pair.scores[0].pirani.total(), pair.amended), (Some(Halves(0)), false));
}

#[test]
fn a_correction_to_the_other_foot_takes_the_pair_away() {
    let (mut log, first_score) = first();
    log.write(VISIT, second(Side::Right, SECOND, Some(first_score)));
    log.correct(first_score, scored(Side::Left, FIRST));
    assert_eq!(found(&log), Err(NoPair::OtherFoot(Side::Left)));
}

/// The one rule that keeps a second score from ever being taken for the child's own.
#[test]
fn the_course_is_the_same_with_and_without_it() {
    let (mut log, first_score) = first();
    log.write("2024-01-15", CastApplied::on(Side::Right));
    let before = log.clone();
    // Also of the foot that is not affected, and also worse and better than the first.
    for (side, signs) in [(Side::Right, [0; 6]), (Side::Right, [2; 6]), (Side::Left, [2; 6])] {
        log.write(VISIT, second(side, signs, Some(first_score)));
    }
    log.write("2024-02-20", second(Side::Right, [2; 6], None));
    for as_of in ["2024-01-15", "2024-01-22", "2024-06-01"] {
        let course = |log: &Log| format!("{:?}", Course::of(log.child, &log.entries, day(as_of)));
        assert_eq!(course(&log), course(&before), "{as_of}");
    }
}
