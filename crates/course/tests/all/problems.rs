//! Problems, and when each was settled.

use crate::child::{Log, day};
use record::*;
use rstest::rstest;

fn problem(what: ProblemKind, side: Option<Side>) -> Problem {
    Problem { side, ..Problem::of(what) }
}

fn settled(what: ProblemKind, side: Option<Side>) -> Problem {
    Problem { settled: true, ..problem(what, side) }
}

fn settled_on(log: &Log) -> Vec<Option<Day>> {
    log.course().problems.iter().map(|problem| problem.settled_on).collect()
}

const RIGHT: Option<Side> = Some(Side::Right);

#[test]
fn settled_by_the_entry_that_answers_it() {
    let mut log = Log::registered();
    let first = log.write("2024-03-01", problem(ProblemKind::SkinRed, RIGHT));
    log.write("2024-03-02", problem(ProblemKind::SkinRed, RIGHT));
    log.answer("2024-03-05", first, settled(ProblemKind::SkinRed, RIGHT));
    assert_eq!(settled_on(&log), [Some(day("2024-03-05")), None]);
}

#[test]
fn settled_by_a_later_entry_on_the_same_kind_and_foot() {
    let mut log = Log::registered();
    log.write("2024-03-01", problem(ProblemKind::SkinRed, RIGHT));
    log.write("2024-03-01", problem(ProblemKind::SkinRed, Some(Side::Left)));
    log.write("2024-03-01", problem(ProblemKind::Blister, RIGHT));
    log.write("2024-03-05", settled(ProblemKind::SkinRed, RIGHT));
    log.write("2024-03-06", problem(ProblemKind::SkinRed, RIGHT));
    assert_eq!(settled_on(&log), [Some(day("2024-03-05")), None, None, None]);
}

#[rstest]
#[case(ProblemKind::CastSlipped, true)]
#[case(ProblemKind::ToesNotSeen, true)]
#[case(ProblemKind::ToesColour, true)]
#[case(ProblemKind::Swelling, true)]
#[case(ProblemKind::SkinBroken, false)]
#[case(ProblemKind::Fever, false)]
fn a_problem_of_the_cast_is_settled_by_the_next_cast(#[case] what: ProblemKind, #[case] by_cast: bool) {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-10", problem(what, RIGHT));
    log.casts("2024-01-15", 1, Side::Left);
    assert_eq!(settled_on(&log), [None], "the other foot's cast settles nothing");
    log.casts("2024-01-16", 1, Side::Right);
    assert_eq!(settled_on(&log), [by_cast.then(|| day("2024-01-16"))]);
}

#[test]
fn on_one_day_only_entries_recorded_with_it_or_after_it_settle_a_problem() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-15", problem(ProblemKind::CastSlipped, RIGHT));
    log.casts("2024-01-15", 1, Side::Right);
    log.write("2024-01-15", problem(ProblemKind::ToesColour, RIGHT));
    assert_eq!(settled_on(&log), [Some(day("2024-01-15")), None], "the evening call is about the new cast");
}

#[test]
fn without_a_foot_every_foot_in_a_cast_must_be_seen_to() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.casts("2024-01-08", 1, Side::Left);
    log.write("2024-01-10", problem(ProblemKind::ToesColour, None));
    log.casts("2024-01-11", 1, Side::Right);
    assert_eq!(settled_on(&log), [None]);
    log.write("2024-01-12", CastRemoved { side: Side::Left, why: RemovalReason::Circulation, note: None });
    assert_eq!(settled_on(&log), [Some(day("2024-01-12"))]);
}

#[test]
fn the_brace_shows_that_the_cast_is_off() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-10", problem(ProblemKind::ToesNotSeen, RIGHT));
    log.write("2024-01-29", BraceFitted::default());
    assert_eq!(settled_on(&log), [Some(day("2024-01-29"))]);
}

#[test]
fn a_problem_and_a_new_cast_of_one_form_are_settled_together() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 1, Side::Right);
    log.write("2024-01-15", problem(ProblemKind::CastSlipped, RIGHT));
    log.casts("2024-01-15", 1, Side::Right);
    let written = log.entries[2].at;
    log.entries[3].at = written;
    assert_eq!(settled_on(&log), [Some(day("2024-01-15"))]);
}

#[test]
fn advice_belongs_to_its_problem_and_is_not_a_new_one() {
    let mut log = Log::registered();
    let first = log.write("2024-03-01", problem(ProblemKind::HeelSlipsOut, RIGHT));
    let advise = |advised: &str| Problem {
        advised: Some(advised.to_owned()),
        ..problem(ProblemKind::HeelSlipsOut, RIGHT)
    };
    log.answer("2024-03-01", first, advise("strap"));
    log.answer("2024-03-02", first, advise("thin socks"));
    let helped = |helped| Problem { helped: Some(helped), ..problem(ProblemKind::HeelSlipsOut, RIGHT) };
    log.answer("2024-03-08", first, Problem { advised: Some("strap".into()), ..helped(Helped::No) });
    log.answer("2024-03-09", first, Problem { settled: true, ..helped(Helped::Yes) });
    let problems = log.course().problems;
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].settled_on, Some(day("2024-03-09")));
    let advice: Vec<_> = problems[0].advice.iter().map(|advice| (&*advice.advised, advice.helped)).collect();
    assert_eq!(advice, [("strap", Some(Helped::No)), ("thin socks", Some(Helped::Yes))]);
}

#[test]
fn advice_that_answers_another_kind_of_problem_is_a_problem_of_its_own() {
    let mut log = Log::registered();
    let first = log.write("2024-03-01", problem(ProblemKind::HeelSlipsOut, RIGHT));
    let other = Problem { advised: Some("dress it".into()), ..problem(ProblemKind::Blister, RIGHT) };
    log.answer("2024-03-02", first, other);
    let problems = log.course().problems;
    assert_eq!(problems.len(), 2);
    assert_eq!(problems[1].advice.len(), 1);
}
