//! Course, next step and attention of 100,000 invented children from memory, compared with the
//! floor of decoding the same entries from their wire form in the same run. Prints the ratio; the target is at
//! most 3.
//!
//! The children are made in batches so that the memory stays small: each batch is decoded (the floor),
//! then computed, in turn, so that other load on the machine affects both equally.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use course::Course;
use guidance::{Outlook, Protocol};
use record::{
    AppointmentMade, Assessment, Body, BraceChange, BraceChanged, BraceFitted, CastApplied, CastPurpose,
    ChildId, Day, Diagnosis, Entry, EntryId, HalfPoint, Nature, Pirani, Purpose, Referral, Regime,
    Registration, RelapseNoted, Side, Sign, SiteId, TenotomyDone, Timestamp, UserId,
};
use std::{
    hint::black_box,
    time::{Duration, Instant},
};

const CHILDREN: usize = 100_000;
const BATCH: usize = 1_000;

/// A small random number generator, the same on every run (the constants are Knuth's).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }

    fn days(&mut self, from: i32, to: i32) -> i32 {
        from + i32::try_from(self.below(u64::try_from(to - from + 1).unwrap())).unwrap()
    }
}

struct Child<'a> {
    id: ChildId,
    number: usize,
    entries: Vec<Entry>,
    numbers: &'a mut Numbers,
}

fn id<T: std::str::FromStr<Err = record::IdError>>(group: usize, number: usize) -> T {
    format!("{group:08x}-0000-7000-8000-{number:012x}").parse().unwrap()
}

impl Child<'_> {
    fn add(&mut self, on: Day, body: impl Into<Body>) {
        let place = self.entries.len();
        self.entries.push(Entry {
            id: id::<EntryId>(self.number, place),
            child: self.id,
            body: body.into(),
            on,
            at: Timestamp::from_seconds(
                i64::from(on.number()) * 86_400 + 32_400 + i64::try_from(place).unwrap(),
            ),
            by: id::<UserId>(1, 1),
            site: id::<SiteId>(2, 1),
            follows: None,
        });
    }

    fn register(&mut self, born: Day) -> Day {
        let referred = born + self.numbers.days(1, 60);
        let about = Registration {
            family_name: "Invented".to_owned(),
            given_name: "Child".to_owned(),
            numbers: vec![format!("SQ-{}", self.number)],
            born: (!self.number.is_multiple_of(40)).then_some(born),
            gestation_weeks: Some(u8::try_from(self.numbers.days(33, 41)).unwrap()),
            ..Registration::default()
        };
        self.add(referred, about);
        self.add(referred, Referral::default());
        referred
    }

    fn score(&mut self, on: Day, side: Side, left: i32, brace: bool) {
        let mut pirani = Pirani::default();
        for (place, sign) in Sign::ALL.into_iter().enumerate() {
            let level = (left + i32::from(place >= 3)).clamp(0, 2);
            let level = if brace { 0 } else { usize::try_from(level).unwrap() };
            pirani.set(sign, Some(HalfPoint::ALL[level]));
        }
        let assessment = Assessment {
            pirani,
            abduction_deg: Some(i16::try_from(70 - left.max(0) * 15).unwrap()),
            dorsiflexion_deg: Some(i16::try_from(if brace { 20 } else { 5 - left.max(0) * 10 }).unwrap()),
            ..Assessment::of(side)
        };
        self.add(on, assessment);
    }

    /// Casts a week apart; the day of the last.
    fn casts(&mut self, mut on: Day, sides: &[Side], casts: i32) -> Day {
        for cast in 0..casts {
            for &side in sides {
                self.score(on, side, (casts - 1 - cast).min(2), false);
                self.add(on, CastApplied { number: u8::try_from(cast + 1).ok(), ..CastApplied::on(side) });
            }
            let for_day = on + 7;
            self.add(on, AppointmentMade { for_day, time: None, purpose: Some(Purpose::Cast) });
            on = for_day;
        }
        on - 7
    }

    fn tenotomy_and_brace(&mut self, on: Day, sides: &[Side]) -> Day {
        for &side in sides {
            self.add(on, TenotomyDone::on(side));
            let purpose = Some(CastPurpose::AfterTenotomy);
            self.add(on, CastApplied { purpose, ..CastApplied::on(side) });
        }
        self.add(on + 21, BraceFitted { regime: Some(Regime::FullTime), ..BraceFitted::default() });
        on + 21
    }

    fn reviews(&mut self, fitted: Day, sides: &[Side], reviews: i32) {
        for review in 0..reviews {
            let on = fitted
                + [7, 42, 84].get(usize::try_from(review).unwrap()).copied().unwrap_or((review - 2) * 122);
            sides.iter().for_each(|&side| self.score(on, side, 0, true));
            self.add(
                on,
                AppointmentMade { for_day: on + 122, time: None, purpose: Some(Purpose::BraceReview) },
            );
            if review == 2 {
                let (change, regime) = (BraceChange::Hours, Some(Regime::NightTime));
                self.add(
                    on,
                    BraceChanged { change, brace: None, regime, hours_prescribed: Some(12), note: None },
                );
            }
        }
    }

    /// A course that breaks off anywhere between referral and the fifth year.
    fn live(&mut self) {
        let born = "2019-01-01".parse::<Day>().unwrap() + self.numbers.days(0, 1_500);
        let referred = self.register(born);
        let sides: &[Side] = match self.numbers.below(4) {
            0 => &[Side::Right],
            1 => &[Side::Left],
            _ => &Side::BOTH,
        };
        for &side in sides {
            let nature =
                Some(if self.number.is_multiple_of(12) { Nature::Neurogenic } else { Nature::Idiopathic });
            self.add(referred, Diagnosis { side, nature, complex: None, earlier_treatment: None });
        }
        let stage = self.numbers.below(10);
        if stage == 0 {
            return;
        }
        let casts = self.numbers.days(1, 7);
        let last = self.casts(referred + 10, sides, casts);
        if stage <= 2 {
            return;
        }
        let fitted = self.tenotomy_and_brace(last + 7, sides);
        let reviews = self.numbers.days(0, 14);
        self.reviews(fitted, sides, reviews);
        if stage == 9 {
            let on = fitted + 2_000;
            self.add(on, RelapseNoted { side: sides[0], grade: None, note: None });
            self.casts(on + 7, &sides[..1], 2);
        }
    }
}

fn batch(first: usize, numbers: &mut Numbers) -> Vec<(ChildId, Vec<Entry>)> {
    (first..first + BATCH)
        .map(|number| {
            let mut child = Child { id: id(number, 0xc1d), number, entries: Vec::new(), numbers };
            child.live();
            (child.id, child.entries)
        })
        .collect()
}

fn main() {
    let protocol = Protocol::built_in();
    let as_of: Day = "2024-06-01".parse().unwrap();
    let mut numbers = Numbers(20_240_601);
    let (mut floor, mut courses, mut all) = (Duration::ZERO, Duration::ZERO, Duration::ZERO);
    let (mut entries, mut steps, mut calls) = (0, 0, 0);
    for first in (0..CHILDREN).step_by(BATCH) {
        let children = batch(first, &mut numbers);
        let wire: Vec<String> =
            children.iter().flat_map(|(_, entries)| entries).map(|entry| entry.to_json().unwrap()).collect();
        let start = Instant::now();
        for line in &wire {
            black_box(Entry::from_json(black_box(line)).unwrap());
        }
        floor += start.elapsed();
        let start = Instant::now();
        for (child, entries) in &children {
            black_box(Course::of(*child, black_box(entries), as_of));
        }
        courses += start.elapsed();
        let start = Instant::now();
        for (child, entries) in &children {
            let outlook = Outlook::of(Course::of(*child, black_box(entries), as_of), &protocol);
            steps += outlook.steps.len();
            calls += outlook.attention.len();
            black_box(outlook);
        }
        all += start.elapsed();
        entries += wire.len();
    }
    let micros = |time: Duration| time.as_secs_f64() * 1e6 / CHILDREN as f64;
    println!("{CHILDREN} children, {entries} entries, {steps} steps, {calls} calls for attention");
    println!("decoding the entries (floor)          {:8.1} µs a child", micros(floor));
    println!("course alone                          {:8.1} µs a child", micros(courses));
    println!("course, next step and attention       {:8.1} µs a child", micros(all));
    println!(
        "ratio to the floor                    {:8.2} (target: at most 3)",
        all.as_secs_f64() / floor.as_secs_f64()
    );
}
