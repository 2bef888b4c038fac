//! The effective entries, in the order in which they count.
//!
//! Entries of one day are often recorded in any order (a paper sheet typed in later, one form for a whole
//! visit), so within a day the order is that of a visit, not of recording: the child is registered,
//! bracing is stopped, the old cast comes off, the foot is scored, a relapse is judged, the new cast is
//! applied, a tenotomy or other surgery takes precedence over the cast of its day, a brace over both, and
//! the end of care comes last. Only entries of the same kind keep the order in which they were recorded.

use crate::CorrectedLog;
use record::{Body, BraceChange, ChildId, Day, Entry, EntryId, RemovalReason, Side};

/// An effective entry, with the contents and the day that count.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Event<'a> {
    pub(crate) entry: &'a Entry,
    pub(crate) body: &'a Body,
    pub(crate) on: Day,
    rank: u8,
}

impl Event<'_> {
    pub(crate) const fn id(&self) -> EntryId {
        self.entry.id
    }

    /// Whether its contents come from a correction.
    pub(crate) fn is_corrected(&self) -> bool {
        !std::ptr::eq(self.body, &self.entry.body) || self.on != self.entry.on
    }
}

/// The effective entries of one child by a day. Entries of another child are never included.
pub(crate) fn effective<'a>(log: &CorrectedLog<'a>, child: ChildId, as_of: Day) -> Vec<Event<'a>> {
    let mut events = Vec::with_capacity(log.lines.len());
    events.extend(log.lines.iter().filter_map(|line| {
        // A second score measures agreement between raters and says nothing about treatment; an entry that
        // lists others says nothing that they do not say.
        let is_effective = line.fate.holds()
            && !matches!(line.body, Body::SecondScore(_))
            && line.body.written_together().is_none();
        (is_effective && line.on <= as_of && line.entry.child == child).then(|| Event {
            entry: line.entry,
            body: line.body,
            on: line.on,
            rank: rank(line.body),
        })
    }));
    events.sort_by_key(|event| (event.on, event.rank));
    events
}

/// The order within a day.
const fn rank(body: &Body) -> u8 {
    match body {
        Body::Registration(_) | Body::Referral(_) => 0,
        Body::Diagnosis(_) | Body::Screening(_) => 1,
        Body::BraceChanged(changed) if matches!(changed.change, BraceChange::Stopped) => 2,
        Body::CastRemoved(_) => 3,
        Body::Assessment(_) | Body::BodyMeasured(_) | Body::Weighed(_) => 4,
        Body::RelapseNoted(_) => 5,
        Body::CastApplied(_) => 6,
        Body::TenotomyBooked(_) => 7,
        Body::TenotomyDone(_) => 8,
        Body::OtherSurgery(_) => 9,
        Body::BraceFitted(_) => 10,
        Body::BraceChanged(_) => 11,
        Body::Transfer(_) | Body::LostDeclared(_) => 13,
        Body::Discharge(_) => 14,
        Body::Death(_) => 15,
        Body::Sibling(_)
        | Body::SecondScore(_)
        | Body::WearReported(_)
        | Body::WearLogged(_)
        | Body::Problem(_)
        | Body::Consent(_)
        | Body::Allergies(_)
        | Body::Medicines(_)
        | Body::AppointmentMade(_)
        | Body::AppointmentAttended(_)
        | Body::AppointmentMissed(_)
        | Body::AppointmentCancelled(_)
        | Body::ContactAttempt(_)
        | Body::DocumentHanded(_)
        | Body::Note(_)
        | Body::Photograph(_)
        | Body::PhotographAngleMeasured(_)
        | Body::PhotographLengthMeasured(_)
        | Body::GaitVideo(_)
        | Body::Correction(_)
        | Body::Withdrawal(_)
        | Body::VisitAmended(_)
        | Body::RecordsJoined(_) => 12,
    }
}

/// The foot that an entry treats: a cast, a tenotomy booked or done, other surgery, a relapse noted. The only
/// list of them; [`crate::FootCourse::is_treated`] is the same of a finished course.
pub(crate) const fn treats(body: &Body) -> Option<Side> {
    match body {
        Body::CastApplied(body) => Some(body.side),
        Body::TenotomyBooked(body) => Some(body.side),
        Body::TenotomyDone(body) => Some(body.side),
        Body::OtherSurgery(body) => Some(body.side),
        Body::RelapseNoted(body) => Some(body.side),
        // Each kind is named, so that a new one has to be placed.
        Body::Referral(_)
        | Body::Registration(_)
        | Body::Diagnosis(_)
        | Body::Screening(_)
        | Body::BodyMeasured(_)
        | Body::Weighed(_)
        | Body::Allergies(_)
        | Body::Medicines(_)
        | Body::Assessment(_)
        | Body::CastRemoved(_)
        | Body::BraceFitted(_)
        | Body::BraceChanged(_)
        | Body::Transfer(_)
        | Body::LostDeclared(_)
        | Body::Discharge(_)
        | Body::Death(_)
        | Body::Sibling(_)
        | Body::SecondScore(_)
        | Body::WearReported(_)
        | Body::WearLogged(_)
        | Body::Problem(_)
        | Body::Consent(_)
        | Body::AppointmentMade(_)
        | Body::AppointmentAttended(_)
        | Body::AppointmentMissed(_)
        | Body::AppointmentCancelled(_)
        | Body::ContactAttempt(_)
        | Body::DocumentHanded(_)
        | Body::Note(_)
        | Body::Photograph(_)
        | Body::PhotographAngleMeasured(_)
        | Body::PhotographLengthMeasured(_)
        | Body::GaitVideo(_)
        | Body::Correction(_)
        | Body::Withdrawal(_)
        | Body::VisitAmended(_)
        | Body::RecordsJoined(_) => None,
    }
}

/// The foot that an entry treats as a clubfoot, so that it contradicts a diagnosis of "not a clubfoot": any
/// treatment but other surgery, which may have another cause.
pub(crate) const fn treats_as_clubfoot(body: &Body) -> Option<Side> {
    match body {
        Body::OtherSurgery(_) => None,
        body => treats(body),
    }
}

/// The foot that an entry looked at or treated in person: scored, or treated and not only booked.
pub(crate) const fn seen_in_person(body: &Body) -> Option<Side> {
    match body {
        Body::Assessment(body) => Some(body.side),
        Body::TenotomyBooked(_) => None,
        body => treats(body),
    }
}

/// What an entry says about whether the child was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shows {
    /// That the child was there: it was examined or treated in person.
    Examined,
    /// That the child came, and nothing about it.
    Attended,
    /// Something about the child that can be said without seeing it. On a day on which it attended, it was seen.
    Told,
    /// Nothing about the child: contacts, appointments, who it is, what amends other entries.
    Nothing,
}

/// What an entry shows. Every kind is named: a new one has to be decided here.
///
/// Not in person are a cast that the family took off, hours changed or bracing stopped or resumed by telephone, a
/// tenotomy that is only booked, and a weight, which may come from a health card or another ward.
const fn shows(body: &Body) -> Shows {
    match body {
        Body::Assessment(_)
        | Body::BodyMeasured(_)
        | Body::CastApplied(_)
        | Body::TenotomyDone(_)
        | Body::OtherSurgery(_)
        | Body::RelapseNoted(_)
        | Body::BraceFitted(_) => Shows::Examined,
        Body::CastRemoved(removed) => match removed.why {
            RemovalReason::ByFamily => Shows::Told,
            RemovalReason::Planned
            | RemovalReason::Slipped
            | RemovalReason::Sore
            | RemovalReason::Circulation
            | RemovalReason::Damaged
            | RemovalReason::Other => Shows::Examined,
        },
        Body::BraceChanged(changed) => match changed.change {
            BraceChange::Size | BraceChange::Settings | BraceChange::Repaired => Shows::Examined,
            BraceChange::Hours | BraceChange::Stopped | BraceChange::Resumed => Shows::Told,
        },
        Body::AppointmentAttended(_) => Shows::Attended,
        Body::Diagnosis(_)
        | Body::Screening(_)
        | Body::TenotomyBooked(_)
        | Body::WearReported(_)
        | Body::WearLogged(_)
        | Body::Problem(_)
        | Body::Consent(_)
        | Body::Weighed(_)
        | Body::Allergies(_)
        | Body::Medicines(_)
        | Body::Transfer(_)
        | Body::Death(_)
        | Body::LostDeclared(_)
        | Body::Discharge(_)
        | Body::Photograph(_)
        | Body::GaitVideo(_)
        | Body::Note(_) => Shows::Told,
        Body::Registration(_)
        | Body::Referral(_)
        | Body::Sibling(_)
        | Body::SecondScore(_)
        | Body::AppointmentMade(_)
        | Body::AppointmentMissed(_)
        | Body::AppointmentCancelled(_)
        | Body::ContactAttempt(_)
        | Body::DocumentHanded(_)
        | Body::PhotographAngleMeasured(_)
        | Body::PhotographLengthMeasured(_)
        | Body::Correction(_)
        | Body::Withdrawal(_)
        | Body::VisitAmended(_)
        | Body::RecordsJoined(_) => Shows::Nothing,
    }
}

/// Whether an entry proves that the child was there that day.
pub(crate) const fn is_clinical_visit(body: &Body) -> bool {
    matches!(shows(body), Shows::Examined)
}

/// Whether an entry shows that the child attended.
pub(crate) const fn is_visit(body: &Body) -> bool {
    matches!(shows(body), Shows::Examined | Shows::Attended)
}

/// Whether an entry records anything about the child apart from contacts and appointments.
pub(crate) const fn is_about_child(body: &Body) -> bool {
    matches!(shows(body), Shows::Examined | Shows::Told)
}
