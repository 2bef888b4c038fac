//! A forecast reads from a course what was observed, and guesses nothing.

use course::{Course, QuestionKind};
use forecast::natural_history::entries::{Clerk, entries};
use forecast::natural_history::{Calendar, ChildTruth, ClinicHabits, Cohort, Parameters, seen, simulate};
use forecast::{Seen, SeenChild, SeenFoot, SeenVisit};
use record::{
    Assessment, Body, BraceFitted, CastApplied, CastPurpose, ChildId, Day, Entry, EntryId, HalfPoint, Pirani,
    Registration, Side, SiteId, TenotomyDone, Timestamp, UserId,
};
use uuid::Uuid;

fn nobody(_: &ChildTruth) -> Registration {
    Registration { given_name: "Aldo".to_owned(), ..Registration::default() }
}

/// Angles are recorded to two degrees, so they are left out. The two differ in whether the cast at the decision
/// counts as one for correction, which does not affect a forecast.
fn bare(foot: &SeenFoot) -> Vec<SeenVisit> {
    let visits = foot.visits.iter().map(|visit| {
        let cast = visit.cast && foot.ready_day != Some(visit.day);
        SeenVisit { dorsiflexion_deg: None, abduction_deg: None, cast, ..*visit }
    });
    visits.collect()
}

/// Every child as of each of its visits, read from its entries and course, compared with the observations of the
/// simulation. Children whose feet look swapped by chance are left out.
#[test]
fn a_course_gives_the_same_observations_as_the_simulation() {
    let calendar = Calendar { first_referral: 18_518, last_referral: 20_000, as_of: 20_782 };
    let cohort = Cohort::usual(150, 8, calendar);
    let children = simulate(&Parameters::published(), &ClinicHabits::published(), &cohort).unwrap();
    let clerk = Clerk {
        seed: 9,
        as_of: calendar.as_of,
        site: SiteId::new(Uuid::from_u128(1)),
        staff: &[],
        registration: &nobody,
        referred_from: None,
        tenotomy_place: None,
    };
    let mut compared = 0;
    for child in &children {
        let log = entries(child, &clerk);
        // A relapse takes both feet out of the brace; full time does not end as it was drawn.
        let again = child.truth.feet.iter().filter_map(|foot| foot.relapse_day).min().unwrap_or(i32::MAX);
        for &day in child.truth.cast_visit_days.iter().chain([&calendar.as_of]) {
            let course = Course::of(log[0].child, &log, Day::from_number(day));
            let odd = course.questions.iter().any(|asked| asked.kind == QuestionKind::SidesSwapped);
            let expected = seen(&child.truth, day);
            if odd || expected.left_day.is_some() {
                continue;
            }
            let found = SeenChild::of(&course).child;
            assert_eq!(found.born_day, expected.born_day);
            for (found, expected) in found.feet.iter().zip(&expected.feet) {
                let context = format!("day {day}\n{found:#?}\n{expected:#?}");
                // A decision with neither booking nor holding cast shows only in what follows.
                if found.ready_day.is_some() || expected.ready_day.is_none() {
                    assert_eq!(found.ready_day, expected.ready_day, "{context}");
                    assert_eq!(bare(found), bare(expected), "{context}");
                }
                assert_eq!(found.casts, expected.casts, "{context}");
                assert_eq!(found.tenotomy_day, expected.tenotomy_day, "{context}");
                assert_eq!(found.brace_day, expected.brace_day, "{context}");
                if again > child.truth.full_time_end_day {
                    assert_eq!(found.full_time_end_day, expected.full_time_end_day, "{context}");
                }
                assert_eq!(found.relapse_day, expected.relapse_day, "{context}");
                compared += 1;
            }
        }
    }
    assert!(compared > 1_000, "{compared}");
}

fn day(number: i32) -> Day {
    Day::from_number(19_000 + number)
}

/// The log of a child, with a day and a body per line; every entry is written on its day.
fn log(lines: Vec<(i32, Body)>) -> (ChildId, Vec<Entry>) {
    let child = ChildId::new(Uuid::from_u128(7));
    let entry = |(number, (on, body)): (usize, (i32, Body))| Entry {
        id: EntryId::new(Uuid::from_u128(100 + number as u128)),
        child,
        body,
        on: day(on),
        at: Timestamp::from_seconds(i64::from(day(on).number()) * 86_400 + number as i64),
        by: UserId::new(Uuid::from_u128(1)),
        site: SiteId::new(Uuid::from_u128(2)),
        follows: None,
    };
    (child, lines.into_iter().enumerate().map(entry).collect())
}

fn read(lines: Vec<(i32, Body)>, as_of: i32) -> Seen {
    let (child, entries) = log(lines);
    SeenChild::of(&Course::of(child, &entries, day(as_of)))
}

fn scored(points: [Option<HalfPoint>; 6]) -> Body {
    let pirani = Pirani {
        lateral_border: points[0],
        medial_crease: points[1],
        talar_head: points[2],
        posterior_crease: points[3],
        rigid_equinus: points[4],
        empty_heel: points[5],
    };
    Body::Assessment(Assessment { pirani, ..Assessment::of(Side::Left) })
}

fn cast(purpose: Option<CastPurpose>) -> Body {
    Body::CastApplied(CastApplied { purpose, ..CastApplied::on(Side::Left) })
}

#[test]
fn a_sign_recorded_with_two_values_is_left_out_with_a_note() {
    let one = Some(HalfPoint::One);
    let mut other = [one; 6];
    other[2] = Some(HalfPoint::Zero);
    let found = read(vec![(0, scored([one; 6])), (0, scored(other)), (0, cast(None))], 3);
    let visit = &found.child.feet[0].visits[0];
    assert_eq!(visit.signs[2], None);
    assert_eq!(visit.signs[0], one);
    assert!(
        found
            .left_out
            .iter()
            .any(|left| left.text.contains("Lateral head of talus: recorded with two values"))
    );
    assert!(found.left_out.iter().any(|left| left.text.contains("day of birth is not recorded")));
}

#[test]
fn the_decision_is_the_first_holding_cast_or_else_the_last_score_before_the_tenotomy() {
    let half = [Some(HalfPoint::Half); 6];
    let cut = || Body::TenotomyDone(TenotomyDone::on(Side::Left));
    let start = || vec![(0, scored(half)), (0, cast(None)), (7, scored(half))];
    let mut held = start();
    held.extend([(7, cast(Some(CastPurpose::Holding))), (14, scored(half)), (14, cut())]);
    let foot = read(held, 20).child.feet.remove(0);
    assert_eq!(foot.ready_day, Some(day(7).number()));
    assert_eq!(foot.visits.len(), 2);
    let mut plain = start();
    plain.extend([(7, cast(None)), (14, scored(half)), (14, cut())]);
    let foot = read(plain, 20).child.feet.remove(0);
    assert_eq!(foot.ready_day, Some(day(14).number()));
    assert_eq!(foot.tenotomy_decided, Some(true));
}

#[test]
fn a_tenotomy_without_a_score_before_it_leaves_the_decision_unknown() {
    let lines = vec![(0, cast(None)), (7, Body::TenotomyDone(TenotomyDone::on(Side::Left)))];
    let found = read(lines, 20);
    assert_eq!(found.child.feet[0].ready_day, None);
    assert!(
        found
            .left_out
            .iter()
            .any(|left| left.text.contains("the day on which the foot was ready is unknown"))
    );
}

#[test]
fn scores_in_the_brace_are_not_visits_of_casting() {
    let half = [Some(HalfPoint::Half); 6];
    let brace = Body::BraceFitted(BraceFitted {
        brace: record::Brace::default(),
        regime: None,
        hours_prescribed: None,
        fitted_by: None,
    });
    let lines = vec![(0, scored(half)), (0, cast(None)), (7, scored(half)), (7, brace), (50, scored(half))];
    let foot = read(lines, 60).child.feet.remove(0);
    assert_eq!(foot.visits.len(), 2);
    assert_eq!((foot.ready_day, foot.brace_day), (Some(day(7).number()), Some(day(7).number())));
    assert_eq!(foot.tenotomy_decided, Some(false));
}
