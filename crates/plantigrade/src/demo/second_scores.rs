//! Second, blind scores of feet of the invented clinic, each by another of its staff.
//!
//! The three raters differ: one agrees with the first rater except for random errors, one scores a little
//! higher, and one has scored higher in the last months, so that the page of agreement has something to
//! show. How often a sign is judged a step apart is assumed, so that kappa is close to published values; it is
//! for a demonstration only.

use super::{STAFF, person, site, story::fixed_uuid};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use record::{
    Assessment, Body, ChildId, Day, Entry, EntryId, HalfPoint, Pirani, SecondScore, Sign, Timestamp,
};
use std::collections::HashMap;

/// Number of past days in which feet were scored twice.
const SPAN_DAYS: i32 = 2 * 365;
/// Share of children whose feet were scored twice at one of their visits.
const CHILDREN: f64 = 0.65;
/// Chance of a sign judged a step off.
const SLIP: f64 = 0.16;
/// Chance of a sign judged a step higher, by rater, and in the last months.
const HIGHER: [f64; 3] = [0.0, 0.05, 0.0];
const HIGHER_LATELY: [f64; 3] = [0.0, 0.05, 0.5];
const LATELY_DAYS: i32 = 330;
/// Time from the first score to the second.
const LATER_SECONDS: i64 = 12 * 60;

/// Second scores of some of the feet in a clinic, each on the day of its first.
pub fn second_scores(entries: &[Entry], seed: u64, today: Day) -> Vec<Entry> {
    let mut rng = StdRng::seed_from_u64(seed ^ 0x2A7E_D001);
    let mut visits: HashMap<ChildId, Vec<(&Entry, &Assessment)>> = HashMap::new();
    let mut children: Vec<ChildId> = Vec::new();
    for entry in entries {
        let Body::Assessment(seen) = &entry.body else { continue };
        if (0..SPAN_DAYS).contains(&(today - entry.on)) && seen.pirani.missing().next().is_none() {
            let visit = visits.entry(entry.child).or_default();
            if visit.is_empty() {
                children.push(entry.child);
            }
            visit.push((entry, seen));
        }
    }
    let mut written = Vec::new();
    for child in children {
        let Some(scored) = visits.get(&child).filter(|_| rng.random_bool(CHILDREN)) else { continue };
        let on = scored[rng.random_range(0..scored.len())].0.on;
        let of_day: Vec<_> = scored.iter().filter(|(entry, _)| entry.on == on).collect();
        // Two assessments of a foot on one day contradict each other, so there is no single first score.
        let once = |side| of_day.iter().filter(|(_, seen)| seen.side == side).count() == 1;
        for (first, seen) in of_day.iter().filter(|(_, seen)| once(seen.side)) {
            written.push(second(first, seen, today, &mut rng));
        }
    }
    written
}

/// The second score of one foot, by somebody other than the first rater.
fn second(first: &Entry, seen: &Assessment, today: Day, rng: &mut StdRng) -> Entry {
    let own = (0..STAFF.len()).find(|index| person(*index) == first.by).unwrap_or(0);
    let rater = own + rng.random_range(1..STAFF.len());
    let lately = today - first.on < LATELY_DAYS;
    let higher = if lately { HIGHER_LATELY } else { HIGHER }[rater % STAFF.len()];
    let mut pirani = Pirani::default();
    for sign in Sign::ALL {
        let point = seen.pirani.sign(sign).map(|point| judged(point, higher, rng));
        pirani.set(sign, point);
    }
    let at = Timestamp::from_seconds(first.at.seconds() + LATER_SECONDS);
    Entry {
        id: EntryId::new(fixed_uuid(at.seconds(), rng)),
        child: first.child,
        body: SecondScore { first: Some(first.id), pirani, ..SecondScore::of(seen.side) }.into(),
        on: first.on,
        at,
        by: person(rater),
        site: site(),
        follows: Some(first.id),
    }
}

/// A sign as the second rater judges it.
fn judged(point: HalfPoint, higher: f64, rng: &mut StdRng) -> HalfPoint {
    let step: i32 = match rng.random_range(0.0..1.0) {
        chance if chance < SLIP / 2.0 => -1,
        chance if chance < SLIP => 1,
        chance if chance < SLIP + higher => 1,
        _ => 0,
    };
    let place = HalfPoint::ALL.iter().position(|one| *one == point).unwrap_or(0) as i32;
    HalfPoint::ALL[(place + step).clamp(0, 2) as usize]
}
