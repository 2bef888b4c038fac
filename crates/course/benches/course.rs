//! The time to build a course, compared with decoding the same entries.
//!
//! An invented child with sixty entries: both feet scored and cast weekly, tenotomies, the brace and its
//! reviews with their appointments, wear, a problem and a correction. The floor is reading the sixty
//! entries from their wire form.

use course::{CorrectedLog, Course};
use criterion::{Criterion, criterion_group, criterion_main};
use record::*;
use std::{hint::black_box, time::Instant};
use uuid::Uuid;

const CHILD: u128 = 7;

fn entry(number: usize, on: Day, body: Body) -> Entry {
    Entry {
        id: EntryId::new(Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0000 + number as u128)),
        child: ChildId::new(Uuid::from_u128(CHILD)),
        body,
        on,
        at: Timestamp::from_seconds(1_704_067_200 + number as i64 * 600),
        by: UserId::new(Uuid::from_u128(1)),
        site: SiteId::new(Uuid::from_u128(1)),
        follows: None,
    }
}

/// A foot as it looks at a visit: half a point better at every visit.
fn assessment(side: Side, visit: usize) -> Assessment {
    let mut assessment = Assessment::of(side);
    for (i, sign) in Sign::ALL.into_iter().enumerate() {
        let better = visit.saturating_sub(i) / 2;
        assessment.pirani.set(sign, HalfPoint::ALL.get(2usize.saturating_sub(better)).copied());
    }
    assessment.abduction_deg = i16::try_from(visit * 10).ok();
    assessment.dorsiflexion_deg = i16::try_from(visit * 5).ok().map(|deg| deg - 30);
    assessment
}

/// Sixty entries of one child.
fn log() -> Vec<Entry> {
    let born = Day::from_number(19_723);
    let mut bodies: Vec<(Day, Body)> = Vec::with_capacity(60);
    let registration = Registration {
        family_name: "Invented".to_owned(),
        given_name: "Ilse".to_owned(),
        numbers: vec!["0001".to_owned()],
        born: Some(born),
        ..Registration::default()
    };
    bodies.push((born + 5, registration.into()));
    for visit in 0..6 {
        let on = born + 10 + 7 * visit as i32;
        for side in Side::BOTH {
            bodies.push((on, assessment(side, visit).into()));
            if visit == 5 {
                bodies.push((on, TenotomyDone::on(side).into()));
            }
            bodies.push((on, CastApplied::on(side).into()));
        }
        bodies.push((on, AppointmentMade { for_day: on + 7, time: None, purpose: None }.into()));
    }
    bodies.push((born + 66, BraceFitted { hours_prescribed: Some(23), ..BraceFitted::default() }.into()));
    let mut review = 0;
    while bodies.len() < 58 {
        review += 1;
        let on = born + 66 + 40 * review;
        bodies.push((on, assessment(Side::Right, 9).into()));
        bodies.push((on, assessment(Side::Left, 9).into()));
        bodies.push((on, AppointmentMade { for_day: on + 40, time: None, purpose: None }.into()));
        let (days_without, reason) = (None, None);
        let wear = WearReported { from: on - 7, to: on, hours_per_day: 14.0, days_without, reason };
        bodies.push((on, wear.into()));
    }
    bodies.truncate(58);
    let problem = Problem::of(ProblemKind::SkinRed);
    bodies.push((born + 70, problem.into()));
    let mut entries: Vec<_> =
        bodies.into_iter().enumerate().map(|(i, (on, body))| entry(i, on, body)).collect();
    let (amended, reason) = (entries[1].id, "slip of the pen".to_owned());
    let body = Box::new(assessment(Side::Right, 1).into());
    entries.push(entry(59, born + 90, Correction { entry: amended, body, on: None, reason }.into()));
    entries
}

/// The least time of one run in many, in nanoseconds: what the machine can do undisturbed.
fn least(mut run: impl FnMut()) -> f64 {
    let mut times = (0..2_000).map(|_| {
        let start = Instant::now();
        run();
        start.elapsed().as_secs_f64() * 1e9
    });
    times.by_ref().fold(f64::INFINITY, f64::min)
}

fn bench(criterion: &mut Criterion) {
    let entries = log();
    let child = entries[0].child;
    let lines: Vec<_> = entries.iter().filter_map(|entry| entry.to_json().ok()).collect();
    assert_eq!(lines.len(), 60, "sixty entries");
    let decode =
        || lines.iter().filter_map(|line| Entry::from_json(black_box(line)).ok()).collect::<Vec<_>>();
    let course = || Course::of(child, black_box(&entries), Day::LAST);
    assert_eq!(decode(), entries, "the floor reads the same entries");
    assert_eq!(course().feet.len(), 2, "both feet are there");
    criterion.bench_function("floor: decode 60 entries", |bencher| bencher.iter(decode));
    criterion.bench_function("corrected log of 60 entries", |bencher| {
        bencher.iter(|| CorrectedLog::of(black_box(&entries), Day::LAST));
    });
    criterion.bench_function("course of 60 entries", |bencher| bencher.iter(course));
    let floor = least(|| drop(black_box(decode())));
    let whole = least(|| drop(black_box(course())));
    println!(
        "floor (decode) {:.1} µs, course {:.1} µs, ratio {:.2}",
        floor / 1e3,
        whole / 1e3,
        whole / floor
    );
}

criterion_group!(benches, bench);
criterion_main!(benches);
