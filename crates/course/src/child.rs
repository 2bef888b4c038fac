//! Data of the child rather than of a foot: identity, screening, contacts, wear, measurements for brace and
//! boots, and the days on which the child was seen.
//!
//! The last registration replaces earlier ones completely. Each part of the screening counts until a later
//! entry changes it.
//!
//! A child was **seen** on a day with a clinical entry, or on a day on which it attended and anything else
//! about it is recorded (a note, hours of wear, a problem, a diagnosis). An attendance alone shows that the
//! family came but nothing about the foot: it counts for no review.

use crate::events::{Event, is_about_child, is_clinical_visit, is_visit};
use crate::{Contact, FootLength, Preparation, ShoulderMeasured, SiblingLink, WearKind, WearSpan};
use record::{Body, Day, EntryId, Registration, Screening};

#[derive(Debug, Default)]
pub(crate) struct Child<'a> {
    pub(crate) about: Option<(&'a Registration, EntryId)>,
    /// The first registration or referral.
    pub(crate) referred: Option<(Day, EntryId)>,
    pub(crate) screening: Option<Screening>,
    pub(crate) siblings: Vec<SiblingLink>,
    pub(crate) contacts: Vec<Contact>,
    pub(crate) wear: Vec<WearSpan>,
    pub(crate) foot_lengths: Vec<FootLength>,
    pub(crate) shoulders: Vec<ShoulderMeasured>,
    pub(crate) preparation: Preparation,
    pub(crate) seen_on: Vec<Day>,
    /// Days with a clinical entry; attendance alone does not count.
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
        self.preparation.learn(on, entry, event.body);
        match event.body {
            Body::Registration(body) => {
                self.about = Some((body, entry));
                self.referred.get_or_insert((on, entry));
            }
            Body::Referral(_) => {
                self.referred.get_or_insert((on, entry));
            }
            Body::Screening(body) => self.screen(body),
            Body::Sibling(body) => {
                // The last entry about a child counts.
                self.siblings.retain(|link| link.other != body.other);
                let (other, relation, birth_order) = (body.other, body.relation, body.birth_order);
                self.siblings.push(SiblingLink { entry, other, relation, birth_order });
            }
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
                    recorded_on: on,
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
                    recorded_on: on,
                    from,
                    to,
                    hours_per_day,
                });
            }
            _ => {}
        }
    }

    /// Records whether the child was seen on the day of these events, or only attended.
    fn see(&mut self, day: &[Event<'a>]) {
        let Some(on) = day.iter().find(|event| is_visit(event.body)).map(|event| event.on) else { return };
        let recorded = day.iter().any(|event| is_about_child(event.body));
        push_day(if recorded { &mut self.seen_on } else { &mut self.only_attended_on }, on);
    }

    fn screen(&mut self, body: &Screening) {
        let current = self.screening.get_or_insert_with(Screening::default);
        current.hips = body.hips.or(current.hips);
        current.spine = body.spine.or(current.spine);
        current.nerve_and_muscle = body.nerve_and_muscle.or(current.nerve_and_muscle);
        if body.note.is_some() {
            current.note.clone_from(&body.note);
        }
    }
}

/// Adds a day to an ordered list, once.
fn push_day(days: &mut Vec<Day>, day: Day) {
    if days.last() != Some(&day) {
        days.push(day);
    }
}
