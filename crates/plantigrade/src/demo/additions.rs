//! Entries about the simulated children that the natural history does not produce: braces not tolerated at
//! first, and the discharge of children lost long ago.

use record::{Body, ChildId, Day, Discharge, DischargeReason, Entry, EntryId, Problem, ProblemKind};
use std::collections::BTreeMap;
use uuid::Uuid;

/// Children in a thousand who do not tolerate the brace in its first year; published tolerance is 80 to 90 %.
const NOT_TOLERATED_PER_THOUSAND: u64 = 150;
/// Days in the brace within which that is noted.
const FIRST_YEAR_DAYS: i32 = 330;
/// Days from the declaration of loss to the discharge, so that the list of the lost stays short enough to work
/// through.
const DISCHARGED_AFTER_DAYS: i32 = 270;

/// The entries with these added.
pub fn with_additions(mut entries: Vec<Entry>, seed: u64, today: Day) -> Vec<Entry> {
    let mut of_child: BTreeMap<ChildId, Vec<&Entry>> = BTreeMap::new();
    entries.iter().for_each(|entry| of_child.entry(entry.child).or_default().push(entry));
    let mut more = Vec::new();
    for log in of_child.values() {
        more.extend(not_tolerated(log, seed));
        more.extend(discharged(log, today));
    }
    entries.extend(more);
    entries
}

/// One more entry of the same day and writer as another.
fn next_to(entry: &Entry, number: u128, body: impl Into<Body>) -> Entry {
    let id = EntryId::new(Uuid::from_u128(entry.id.uuid().as_u128() ^ number));
    Entry { id, body: body.into(), follows: None, ..entry.clone() }
}

/// Noted at the second visit in the brace, settled at the visit after it.
fn not_tolerated(log: &[&Entry], seed: u64) -> Vec<Entry> {
    let Some(fitted) = log.iter().find(|entry| matches!(entry.body, Body::BraceFitted(_))) else {
        return Vec::new();
    };
    // Drawn from the child's id, so that no other random number changes.
    let drawn = (seed ^ fitted.child.uuid().as_u128() as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 32;
    let attended =
        |entry: &&&Entry| matches!(entry.body, Body::AppointmentAttended(_)) && entry.on > fitted.on;
    let mut visits = log.iter().filter(attended);
    let (Some(seen), Some(settled)) = (visits.nth(1), visits.next()) else { return Vec::new() };
    if drawn % 1000 >= NOT_TOLERATED_PER_THOUSAND || seen.on - fitted.on > FIRST_YEAR_DAYS {
        return Vec::new();
    }
    let problem = |settled, note: &str| Problem {
        settled,
        note: Some(note.to_owned()),
        ..Problem::of(ProblemKind::NotTolerated)
    };
    let noted =
        next_to(seen, 1, problem(false, "Taken off at night for crying; boots and straps looked at."));
    let better = next_to(settled, 1, problem(true, "Worn through the night again."));
    let better = Entry { follows: Some(noted.id), ..better };
    vec![noted, better]
}

/// The discharge of a child lost long ago.
fn discharged(log: &[&Entry], today: Day) -> Option<Entry> {
    let lost = log.iter().find(|entry| matches!(entry.body, Body::LostDeclared(_)))?;
    let on = lost.on + DISCHARGED_AFTER_DAYS;
    let note = Some("Not reached since; will be seen again if the family returns.".to_owned());
    let discharge = next_to(lost, 2, Discharge { reason: DischargeReason::Other, note });
    let at = record::Timestamp::from_seconds(lost.at.seconds() + i64::from(DISCHARGED_AFTER_DAYS) * 86_400);
    (on <= today).then_some(Entry { on, at, ..discharge })
}
