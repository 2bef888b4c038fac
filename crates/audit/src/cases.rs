//! From the rows of a clinic to the cases of a measure: who is included, from when, and how each ended.

use crate::{
    BraceBegan, CaseKeys, ChildHistory, ClinicHistory, EndOfCare, FootHistory, LossDefinition, Measure,
    Selection,
    definition::{MeasureKind, Unit},
    selection::Feet,
};
use rayon::prelude::*;
use serde::Serialize;

/// A foot or child of a cohort.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Case {
    /// Index of the child in the clinic: the cluster in every interval.
    pub child: u32,
    /// The day it entered the cohort ([`record::Day::number`]): time zero, or the day it came under
    /// observation if that is later.
    pub zero: i32,
    /// The day its value became known; for a time to an event, the day it ended.
    pub at: i32,
    /// Time at which observation begins, in days on the measure's clock.
    pub enter: i32,
    /// Time at which observation ended, in days on the measure's clock.
    pub time: i32,
    /// How it ended: 0 censored, 1 the event, 2 and above a competing event.
    pub cause: u8,
    /// The value, or the number of events.
    pub value: f32,
    /// The denominator of a rate; otherwise 1.
    pub of: f32,
    /// Whether the value is recorded, for measures that take a missing value as no event.
    pub recorded: bool,
    /// Its classes.
    pub keys: CaseKeys,
}

/// Why a foot or child that belongs to a cohort is left out of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ExclusionReason {
    /// No day of birth.
    NoBirthDay,
    /// The recorded end is before the beginning.
    OutOfOrder,
    /// The beginning is not recorded.
    NoBeginning,
    /// The outcome is not known yet.
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

impl ExclusionReason {
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
            Self::NotSettled => "with no known outcome yet",
            Self::TreatedBefore => "treated before arrival here",
            Self::NotSeenAfter => "never seen after time zero",
            Self::NoReferral => "without a day of referral",
            Self::BraceDayUnknown => {
                "in a brace that began elsewhere, or with no cast here, on an unknown day"
            }
            Self::OverBefore => "with the event before arrival here",
        }
    }
}

/// The cases of a measure, in the order of the children, and who was left out.
#[derive(Debug, Clone, Default)]
pub struct Cases {
    /// The cases.
    pub cases: Vec<Case>,
    /// The number left out, in the order of [`ExclusionReason::ALL`].
    pub left_out: [u32; ExclusionReason::ALL.len()],
    /// Cases whose event came after the end of treatment, where it does not count.
    pub after_end: u32,
}

/// Whether a foot or child is a case of a measure.
enum Membership {
    Included(CaseOutcome),
    Excluded(ExclusionReason),
    /// Does not belong to the cohort.
    NotInCohort,
}

/// A case without its classes.
struct CaseOutcome {
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
    pub fn of(clinic: &ClinicHistory, selection: &Selection, measure: Measure) -> Self {
        const BLOCK: usize = 4_096;
        let as_of = clinic.as_of.number();
        let of_block = |(block, children): (usize, &[ChildHistory])| {
            let mut cases = Self::default();
            for (place, child) in children.iter().enumerate() {
                cases.take((block * BLOCK + place) as u32, child, as_of, selection, measure);
            }
            cases
        };
        let blocks: Vec<Self> = clinic.children.par_chunks(BLOCK).enumerate().map(of_block).collect();
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
            if let Some(keys) = CaseKeys::of_child(child) {
                self.settle(place, keys, selection, of_child(measure, as_of, child));
            }
            return;
        }
        for foot in child.feet() {
            let keys = CaseKeys::of_foot(foot);
            // “Both” selects the feet of children with both feet affected.
            let matched = CaseKeys {
                feet: if selection.feet == Some(Feet::Both) && child.both() { Feet::Both } else { keys.feet },
                ..keys
            };
            if selection.takes(&matched) {
                let all = Selection { feet: None, ..*selection };
                self.settle(place, keys, &all, of_foot(measure, as_of, child, foot));
            }
        }
    }

    fn settle(&mut self, child: u32, keys: CaseKeys, selection: &Selection, found: Membership) {
        if !selection.takes(&keys) {
            return;
        }
        match found {
            Membership::NotInCohort => {}
            Membership::Excluded(reason) => {
                if let Some(place) = ExclusionReason::ALL.iter().position(|one| *one == reason) {
                    self.left_out[place] += 1;
                }
            }
            Membership::Included(CaseOutcome {
                zero,
                at,
                enter,
                time,
                cause,
                value,
                of,
                recorded,
                after_end,
            }) => {
                if selection.spans(zero) {
                    self.after_end += u32::from(after_end);
                    self.cases.push(Case { child, zero, at, enter, time, cause, value, of, recorded, keys });
                }
            }
        }
    }
}

/// Days from one day to another, a value known on the second day; `zero` is time zero.
fn days(zero: i32, from: i32, to: i32) -> Membership {
    if to < from {
        return Membership::Excluded(ExclusionReason::OutOfOrder);
    }
    number(zero, to, (to - from) as f32)
}

fn number(zero: i32, at: i32, value: f32) -> Membership {
    Membership::Included(CaseOutcome { at, value, ..at_once(zero) })
}

const fn at_once(zero: i32) -> CaseOutcome {
    CaseOutcome {
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

/// When observation of a case begins: the day, and the days after time zero.
#[derive(Debug, Clone, Copy)]
struct ObservationStart {
    day: i32,
    after: i32,
}

impl ObservationStart {
    /// At time zero.
    const fn at(zero: i32) -> Self {
        Self { day: zero, after: 0 }
    }
}

/// How observation of a case ended.
#[derive(Debug, Clone, Copy)]
struct ObservationEnd {
    day: i32,
    cause: u8,
    /// Whether the event came after the end of treatment.
    after_end: bool,
}

/// A time that ends with a cause. A case with late entry is observed from the day after its entry: an event
/// up to that day does not belong to this cohort.
fn ended(enter: ObservationStart, event: Option<i32>, end: ObservationEnd) -> Membership {
    if enter.after > 0 {
        if event.is_some_and(|day| day <= enter.day) {
            return Membership::Excluded(ExclusionReason::OverBefore);
        }
        if end.day <= enter.day {
            return Membership::Excluded(ExclusionReason::NotSeenAfter);
        }
    }
    let time = enter.after + (end.day - enter.day).max(0);
    let value = f32::from(u8::from(end.cause == 1));
    let (at, cause, after_end) = (end.day.max(enter.day), end.cause, end.after_end);
    Membership::Included(CaseOutcome {
        at,
        enter: enter.after,
        time,
        cause,
        value,
        after_end,
        ..at_once(enter.day)
    })
}

/// The end of treatment after a day.
fn over(child: &ChildHistory, zero: i32) -> Option<i32> {
    let days = [child.over.number(), left(child, &[EndOfCare::Discharged])];
    days.into_iter().flatten().find(|day| *day >= zero)
}

/// Free of the event until it occurs, otherwise until the last visit; never beyond the end of treatment.
fn free_of(enter: ObservationStart, child: &ChildHistory, event: Option<i32>) -> Membership {
    let over = over(child, enter.day).unwrap_or(i32::MAX);
    let seen = child.last_seen.number().unwrap_or(enter.day);
    let end = match event {
        Some(day) if day <= over => ObservationEnd { day, cause: 1, after_end: false },
        _ => ObservationEnd { day: seen.min(over), cause: 0, after_end: event.is_some() },
    };
    ended(enter, event, end)
}

/// The day care ended in one of several ways.
fn left(child: &ChildHistory, ways: &[EndOfCare]) -> Option<i32> {
    child.left.filter(|(_, why)| ways.contains(why)).map(|(day, _)| day.number())
}

/// The first of the event and its competing events, or the end of observation: the end of treatment,
/// otherwise `until`. On one day the one listed first counts. An event after the end of treatment does not
/// count: it is seen only in children who come back because of it.
fn first(until: i32, zero: i32, child: &ChildHistory, candidates: &[Option<i32>]) -> ObservationEnd {
    let over = over(child, zero).unwrap_or(i32::MAX);
    let end = over.min(until).max(zero);
    let days = candidates.iter().zip(1_u8..).filter_map(|(day, cause)| Some(((*day)?, cause)));
    let (day, cause) = days.filter(|(day, _)| (zero..=end).contains(day)).min().unwrap_or((end, 0));
    let after_end = cause != 1 && candidates.first().copied().flatten().is_some_and(|day| day > over);
    ObservationEnd { day, cause, after_end }
}

/// The drop-out that competes with other events: by the planned interval, of a child not seen again.
fn lost(child: &ChildHistory) -> Option<i32> {
    child.loss(LossDefinition::ByPlannedInterval).map(|gap| gap.on.number())
}

const GONE: [EndOfCare; 2] = [EndOfCare::Transferred, EndOfCare::Died];

fn incidence(as_of: i32, enter: ObservationStart, child: &ChildHistory, event: Option<i32>) -> Membership {
    let candidates = [event, lost(child), left(child, &GONE)];
    ended(enter, event, first(as_of, enter.day, child, &candidates))
}

fn of_child(measure: Measure, as_of: i32, child: &ChildHistory) -> Membership {
    let cast = child.first_cast();
    match (measure, cast) {
        (Measure::BraceTolerance, _) => tolerance(child),
        (_, None) => Membership::NotInCohort,
        (Measure::WaitFirstCast, Some(cast)) => match child.referred.number() {
            Some(referred) => days(referred, referred, cast),
            None => Membership::Excluded(ExclusionReason::NoReferral),
        },
        (Measure::AgeFirstCast, Some(cast)) => match child.born.number() {
            Some(born) => days(cast, born, cast),
            None => Membership::Excluded(ExclusionReason::NoBirthDay),
        },
        (Measure::DropOut, Some(cast)) => {
            let until = child.settled_until.number().map_or(as_of, |day| day.min(as_of));
            drop_out(until, cast, child, LossDefinition::ByPlannedInterval)
        }
        (Measure::DropOutPublished, Some(cast)) => drop_out(as_of, cast, child, LossDefinition::AsPublished),
        _ => Membership::NotInCohort,
    }
}

fn drop_out(until: i32, cast: i32, child: &ChildHistory, definition: LossDefinition) -> Membership {
    let loss = child.loss(definition).map(|gap| gap.on.number());
    ended(ObservationStart::at(cast), loss, first(until, cast, child, &[loss, left(child, &GONE)]))
}

/// Tolerance of the brace; the brace of a child is that of the foot braced first.
fn tolerance(child: &ChildHistory) -> Membership {
    let Some(brace) = child.brace.number() else { return Membership::NotInCohort };
    let first =
        child.feet().filter(|foot| foot.brace.number().is_some()).min_by_key(|foot| foot.brace.number());
    let began = first.map_or(BraceBegan::Here, |foot| foot.brace_began);
    let enter = match entry(brace, began, child) {
        Ok(enter) => enter,
        Err(reason) => return Membership::Excluded(reason),
    };
    match free_of(enter, child, child.not_tolerated.number()) {
        Membership::Included(ended) => {
            Membership::Included(CaseOutcome { recorded: child.tolerance_written, ..ended })
        }
        other => other,
    }
}

/// When observation begins for a foot that counts from its brace.
fn entry(brace: i32, began: BraceBegan, child: &ChildHistory) -> Result<ObservationStart, ExclusionReason> {
    match began {
        BraceBegan::Here => Ok(ObservationStart::at(brace)),
        BraceBegan::Unknown => Err(ExclusionReason::BraceDayUnknown),
        BraceBegan::Elsewhere => {
            let day = child.known_from.number().unwrap_or(brace).max(brace);
            Ok(ObservationStart { day, after: day - brace })
        }
    }
}

fn of_foot(measure: Measure, as_of: i32, child: &ChildHistory, foot: &FootHistory) -> Membership {
    let (cast, cut) = (foot.first_cast.number(), foot.tenotomy.number());
    match measure {
        Measure::Casts | Measure::DaysCasting | Measure::Tenotomy => finished(measure, foot),
        Measure::WaitTenotomy => wait_tenotomy(foot),
        Measure::WaitBrace => wait_brace(foot),
        Measure::CastProblems => cast.map_or(Membership::NotInCohort, |cast| cast_problems(cast, foot)),
        Measure::Correction => {
            cast.map_or(Membership::NotInCohort, |cast| correction(cast, as_of, child, foot))
        }
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
        _ => Membership::NotInCohort,
    }
}

fn wait_tenotomy(foot: &FootHistory) -> Membership {
    match (foot.booked.number(), foot.tenotomy.number()) {
        (Some(booked), Some(cut)) => days(booked, booked, cut),
        (Some(_), None) => Membership::Excluded(ExclusionReason::NotSettled),
        (None, Some(_)) => Membership::Excluded(ExclusionReason::NoBeginning),
        (None, None) => Membership::NotInCohort,
    }
}

fn wait_brace(foot: &FootHistory) -> Membership {
    match (foot.tenotomy.number(), foot.corrected().number().or(foot.brace.number())) {
        (Some(cut), Some(brace)) if cut <= brace => days(cut, cut, brace),
        (Some(_), None) => Membership::Excluded(ExclusionReason::NotSettled),
        _ => Membership::NotInCohort,
    }
}

fn cast_problems(cast: i32, foot: &FootHistory) -> Membership {
    let (value, of) = (f32::from(foot.cast_problems), f32::from(foot.casts));
    Membership::Included(CaseOutcome { value, of, ..at_once(cast) })
}

fn correction(cast: i32, as_of: i32, child: &ChildHistory, foot: &FootHistory) -> Membership {
    let surgery = [foot.release, foot.tendon_transfer].into_iter().filter_map(|day| day.number()).min();
    let braced = foot.corrected().number();
    let candidates = [braced, lost(child), left(child, &GONE), surgery];
    ended(ObservationStart::at(cast), braced, first(as_of, cast, child, &candidates))
}

/// A case that counts from its brace.
fn from_brace(
    child: &ChildHistory,
    foot: &FootHistory,
    then: impl Fn(ObservationStart) -> Membership,
) -> Membership {
    let Some(brace) = foot.brace.number() else { return Membership::NotInCohort };
    match entry(brace, foot.brace_began, child) {
        Ok(enter) => then(enter),
        Err(reason) => Membership::Excluded(reason),
    }
}

/// A case that counts from birth: observed from its age at the brace, or at its arrival in one.
fn by_age(child: &ChildHistory, foot: &FootHistory) -> Membership {
    let Some(brace) = foot.brace.number() else { return Membership::NotInCohort };
    let Some(born) = child.born.number() else { return Membership::Excluded(ExclusionReason::NoBirthDay) };
    // The clock is age: for a foot that arrived in a brace, the day the brace began need not be known.
    let day = entry(brace, foot.brace_began, child).map_or(brace, |enter| enter.day);
    if born > day {
        return Membership::Excluded(ExclusionReason::OutOfOrder);
    }
    free_of(ObservationStart { day, after: day - born }, child, foot.relapse.number())
}

fn from(zero: Option<i32>, as_of: i32, child: &ChildHistory, event: Option<i32>) -> Membership {
    zero.map_or(Membership::NotInCohort, |zero| incidence(as_of, ObservationStart::at(zero), child, event))
}

/// Measures of feet that have finished their first course of casts.
fn finished(measure: Measure, foot: &FootHistory) -> Membership {
    let Some(cast) = foot.first_cast.number() else { return Membership::NotInCohort };
    let (cut, brace) = (foot.tenotomy.number(), foot.brace.number());
    let braced_before = foot.braced_again.number().is_some() || foot.brace_began != BraceBegan::Here;
    match measure {
        Measure::Casts => match cut.into_iter().chain(brace).min() {
            _ if foot.treated_before => Membership::Excluded(ExclusionReason::TreatedBefore),
            None => Membership::Excluded(ExclusionReason::NotSettled),
            Some(over) if over < cast => Membership::Excluded(ExclusionReason::OutOfOrder),
            Some(over) => number(cast, over, f32::from(foot.correcting_casts)),
        },
        _ if braced_before => Membership::Excluded(ExclusionReason::TreatedBefore),
        Measure::DaysCasting => match brace {
            None => Membership::Excluded(ExclusionReason::NotSettled),
            Some(brace) => days(cast, cast, brace),
        },
        _ => match brace {
            None => Membership::Excluded(ExclusionReason::NotSettled),
            Some(brace) if brace < cast => Membership::Excluded(ExclusionReason::OutOfOrder),
            Some(brace) => number(cast, brace, f32::from(u8::from(cut.is_some_and(|cut| cut <= brace)))),
        },
    }
}

/// Whether the cases of a kind are times to an event.
#[must_use]
pub const fn timed(kind: MeasureKind) -> bool {
    matches!(kind, MeasureKind::FreeOf | MeasureKind::Incidence)
}
