//! From the rows of a clinic to the cases of a measure: who is in, from when, and how it ended.

use crate::{
    BraceBegan, ChildHistory, Clinic, FootHistory, Keys, Leaving, LossDefinition, Measure, Selection,
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
    /// The day it entered the cohort ([`record::Day::number`]): time zero, or the day it came under
    /// observation where that is later.
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
    /// Whether anybody wrote what the measure asks for, where silence may say that nobody did.
    pub recorded: bool,
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
    /// No referral on or before the first cast.
    NoReferral,
    /// Braced elsewhere, or without a cast here: the day the brace began is not known.
    BraceDayUnknown,
    /// The event came before they were known here.
    OverBefore,
}

impl Reason {
    /// Every reason.
    pub const ALL: [Self; 9] = [
        Self::NotSettled,
        Self::NoBirthDay,
        Self::NoBeginning,
        Self::TreatedBefore,
        Self::NotSeenAfter,
        Self::OutOfOrder,
        Self::NoReferral,
        Self::BraceDayUnknown,
        Self::OverBefore,
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
            Self::NoReferral => "without a day of referral",
            Self::BraceDayUnknown => {
                "in a brace that began elsewhere, or with no cast here, on an unknown day"
            }
            Self::OverBefore => "with the event before they came here",
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
    /// Cases whose event came after the end of treatment, where it does not count.
    pub after_end: u32,
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
    recorded: bool,
    after_end: bool,
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
            all.after_end += block.after_end;
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
            Found::In(Ended { zero, at, enter, time, cause, value, of, recorded, after_end }) => {
                if selection.spans(zero) {
                    self.after_end += u32::from(after_end);
                    self.cases.push(Case { child, zero, at, enter, time, cause, value, of, recorded, keys });
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
    Found::In(Ended { at, value, ..at_once(zero) })
}

const fn at_once(zero: i32) -> Ended {
    Ended {
        zero,
        at: zero,
        enter: 0,
        time: 0,
        cause: 0,
        value: 0.0,
        of: 1.0,
        recorded: true,
        after_end: false,
    }
}

/// When a case comes under observation: the day, and how long after time zero.
#[derive(Debug, Clone, Copy)]
struct Enters {
    day: i32,
    after: i32,
}

impl Enters {
    /// At time zero.
    const fn at(zero: i32) -> Self {
        Self { day: zero, after: 0 }
    }
}

/// How a case ended.
#[derive(Debug, Clone, Copy)]
struct End {
    day: i32,
    cause: u8,
    /// Whether the event came after the end of treatment.
    after_end: bool,
}

/// A time that ends with a cause. Who enters late is watched from the day after its entry on: an event up
/// to that day is none of this cohort.
fn ended(enter: Enters, event: Option<i32>, end: End) -> Found {
    if enter.after > 0 {
        if event.is_some_and(|day| day <= enter.day) {
            return Found::Out(Reason::OverBefore);
        }
        if end.day <= enter.day {
            return Found::Out(Reason::NotSeenAfter);
        }
    }
    let time = enter.after + (end.day - enter.day).max(0);
    let value = f32::from(u8::from(end.cause == 1));
    let (at, cause, after_end) = (end.day.max(enter.day), end.cause, end.after_end);
    Found::In(Ended { at, enter: enter.after, time, cause, value, after_end, ..at_once(enter.day) })
}

/// The end of treatment after a day.
fn over(child: &ChildHistory, zero: i32) -> Option<i32> {
    let days = [child.over.number(), left(child, &[Leaving::Discharged])];
    days.into_iter().flatten().find(|day| *day >= zero)
}

/// Free of the event until it comes, else until the last visit; never beyond the end of treatment.
fn free_of(enter: Enters, child: &ChildHistory, event: Option<i32>) -> Found {
    let over = over(child, enter.day).unwrap_or(i32::MAX);
    let seen = child.last_seen.number().unwrap_or(enter.day);
    let end = match event {
        Some(day) if day <= over => End { day, cause: 1, after_end: false },
        _ => End { day: seen.min(over), cause: 0, after_end: event.is_some() },
    };
    ended(enter, event, end)
}

/// The day care ended in one of several ways.
fn left(child: &ChildHistory, ways: &[Leaving]) -> Option<i32> {
    child.left.filter(|(_, why)| ways.contains(why)).map(|(day, _)| day.number())
}

/// The first of event and competitors, or the end of observation: the end of treatment, else `until`. On
/// one day the earlier listed counts. An event after the end of treatment does not count: it is seen only
/// of those who come back because of it.
fn first(until: i32, zero: i32, child: &ChildHistory, candidates: &[Option<i32>]) -> End {
    let over = over(child, zero).unwrap_or(i32::MAX);
    let end = over.min(until).max(zero);
    let days = candidates.iter().zip(1_u8..).filter_map(|(day, cause)| Some(((*day)?, cause)));
    let (day, cause) = days.filter(|(day, _)| (zero..=end).contains(day)).min().unwrap_or((end, 0));
    let after_end = cause != 1 && candidates.first().copied().flatten().is_some_and(|day| day > over);
    End { day, cause, after_end }
}

/// The drop-out that excludes other events: by the planned interval, of a child not seen again.
fn lost(child: &ChildHistory) -> Option<i32> {
    child.loss(LossDefinition::ByPlannedInterval).map(|gap| gap.on.number())
}

const GONE: [Leaving; 2] = [Leaving::Transferred, Leaving::Died];

fn incidence(as_of: i32, enter: Enters, child: &ChildHistory, event: Option<i32>) -> Found {
    let candidates = [event, lost(child), left(child, &GONE)];
    ended(enter, event, first(as_of, enter.day, child, &candidates))
}

fn of_child(measure: Measure, as_of: i32, child: &ChildHistory) -> Found {
    let cast = child.first_cast();
    match (measure, cast) {
        (Measure::BraceTolerance, _) => tolerance(child),
        (_, None) => Found::Elsewhere,
        (Measure::WaitFirstCast, Some(cast)) => match child.referred.number() {
            Some(referred) => days(referred, referred, cast),
            None => Found::Out(Reason::NoReferral),
        },
        (Measure::AgeFirstCast, Some(cast)) => match child.born.number() {
            Some(born) => days(cast, born, cast),
            None => Found::Out(Reason::NoBirthDay),
        },
        (Measure::DropOut, Some(cast)) => {
            let until = child.settled_until.number().map_or(as_of, |day| day.min(as_of));
            drop_out(until, cast, child, LossDefinition::ByPlannedInterval)
        }
        (Measure::DropOutPublished, Some(cast)) => drop_out(as_of, cast, child, LossDefinition::AsPublished),
        _ => Found::Elsewhere,
    }
}

fn drop_out(until: i32, cast: i32, child: &ChildHistory, definition: LossDefinition) -> Found {
    let loss = child.loss(definition).map(|gap| gap.on.number());
    ended(Enters::at(cast), loss, first(until, cast, child, &[loss, left(child, &GONE)]))
}

/// The brace of a child is that of the foot braced first.
fn tolerance(child: &ChildHistory) -> Found {
    let Some(brace) = child.brace.number() else { return Found::Elsewhere };
    let first =
        child.feet().filter(|foot| foot.brace.number().is_some()).min_by_key(|foot| foot.brace.number());
    let began = first.map_or(BraceBegan::Here, |foot| foot.brace_began);
    let enter = match entry(brace, began, child) {
        Ok(enter) => enter,
        Err(reason) => return Found::Out(reason),
    };
    match free_of(enter, child, child.not_tolerated.number()) {
        Found::In(ended) => Found::In(Ended { recorded: child.tolerance_written, ..ended }),
        other => other,
    }
}

/// When a foot comes under observation that counts from its brace.
fn entry(brace: i32, began: BraceBegan, child: &ChildHistory) -> Result<Enters, Reason> {
    match began {
        BraceBegan::Here => Ok(Enters::at(brace)),
        BraceBegan::Unknown => Err(Reason::BraceDayUnknown),
        BraceBegan::Elsewhere => {
            let day = child.known_from.number().unwrap_or(brace).max(brace);
            Ok(Enters { day, after: day - brace })
        }
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
        Measure::WaitBrace => match (cut, foot.corrected().number().or(brace)) {
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
            let braced = foot.corrected().number();
            let candidates = [braced, lost(child), left(child, &GONE), surgery];
            ended(Enters::at(cast), braced, first(as_of, cast, child, &candidates))
        }),
        Measure::RelapseFree => from_brace(child, foot, |enter| free_of(enter, child, foot.relapse.number())),
        Measure::RelapseFreeAge => by_age(child, foot),
        Measure::Relapse => {
            from_brace(child, foot, |enter| incidence(as_of, enter, child, foot.relapse.number()))
        }
        Measure::TendonTransfer => {
            from_brace(child, foot, |enter| incidence(as_of, enter, child, foot.tendon_transfer.number()))
        }
        Measure::SecondTenotomy => from(cut, as_of, child, foot.second_tenotomy.number()),
        Measure::MajorSurgery => from(cast, as_of, child, foot.release.number()),
        _ => Found::Elsewhere,
    }
}

/// A foot that counts from its brace.
fn from_brace(child: &ChildHistory, foot: &FootHistory, then: impl Fn(Enters) -> Found) -> Found {
    let Some(brace) = foot.brace.number() else { return Found::Elsewhere };
    match entry(brace, foot.brace_began, child) {
        Ok(enter) => then(enter),
        Err(reason) => Found::Out(reason),
    }
}

/// A foot that counts from birth: watched from its age at the brace, or at its arrival in one.
fn by_age(child: &ChildHistory, foot: &FootHistory) -> Found {
    let Some(brace) = foot.brace.number() else { return Found::Elsewhere };
    let Some(born) = child.born.number() else { return Found::Out(Reason::NoBirthDay) };
    // The clock is the age: of a foot that came in a brace it need not be known since when it had it.
    let day = entry(brace, foot.brace_began, child).map_or(brace, |enter| enter.day);
    if born > day {
        return Found::Out(Reason::OutOfOrder);
    }
    free_of(Enters { day, after: day - born }, child, foot.relapse.number())
}

fn from(zero: Option<i32>, as_of: i32, child: &ChildHistory, event: Option<i32>) -> Found {
    zero.map_or(Found::Elsewhere, |zero| incidence(as_of, Enters::at(zero), child, event))
}

/// Measures of feet whose first casting is over.
fn finished(measure: Measure, foot: &FootHistory) -> Found {
    let Some(cast) = foot.first_cast.number() else { return Found::Elsewhere };
    let (cut, brace) = (foot.tenotomy.number(), foot.brace.number());
    let braced_before = foot.braced_again.number().is_some() || foot.brace_began != BraceBegan::Here;
    match measure {
        Measure::Casts => match cut.into_iter().chain(brace).min() {
            _ if foot.treated_before => Found::Out(Reason::TreatedBefore),
            None => Found::Out(Reason::NotSettled),
            Some(over) if over < cast => Found::Out(Reason::OutOfOrder),
            Some(over) => number(cast, over, f32::from(foot.correcting_casts)),
        },
        _ if braced_before => Found::Out(Reason::TreatedBefore),
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
