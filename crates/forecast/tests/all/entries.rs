//! The entries of simulated children contain what was observed, and nothing that a record would refuse.

use course::{Course, QuestionKind, Standing};
use forecast::natural_history::entries::{Clerk, clinic_entries, entries};
use forecast::natural_history::{
    Calendar, ChildTruth, ClinicHabits, Cohort, Parameters, SimulatedChild, simulate,
};
use record::{Body, CastPurpose, Day, Kind, Registration, Severity, SiteId, UserId};
use std::collections::BTreeSet;
use uuid::Uuid;

/// 2020-09-13 to 2026-07-25, seen on 2026-11-25.
const CALENDAR: Calendar = Calendar { first_referral: 18_518, last_referral: 20_659, as_of: 20_782 };

fn names(child: &ChildTruth) -> Registration {
    Registration {
        given_name: "Aldo".to_owned(),
        numbers: vec![format!("X{}", child.number)],
        ..Registration::default()
    }
}

fn clerk(staff: &[UserId]) -> Clerk<'_> {
    let site = SiteId::new(Uuid::from_u128(1));
    let (referred_from, tenotomy_place) = (Some("maternity ward"), Some("day theatre"));
    Clerk { seed: 9, as_of: CALENDAR.as_of, site, staff, registration: &names, referred_from, tenotomy_place }
}

fn children(count: usize, signs_left_out: f64) -> Vec<SimulatedChild> {
    let cohort = Cohort {
        wear_logged: 0.3,
        other_cause: 0.05,
        visits_unwritten: 0.1,
        signs_left_out,
        movement_measured: 0.8,
        ..Cohort::usual(count, 21, CALENDAR)
    };
    simulate(&Parameters::published(), &ClinicHabits::published(), &cohort).unwrap()
}

#[test]
fn the_course_of_the_entries_says_what_was_seen() {
    let staff = [UserId::new(Uuid::from_u128(5))];
    let clerk = clerk(&staff);
    let mut swapped = 0;
    for child in children(800, 0.0) {
        let log = entries(&child, &clerk);
        let course = Course::of(log[0].child, &log, Day::from_number(CALENDAR.as_of));
        let context = format!("{:#?}\n{:#?}", child.truth, course.questions);
        // By chance two feet may look swapped from one visit to the next; nothing else is odd.
        assert!(course.questions.iter().all(|asked| asked.kind == QuestionKind::SidesSwapped), "{context}");
        swapped += course.questions.len();
        assert_eq!(course.feet.len(), child.seen.feet.len());
        for (seen, foot) in child.seen.feet.iter().zip(&course.feet) {
            assert_eq!(seen.side, foot.side);
            let first = |cast: &&course::CastWorn| cast.episode == 1;
            assert_eq!(foot.casts.iter().filter(first).count(), usize::from(seen.casts), "{context}");
            let correcting = foot.casts.iter().filter(first);
            let correcting = correcting.filter(|cast| cast.purpose == CastPurpose::Correction).count();
            let visits = seen.visits.iter().filter(|visit| seen.ready_day != Some(visit.day)).count();
            assert_eq!(correcting, visits, "{context}");
            let tenotomy = foot.tenotomies.first().map(|tenotomy| tenotomy.on.number());
            assert_eq!(tenotomy, seen.tenotomy_day, "{context}");
            let relapse = foot.relapses.first().map(|relapse| relapse.on.number());
            assert_eq!(relapse, seen.relapse_day, "{context}");
        }
        let braced = course.braces.first().map(|spell| spell.from.number());
        assert_eq!(braced, child.seen.feet[0].brace_day, "{context}");
        assert_eq!(course.wear.len(), child.seen.wear.len(), "{context}");
        let lost = matches!(course.standing, Standing::Lost(_));
        assert_eq!(lost, child.seen.left_day.is_some(), "{context}");
        if course.last_seen().is_some() {
            assert_eq!(course.last_seen().map(Day::number), Some(child.seen.last_day), "{context}");
        }
    }
    assert!(swapped < 8, "{swapped}");
}

#[test]
fn nothing_written_would_be_refused_or_lies_ahead() {
    let staff = [UserId::new(Uuid::from_u128(5)), UserId::new(Uuid::from_u128(6))];
    let all = clinic_entries(&children(400, 0.03), &clerk(&staff));
    assert!(all.len() > 20_000, "{}", all.len());
    let mut ids = BTreeSet::new();
    for entry in &all {
        assert!(entry.on.number() <= CALENDAR.as_of, "{entry:?}");
        assert!(entry.findings().iter().all(|found| found.severity != Severity::Refuse), "{entry:?}");
        assert!(ids.insert(entry.id), "twice: {entry:?}");
        assert_eq!(entry.id.uuid().get_version_num(), 7);
    }
    assert_eq!(all, clinic_entries(&children(400, 0.03), &clerk(&staff)));
}

/// Every kind a clinic's ordinary day leaves; surgery, transfers, deaths, corrections, withdrawals,
/// cancellations and notes are written by hand if needed.
#[test]
fn the_ordinary_kinds_of_entry_all_occur() {
    let staff = [];
    let kinds: BTreeSet<Kind> = clinic_entries(&children(1_500, 0.03), &clerk(&staff))
        .iter()
        .map(|entry| entry.body.kind())
        .collect();
    let expected = [
        Kind::Registration,
        Kind::Referral,
        Kind::Diagnosis,
        Kind::Screening,
        Kind::Assessment,
        Kind::CastApplied,
        Kind::CastRemoved,
        Kind::TenotomyBooked,
        Kind::TenotomyDone,
        Kind::BraceFitted,
        Kind::BraceChanged,
        Kind::WearReported,
        Kind::WearLogged,
        Kind::Problem,
        Kind::AppointmentMade,
        Kind::AppointmentAttended,
        Kind::AppointmentMissed,
        Kind::ContactAttempt,
        Kind::RelapseNoted,
        Kind::LostDeclared,
    ];
    let missing: Vec<Kind> = expected.into_iter().filter(|kind| !kinds.contains(kind)).collect();
    assert_eq!(missing, []);
}

/// Lengths in the band of Snyder 1977 (5th to 95th centile there 74–95 mm at 0–2 months and 105–140 mm at
/// 20–23 months), less the 4 % taken for an affected foot.
#[test]
fn feet_grow_as_published() {
    let staff = [];
    let (mut young, mut old) = (Vec::new(), Vec::new());
    for child in children(600, 0.0) {
        for entry in entries(&child, &clerk(&staff)) {
            if let Body::Assessment(body) = &entry.body
                && let Some(length) = body.foot_length_mm
            {
                let months = f64::from(entry.on.number() - child.truth.born_day) / 30.44;
                if months < 3.0 {
                    young.push(f64::from(length));
                } else if (20.0..24.0).contains(&months) {
                    old.push(f64::from(length));
                }
            }
        }
    }
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    assert!(young.len() > 30 && old.len() > 30);
    assert!((74.0..90.0).contains(&mean(&young)), "{}", mean(&young));
    assert!((115.0..130.0).contains(&mean(&old)), "{}", mean(&old));
}
