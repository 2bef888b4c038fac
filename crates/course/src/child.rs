//! What belongs to the child and not to a foot: who the child is, screening, contacts, wear, what was
//! measured for brace and boots, and the days on which the child was seen.
//!
//! The last registration holds whole. Of screening, each part holds until a later entry says otherwise.
//!
//! A child was **seen** on a day of which something clinical is recorded, or on which it attended and
//! anything else about the child is recorded (a note, hours of wear, a problem, a diagnosis). An
//! attendance by itself shows that the family came and nothing about the foot: it counts for no review.

use crate::events::{Event, is_clinical_visit, is_visit};
use crate::{Contact, FootLength, ShoulderMeasured, WearKind, WearSpan};
use record::{Body, Day, EntryId, Registration, Screening};

#[derive(Debug, Default)]
pub(crate) struct Child<'a> {
    pub(crate) about: Option<(&'a Registration, EntryId)>,
    /// The first registration or referral.
    pub(crate) referred: Option<(Day, EntryId)>,
    pub(crate) screening: Option<Screening>,
    pub(crate) contacts: Vec<Contact>,
    pub(crate) wear: Vec<WearSpan>,
    pub(crate) foot_lengths: Vec<FootLength>,
    pub(crate) shoulders: Vec<ShoulderMeasured>,
    pub(crate) seen_on: Vec<Day>,
    /// Days on which something clinical is written, attendance alone not counted.
    pub(crate) clinical_on: Vec<Day>,
    /// Days on which the child attended and nothing else is recorded.
    pub(crate) only_attended_on: Vec<Day>,
}

impl<'a> Child<'a> {
    pub(crate) fn of(events: &[Event<'a>]) -> Self {
        let mut child = Self::default();
        child.seen_on.reserve(events.len() / 2);
        child.clinical_on.reserve(events.len() / 2);
        events.iter().for_each(|event| child.learn(event));
        events.chunk_by(|one, next| one.on == next.on).for_each(|day| child.see(day));
        child.wear.sort_by_key(|span| (span.from, span.to));
        child
    }

    fn learn(&mut self, event: &Event<'a>) {
        let (on, entry) = (event.on, event.id());
        if is_clinical_visit(event.body) {
            push_day(&mut self.clinical_on, on);
        }
        match event.body {
            Body::Registration(body) => {
                self.about = Some((body, entry));
                self.referred.get_or_insert((on, entry));
            }
            Body::Referral(_) => {
                self.referred.get_or_insert((on, entry));
            }
            Body::Screening(body) => self.screen(body),
            Body::Assessment(body) => {
                let length = |mm| FootLength { entry, on, side: body.side, mm };
                self.foot_lengths.extend(body.foot_length_mm.map(length));
            }
            Body::BodyMeasured(body) => {
                let width = |mm| ShoulderMeasured { entry, on, mm, width: body.shoulder_width };
                self.shoulders.extend(body.shoulder_mm.map(width));
            }
            Body::ContactAttempt(body) => {
                let (whom, note) = (body.whom.clone(), body.note.clone());
                self.contacts.push(Contact { entry, on, way: body.way, reached: body.reached, whom, note });
            }
            Body::WearReported(body) => {
                let (from, to, hours_per_day) = (body.from, body.to, body.hours_per_day);
                self.wear.push(WearSpan {
                    entry,
                    kind: WearKind::Reported,
                    told_on: on,
                    from,
                    to,
                    hours_per_day,
                });
            }
            Body::WearLogged(body) => {
                let (from, to, hours_per_day) = (body.from, body.to, body.hours_per_day);
                self.wear.push(WearSpan {
                    entry,
                    kind: WearKind::Logged,
                    told_on: on,
                    from,
                    to,
                    hours_per_day,
                });
            }
            _ => {}
        }
    }

    /// Whether the child was seen on the day of these events, or only attended.
    fn see(&mut self, day: &[Event<'a>]) {
        let Some(on) = day.iter().find(|event| is_visit(event.body)).map(|event| event.on) else { return };
        let recorded = day.iter().any(|event| is_clinical_visit(event.body) || tells_of_child(event.body));
        push_day(if recorded { &mut self.seen_on } else { &mut self.only_attended_on }, on);
    }

    fn screen(&mut self, body: &Screening) {
        let holds = self.screening.get_or_insert_with(Screening::default);
        holds.hips = body.hips.or(holds.hips);
        holds.spine = body.spine.or(holds.spine);
        holds.nerve_and_muscle = body.nerve_and_muscle.or(holds.nerve_and_muscle);
        if body.note.is_some() {
            holds.note.clone_from(&body.note);
        }
    }
}

/// Whether an entry records anything about the child beyond coming and going.
const fn tells_of_child(body: &Body) -> bool {
    !matches!(
        body,
        Body::AppointmentMade(_)
            | Body::AppointmentAttended(_)
            | Body::AppointmentMissed(_)
            | Body::AppointmentCancelled(_)
            | Body::ContactAttempt(_)
            | Body::Registration(_)
            | Body::Referral(_)
    )
}

/// Adds a day to days in order, once.
fn push_day(days: &mut Vec<Day>, day: Day) {
    if days.last() != Some(&day) {
        days.push(day);
    }
}
