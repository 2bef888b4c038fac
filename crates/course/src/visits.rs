//! The visit of a day as a whole, for withdrawing it or putting it right, and what was written in one step.
//!
//! A **visit** is what holds of the entries of one day. What says who the child is, that care began or ended,
//! or that somebody telephoned is no part of it: it is listed beside the visit and moves only if it is chosen.
//! A diagnosis is beside it too: it is often written with the registration, before any visit.

use crate::{CorrectedLog, Course, Fate, Line};
use record::{Body, ChildId, Day, Entry, EntryId, JoinedPart, Side, Sides};
use std::collections::BTreeMap;

/// How an entry of a day belongs to the visit of that day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VisitPart {
    /// It is part of it.
    Part,
    /// It has the same day.
    Beside,
}

/// How an entry belongs to the visit of its day; `None` for an amendment.
#[must_use]
pub const fn visit_part(body: &Body) -> Option<VisitPart> {
    match body {
        Body::Correction(_) | Body::Withdrawal(_) | Body::VisitAmended(_) | Body::RecordsJoined(_) => None,
        Body::Registration(_)
        | Body::Referral(_)
        | Body::Diagnosis(_)
        | Body::ContactAttempt(_)
        | Body::AppointmentMissed(_)
        | Body::AppointmentCancelled(_)
        | Body::Transfer(_)
        | Body::Death(_)
        | Body::LostDeclared(_)
        | Body::Discharge(_) => Some(VisitPart::Beside),
        Body::Sibling(_)
        | Body::Screening(_)
        | Body::Assessment(_)
        | Body::SecondScore(_)
        | Body::BodyMeasured(_)
        | Body::Weighed(_)
        | Body::Allergies(_)
        | Body::Medicines(_)
        | Body::CastApplied(_)
        | Body::CastRemoved(_)
        | Body::TenotomyBooked(_)
        | Body::TenotomyDone(_)
        | Body::BraceFitted(_)
        | Body::BraceChanged(_)
        | Body::WearReported(_)
        | Body::WearLogged(_)
        | Body::Problem(_)
        | Body::Consent(_)
        | Body::DocumentHanded(_)
        | Body::AppointmentMade(_)
        | Body::AppointmentAttended(_)
        | Body::RelapseNoted(_)
        | Body::OtherSurgery(_)
        | Body::Photograph(_)
        | Body::PhotographAngleMeasured(_)
        | Body::PhotographLengthMeasured(_)
        | Body::GaitVideo(_)
        | Body::Note(_) => Some(VisitPart::Part),
    }
}

/// The entries of a day that hold, with how each belongs to the visit; empty for a day without any.
#[must_use]
pub fn visit_lines<'a>(log: &CorrectedLog<'a>, on: Day) -> Vec<(Line<'a>, VisitPart)> {
    let holds = |line: &&Line<'a>| line.on == on && line.fate.holds();
    let lines = log.lines.iter().filter(holds);
    lines.filter_map(|line| visit_part(line.body).map(|part| (*line, part))).collect()
}

/// What speaks against a visit being of this child and of these feet: feet that are not on record, or a day
/// before birth. `rest` is the course without that visit; where it knows no foot, nothing speaks against one.
#[must_use]
pub fn visit_misfits(rest: &Course, on: Day, feet: &[Side]) -> Vec<String> {
    let mut found = Vec::new();
    let affected = rest.affected();
    for side in Side::BOTH.into_iter().filter(|side| feet.contains(side)) {
        if let Some(sides) = affected.filter(|sides| !sides.each().contains(&side)) {
            found.push(format!(
                "The visit would be about the {side} foot; on record is: {}.",
                Sides::words(sides)
            ));
        }
    }
    if let Some(born) = rest.about.born.filter(|born| on < *born) {
        found.push(format!("The visit would lie before the day of birth, {}.", born.words()));
    }
    found
}

/// The entries that were written in one step, each with the entry that lists it.
#[must_use]
pub fn written_in_steps(entries: &[Entry]) -> BTreeMap<EntryId, &Entry> {
    let listed = |step: &'_ Entry| step.body.written_together().map(|list| list.entries.clone());
    let steps = entries.iter().filter_map(|step| Some((step, listed(step)?)));
    steps.flat_map(|(step, entries)| entries.into_iter().map(move |entry| (entry, step))).collect()
}

/// The child whose record is used instead of this one, if this one was joined to it and that holds.
#[must_use]
pub fn joined_into(entries: &[Entry]) -> Option<ChildId> {
    let closes =
        |entry: &&Entry| matches!(&entry.body, Body::RecordsJoined(body) if body.part == JoinedPart::Closed);
    if !entries.iter().any(|entry| closes(&entry)) {
        return None;
    }
    let log = CorrectedLog::of(entries, Day::LAST);
    let holds = |line: &&Line<'_>| line.fate == Fate::Unchanged && closes(&line.entry);
    log.lines.iter().rfind(holds)?.body.written_together()?.other
}
