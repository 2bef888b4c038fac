//! From the rows of a clinic to the cases of a measure: who is in, from when, and how it ended.

use crate::{
    ChildHistory, Clinic, FootHistory, Keys, Leaving, Measure, Selection,
    definition::{Kind, Unit},
    selection::Feet,
};
use rayon::prelude::*;
use serde::Serialize;

/// A foot or child of a cohort.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Case {
    /// Place of the child in the clinic: what goes together in every interval.
    pub child: u32,
    /// The day it entered the cohort ([`record::Day::number`]).
    pub zero: i32,
    /// The day its value was known; of a time to an event, the day it ended.
    pub at: i32,
    /// Time at which it comes under observation, days on the measure's clock.
    pub enter: i32,
    /// Time at which observation ended.
    pub time: i32,
    /// How: 0 censored, 1 the event, 2 and up what excludes it.
    pub cause: u8,
    /// The value, or how many events.
    pub value: f32,
    /// Of how many, where it is a rate; else 1.
    pub of: f32,
    /// Its classes.
    pub keys: Keys,
}

/// Why somebody who belongs to a cohort is not in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reason {
    /// No day of birth.
    NoBirthDay,
    /// The end is written before the beginning.
    OutOfOrder,
    /// Nothing says when it began.
    NoBeginning,
    /// Still on the way: not settled yet.
    NotSettled,
    /// Treated before.
    TreatedBefore,
    /// Never seen after time zero.
    NotSeenAfter,
}

impl Reason {
    /// Every reason.
    pub const ALL: [Self; 6] = [
        Self::NotSettled,
        Self::NoBirthDay,
        Self::NoBeginning,
        Self::TreatedBefore,
        Self::NotSeenAfter,
        Self::OutOfOrder,
    ];

    /// In words, after a number.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoBirthDay => "without a day of birth",
            Self::OutOfOrder => "with days out of order",
            Self::NoBeginning => "without a day from which to count",
            Self::NotSettled => "not settled yet",
            Self::TreatedBefore => "treated before they came here",
            Self::NotSeenAfter => "never seen after time zero",
        }
    }
}

/// The cases of a measure, in the order of the children, and who was left out.
#[derive(Debug, Clone, Default)]
pub struct Cases {
    /// The cases.
    pub cases: Vec<Case>,
    /// How many were left out, by [`Reason::ALL`].
    pub left_out: [u32; Reason::ALL.len()],
}

/// What a foot or child gives.
enum Found {
    In(Ended),
    Out(Reason),
    /// Not of the cohort.
    Elsewhere,
}

/// A case before it has its keys.
struct Ended {
    zero: i32,
    at: i32,
    enter: i32,
    time: i32,
    cause: u8,
    value: f32,
    of: f32,
}

impl Cases {
    /// The cases of a measure. Wear and missing fields have none.
    #[must_use]
    pub fn of(clinic: &Clinic, selection: &Selection, measure: Measure) -> Self {
        const BLOCK: usize = 4_096;
        let blocks: Vec<Self> = clinic
            .children
            .par_chunks(BLOCK)
            .enumerate()
            .map(|(block, children)| {
                let mut cases = Self::default();
                for (place, child) in children.iter().enumerate() {
                    cases.take(
                        (block * BLOCK + place) as u32,
                        child,
                        clinic.as_of.number(),
                        selection,
                        measure,
                    );
                }
                cases
            })
            .collect();
        let mut all = Self {
            cases: Vec::with_capacity(blocks.iter().map(|one| one.cases.len()).sum()),
            ..Self::default()
        };
        for block in blocks {
            all.cases.extend(block.cases);
            all.left_out.iter_mut().zip(block.left_out).for_each(|(sum, one)| *sum += one);
        }
        all
    }

    fn take(
        &mut self,
        place: u32,
        child: &ChildHistory,
        as_of: i32,
        selection: &Selection,
        measure: Measure,
    ) {
        if measure.definition().unit == Unit::Child {
            if let Some(keys) = Keys::of_child(child) {
                self.settle(place, keys, selection, of_child(measure, as_of, child));
            }
            return;
        }
        for foot in child.feet() {
            let keys = Keys::of_foot(foot);
            // “Both” asks for the feet of children with both affected.
            let asked = Keys {
                feet: if selection.feet == Some(Feet::Both) && child.both() { Feet::Both } else { keys.feet },
                ..keys
            };
            if selection.takes(&asked) {
                let all = Selection { feet: None, ..*selection };
                self.settle(place, keys, &all, of_foot(measure, as_of, child, foot));
            }
        }
    }

    fn settle(&mut self, child: u32, keys: Keys, selection: &Selection, found: Found) {
        if !selection.takes(&keys) {
            return;
        }
        match found {
            Found::Elsewhere => {}
            Found::Out(reason) => {
                if let Some(place) = Reason::ALL.iter().position(|one| *one == reason) {
                    self.left_out[place] += 1;
                }
            }
            Found::In(Ended { zero, at, enter, time, cause, value, of }) => {
                if selection.spans(zero) {
                    self.cases.push(Case { child, zero, at, enter, time, cause, value, of, keys });
                }
            }
        }
    }
}

/// Days from one day to another, as a value known on the second; `zero` is the day of the cohort.
fn days(zero: i32, from: i32, to: i32) -> Found {
    if to < from {
        return Found::Out(Reason::OutOfOrder);
    }
    number(zero, to, (to - from) as f32)
}

fn number(zero: i32, at: i32, value: f32) -> Found {
    Found::In(Ended { zero, at, enter: 0, time: 0, cause: 0, value, of: 1.0 })
}

/// A time from `zero` that ends on a day with a cause.
fn ended(zero: i32, enter: i32, (end, cause): (i32, u8)) -> Found {
    let time = enter + (end - zero).max(0);
    let value = f32::from(u8::from(cause == 1));
    Found::In(Ended { zero, at: end.max(zero), enter, time, cause, value, of: 1.0 })
}

/// Free of the event until it comes, else until the last visit.
fn free_of(zero: i32, enter: i32, child: &ChildHistory, event: Option<i32>) -> Found {
    let end = match event {
        Some(day) => (day, 1),
        None => (child.last_seen.number().unwrap_or(zero), 0),
    };
    if enter > 0 && end.0 <= zero {
        return Found::Out(Reason::NotSeenAfter);
    }
    ended(zero, enter, end)
}

/// The day care ended in one of several ways.
fn left(child: &ChildHistory, ways: &[Leaving]) -> Option<i32> {
    child.left.filter(|(_, why)| ways.contains(why)).map(|(day, _)| day.number())
}

/// The first of event and competitors, or the end of observation: the day of discharge, else the as-of
/// day. On one day the earlier listed counts. An event after a discharge was seen all the same, and counts
/// where nothing else came first.
fn first(as_of: i32, zero: i32, child: &ChildHistory, candidates: &[Option<i32>]) -> (i32, u8) {
    let end = left(child, &[Leaving::Discharged]).map_or(as_of, |day| day.min(as_of)).max(zero);
    let days = candidates.iter().zip(1_u8..).filter_map(|(day, cause)| Some(((*day)?, cause)));
    let within = days.filter(|(day, _)| (zero..=end).contains(day)).min();
    let event = candidates.first().copied().flatten().filter(|day| *day >= zero).map(|day| (day, 1));
    within.or(event).unwrap_or((end, 0))
}

/// The first drop-out that came after a day.
fn gap_after(child: &ChildHistory, zero: i32) -> Option<i32> {
    let gaps = [child.gap, child.gap_braced].into_iter().flatten().map(|gap| gap.on.number());
    gaps.filter(|day| *day >= zero).min()
}

const GONE: [Leaving; 2] = [Leaving::Transferred, Leaving::Died];

fn incidence(as_of: i32, zero: i32, child: &ChildHistory, event: Option<i32>) -> Found {
    let candidates = [event, gap_after(child, zero), left(child, &GONE)];
    ended(zero, 0, first(as_of, zero, child, &candidates))
}

fn of_child(measure: Measure, as_of: i32, child: &ChildHistory) -> Found {
    let cast = child.first_cast();
    match (measure, cast) {
        (Measure::BraceTolerance, _) => match child.brace.number() {
            Some(brace) => free_of(brace, 0, child, child.not_tolerated.number()),
            None => Found::Elsewhere,
        },
        (_, None) => Found::Elsewhere,
        (Measure::WaitFirstCast, Some(cast)) => match child.referred.number() {
            Some(referred) => days(referred, referred, cast),
            None => Found::Out(Reason::NoBeginning),
        },
        (Measure::AgeFirstCast, Some(cast)) => match child.born.number() {
            Some(born) => days(cast, born, cast),
            None => Found::Out(Reason::NoBirthDay),
        },
        (Measure::DropOut, Some(cast)) => {
            let gone = left(child, &[Leaving::Transferred, Leaving::Died, Leaving::Discharged]);
            let candidates = [child.gap.map(|gap| gap.on.number()), gone];
            ended(cast, 0, first(as_of, cast, child, &candidates))
        }
        _ => Found::Elsewhere,
    }
}

fn of_foot(measure: Measure, as_of: i32, child: &ChildHistory, foot: &FootHistory) -> Found {
    let (cast, cut, brace) = (foot.first_cast.number(), foot.tenotomy.number(), foot.brace.number());
    match measure {
        Measure::Casts | Measure::DaysCasting | Measure::Tenotomy => finished(measure, foot),
        Measure::WaitTenotomy => match (foot.booked.number(), cut) {
            (Some(booked), Some(cut)) => days(booked, booked, cut),
            (Some(_), None) => Found::Out(Reason::NotSettled),
            (None, Some(_)) => Found::Out(Reason::NoBeginning),
            (None, None) => Found::Elsewhere,
        },
        Measure::WaitBrace => match (cut, brace) {
            (Some(cut), Some(brace)) if cut <= brace => days(cut, cut, brace),
            (Some(_), None) => Found::Out(Reason::NotSettled),
            _ => Found::Elsewhere,
        },
        Measure::CastProblems => match cast {
            Some(cast) => Found::In(Ended {
                value: f32::from(foot.cast_problems),
                of: f32::from(foot.casts),
                ..at_once(cast)
            }),
            None => Found::Elsewhere,
        },
        Measure::Correction => cast.map_or(Found::Elsewhere, |cast| {
            let surgery =
                [foot.release, foot.tendon_transfer].into_iter().filter_map(|day| day.number()).min();
            let candidates = [brace, gap_after(child, cast), left(child, &GONE), surgery];
            ended(cast, 0, first(as_of, cast, child, &candidates))
        }),
        Measure::RelapseFree => {
            brace.map_or(Found::Elsewhere, |brace| free_of(brace, 0, child, foot.relapse.number()))
        }
        Measure::RelapseFreeAge => match (brace, child.born.number()) {
            (None, _) => Found::Elsewhere,
            (Some(_), None) => Found::Out(Reason::NoBirthDay),
            (Some(brace), Some(born)) if born > brace => Found::Out(Reason::OutOfOrder),
            (Some(brace), Some(born)) => free_of(brace, brace - born, child, foot.relapse.number()),
        },
        Measure::Relapse => from(brace, as_of, child, foot.relapse.number()),
        Measure::TendonTransfer => from(brace, as_of, child, foot.tendon_transfer.number()),
        Measure::SecondTenotomy => from(cut, as_of, child, foot.second_tenotomy.number()),
        Measure::MajorSurgery => from(cast, as_of, child, foot.release.number()),
        _ => Found::Elsewhere,
    }
}

fn from(zero: Option<i32>, as_of: i32, child: &ChildHistory, event: Option<i32>) -> Found {
    zero.map_or(Found::Elsewhere, |zero| incidence(as_of, zero, child, event))
}

const fn at_once(zero: i32) -> Ended {
    Ended { zero, at: zero, enter: 0, time: 0, cause: 0, value: 0.0, of: 1.0 }
}

/// Measures of feet whose first casting is over.
fn finished(measure: Measure, foot: &FootHistory) -> Found {
    let Some(cast) = foot.first_cast.number() else { return Found::Elsewhere };
    let (cut, brace) = (foot.tenotomy.number(), foot.brace.number());
    match measure {
        Measure::Casts => match cut.into_iter().chain(brace).min() {
            _ if foot.treated_before => Found::Out(Reason::TreatedBefore),
            None => Found::Out(Reason::NotSettled),
            Some(over) if over < cast => Found::Out(Reason::OutOfOrder),
            Some(over) => number(cast, over, f32::from(foot.correcting_casts)),
        },
        Measure::DaysCasting => match brace {
            None => Found::Out(Reason::NotSettled),
            Some(brace) => days(cast, cast, brace),
        },
        _ => match brace {
            None => Found::Out(Reason::NotSettled),
            Some(brace) if brace < cast => Found::Out(Reason::OutOfOrder),
            Some(brace) => number(cast, brace, f32::from(u8::from(cut.is_some_and(|cut| cut <= brace)))),
        },
    }
}

/// Whether the cases of a kind are times to an event.
#[must_use]
pub const fn timed(kind: Kind) -> bool {
    matches!(kind, Kind::FreeOf | Kind::Incidence)
}
