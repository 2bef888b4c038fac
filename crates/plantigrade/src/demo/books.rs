//! What the clinic's books hold of the simulated children beside the natural history: braces not borne at
//! first, and files closed of families given up long ago.

use record::{Body, ChildId, Day, Discharge, DischargeReason, Entry, EntryId, Problem, ProblemKind};
use std::collections::BTreeMap;
use uuid::Uuid;

/// Children in a thousand who do not bear the brace in its first year; published tolerance is 80 to 90 %.
const NOT_BORNE: u64 = 150;
/// Days in the brace within which that shows.
const FIRST_YEAR: i32 = 330;
/// Days after a family was given up on which its file is closed, so that the list stays one to work from.
const CLOSED_AFTER: i32 = 270;

/// The entries with these beside them.
pub fn kept(mut entries: Vec<Entry>, seed: u64, today: Day) -> Vec<Entry> {
    let mut of_child: BTreeMap<ChildId, Vec<&Entry>> = BTreeMap::new();
    entries.iter().for_each(|entry| of_child.entry(entry.child).or_default().push(entry));
    let mut more = Vec::new();
    for log in of_child.values() {
        more.extend(not_borne(log, seed));
        more.extend(closed(log, today));
    }
    entries.extend(more);
    entries
}

/// An entry beside another of the same day and writer.
fn beside(entry: &Entry, number: u128, body: impl Into<Body>) -> Entry {
    let id = EntryId::new(Uuid::from_u128(entry.id.uuid().as_u128() ^ number));
    Entry { id, body: body.into(), follows: None, ..entry.clone() }
}

/// Noted at the second visit in the brace, settled at the one after it.
fn not_borne(log: &[&Entry], seed: u64) -> Vec<Entry> {
    let Some(fitted) = log.iter().find(|entry| matches!(entry.body, Body::BraceFitted(_))) else {
        return Vec::new();
    };
    // A chance of the child's own, that no other draw depends on.
    let drawn = (seed ^ fitted.child.uuid().as_u128() as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 32;
    let attended =
        |entry: &&&Entry| matches!(entry.body, Body::AppointmentAttended(_)) && entry.on > fitted.on;
    let mut visits = log.iter().filter(attended);
    let (Some(seen), Some(settled)) = (visits.nth(1), visits.next()) else { return Vec::new() };
    if drawn % 1000 >= NOT_BORNE || seen.on - fitted.on > FIRST_YEAR {
        return Vec::new();
    }
    let problem = |settled, note: &str| Problem {
        settled,
        note: Some(note.to_owned()),
        ..Problem::of(ProblemKind::NotTolerated)
    };
    let noted = beside(seen, 1, problem(false, "Taken off at night for crying; boots and straps looked at."));
    let better = beside(settled, 1, problem(true, "Worn through the night again."));
    let better = Entry { follows: Some(noted.id), ..better };
    vec![noted, better]
}

/// The file of a family given up long ago.
fn closed(log: &[&Entry], today: Day) -> Option<Entry> {
    let lost = log.iter().find(|entry| matches!(entry.body, Body::LostDeclared(_)))?;
    let on = lost.on + CLOSED_AFTER;
    let note = Some("Not reached since; taken up again whenever the family comes.".to_owned());
    let closing = beside(lost, 2, Discharge { reason: DischargeReason::Other, note });
    let at = record::Timestamp::from_seconds(lost.at.seconds() + i64::from(CLOSED_AFTER) * 86_400);
    (on <= today).then_some(Entry { on, at, ..closing })
}
