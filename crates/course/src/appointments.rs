//! The outcome of each appointment.
//!
//! - An attended, missed or cancelled entry names its appointment in `follows`; without it, the entry
//!   applies to every appointment of its day that is not cancelled.
//! - The child was **seen** if a clinical entry exists for the day; with only the arrival recorded the
//!   child is **here**. A clinical entry on the day counts even if no arrival is recorded, and even if the
//!   appointment is recorded as missed.
//! - An appointment that follows an earlier one replaces it: the earlier one counts as cancelled, unless
//!   the child came or missed it. A new appointment that follows none cancels none.
//! - An appointment that has passed with no entry stays expected: it was not recorded as missed.
//! - The end of care ends its appointments: one made by the day of a discharge, transfer or death, for
//!   that day or later, has ended, even if care is opened again. After a death no child is expected,
//!   whenever the appointment was made.
//! - If a child came or missed a visit without an appointment, one is added for that day.

use crate::events::Event;
use crate::{Appointment, AppointmentState, Standing};
use record::{AppointmentMade, Body, Day, EntryId};

/// An appointment and the entries about it.
#[derive(Debug)]
struct Slot {
    appointment: Appointment,
    attended: Option<(Day, EntryId)>,
    missed: Option<EntryId>,
    cancelled: bool,
    replaced: bool,
}

impl Slot {
    const fn new(entry: EntryId, for_day: Day) -> Self {
        let (made_on, time, purpose, state) = (None, None, None, AppointmentState::Expected);
        let appointment = Appointment { entry, made_on, for_day, time, purpose, state, marked_by: None };
        Self { appointment, attended: None, missed: None, cancelled: false, replaced: false }
    }

    fn made(event: &Event<'_>, body: &AppointmentMade) -> Self {
        let mut slot = Self::new(event.id(), body.for_day);
        slot.appointment.made_on = Some(event.on);
        slot.appointment.time.clone_from(&body.time);
        slot.appointment.purpose = body.purpose;
        slot
    }

    /// The outcome. `clinical_on`: the days that have a clinical entry.
    fn state(&self, clinical_on: &[Day], ended: &[Standing]) -> AppointmentState {
        let clinical = |day: Day| clinical_on.binary_search(&day).is_ok();
        match self.attended {
            Some((day, _)) if clinical(day) => AppointmentState::Seen,
            Some(_) => AppointmentState::Here,
            None if self.cancelled => AppointmentState::Cancelled,
            None if clinical(self.appointment.for_day) => AppointmentState::Seen,
            None if self.missed.is_some() => AppointmentState::Missed,
            None if self.replaced => AppointmentState::Cancelled,
            None if ended.iter().any(|&end| self.ends_with(end)) => AppointmentState::Ended,
            None => AppointmentState::Expected,
        }
    }
}

impl Slot {
    /// The entry whose withdrawal takes the child back from "here" or "missed".
    fn marked_by(&self, state: AppointmentState) -> Option<EntryId> {
        match state {
            AppointmentState::Here => self.attended.map(|(_, entry)| entry),
            AppointmentState::Missed => self.missed,
            _ => None,
        }
    }

    /// Whether an end of care ended this appointment.
    fn ends_with(&self, end: Standing) -> bool {
        let by = |day: Day| self.appointment.made_on.is_none_or(|made| made <= day);
        match end {
            Standing::Died(day) => self.appointment.for_day >= day,
            Standing::Discharged(day) | Standing::Transferred(day) => {
                self.appointment.for_day >= day && by(day)
            }
            Standing::Active | Standing::Lost(_) => false,
        }
    }
}

/// The appointments made, by day, and those that were only attended or missed.
#[derive(Debug, Default)]
struct Book {
    made: Vec<Slot>,
    by_id: Vec<(EntryId, usize)>,
    unmade: Vec<Slot>,
}

/// The appointments, ordered by the day they are for.
pub(crate) fn build(events: &[Event<'_>], clinical_on: &[Day], ended: &[Standing]) -> Vec<Appointment> {
    let mut book = Book::of(events);
    if book.is_idle(events) {
        return Vec::new();
    }
    events.iter().for_each(|event| book.cancel_or_replace(event));
    events.iter().for_each(|event| book.attend_or_miss(event));
    book.finish(clinical_on, ended)
}

impl Book {
    fn of(events: &[Event<'_>]) -> Self {
        let mut made: Vec<_> = events
            .iter()
            .filter_map(|event| match event.body {
                Body::AppointmentMade(body) => Some(Slot::made(event, body)),
                _ => None,
            })
            .collect();
        made.sort_by_key(|slot| slot.appointment.for_day);
        let mut by_id: Vec<_> =
            made.iter().enumerate().map(|(i, slot)| (slot.appointment.entry, i)).collect();
        by_id.sort_unstable();
        Self { made, by_id, unmade: Vec::new() }
    }

    fn is_idle(&self, events: &[Event<'_>]) -> bool {
        let comes = |event: &Event<'_>| {
            matches!(event.body, Body::AppointmentAttended(_) | Body::AppointmentMissed(_))
        };
        self.made.is_empty() && !events.iter().any(comes)
    }

    /// The index of the appointment that an entry follows.
    fn answered(&self, event: &Event<'_>) -> Option<usize> {
        let id = event.entry.follows?;
        let at = self.by_id.binary_search_by_key(&id, |&(id, _)| id).ok()?;
        self.by_id.get(at).map(|&(_, place)| place)
    }

    /// The appointments that an entry applies to: the one it follows, otherwise those of the day.
    fn meant(&mut self, event: &Event<'_>, day: Day) -> &mut [Slot] {
        if let Some(place) = self.answered(event) {
            return &mut self.made[place..=place];
        }
        let from = self.made.partition_point(|slot| slot.appointment.for_day < day);
        let to = self.made.partition_point(|slot| slot.appointment.for_day <= day);
        &mut self.made[from..to]
    }

    fn cancel_or_replace(&mut self, event: &Event<'_>) {
        match event.body {
            Body::AppointmentCancelled(body) => {
                self.meant(event, body.for_day).iter_mut().for_each(|slot| slot.cancelled = true);
            }
            Body::AppointmentMade(_) => {
                if let Some(place) = self.answered(event) {
                    self.made[place].replaced |= self.made[place].appointment.entry != event.id();
                }
            }
            _ => {}
        }
    }

    fn attend_or_miss(&mut self, event: &Event<'_>) {
        let came = match event.body {
            Body::AppointmentAttended(_) => true,
            Body::AppointmentMissed(_) => false,
            _ => return,
        };
        let answers = self.answered(event).is_some();
        let mut found = false;
        for slot in self.meant(event, event.on).iter_mut().filter(|slot| answers || !slot.cancelled) {
            found = true;
            mark(slot, came, event);
        }
        if !found {
            if self.unmade.last().is_none_or(|slot| slot.appointment.for_day != event.on) {
                self.unmade.push(Slot::new(event.id(), event.on));
            }
            self.unmade.last_mut().into_iter().for_each(|slot| mark(slot, came, event));
        }
    }

    fn finish(self, clinical_on: &[Day], ended: &[Standing]) -> Vec<Appointment> {
        let slots = self.made.into_iter().chain(self.unmade);
        let mut appointments: Vec<_> = slots
            .map(|slot| {
                let state = slot.state(clinical_on, ended);
                Appointment { state, marked_by: slot.marked_by(state), ..slot.appointment }
            })
            .collect();
        appointments.sort_by_key(|appointment| appointment.for_day);
        appointments
    }
}

const fn mark(slot: &mut Slot, came: bool, event: &Event<'_>) {
    if came {
        slot.attended = Some((event.on, event.id()));
    } else {
        slot.missed = Some(event.id());
    }
}
