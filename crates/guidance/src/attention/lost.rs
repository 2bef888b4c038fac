//! The lost list: families who have not come for longer than the protocol allows and were not reached.
//!
//! A child is put on it by two facts together: the protocol's time without a visit has passed, and an attempt
//! to reach the family since the last visit is recorded, of which the last did not reach them. From that day
//! on the child's calls are on the lost list, under one routine: who was tried, when, and what comes next.
//! Calls of the same day (a cast still on, a warning sign) stay in the list of children who need attention
//! as well. A child leaves the lost list when the family is reached or comes, and at the end of care.

use super::{Attention, Ground, Place, RULES, Urgency};
use crate::Protocol;
use course::{Contact, Course, Standing};
use record::{ContactWay, Day};

/// How a lost family was tried, and what comes next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LostRoutine {
    /// The first day on the lost list.
    pub since: Day,
    /// The day of the last visit.
    pub last_seen: Option<Day>,
    /// Attempts since, in order.
    pub tried: Vec<Contact>,
    /// The next way to try, the first that was not tried yet; `None` where every way was.
    pub next: Option<ContactWay>,
    /// From which day it is to be tried.
    pub next_from: Day,
}

/// The ways in the order in which they are tried. Common practice, no source.
const ORDER: [ContactWay; 5] =
    [ContactWay::Phone, ContactWay::Message, ContactWay::Letter, ContactWay::Through, ContactWay::HomeVisit];

impl LostRoutine {
    /// Of a child for whom the protocol's time without a visit ends with the day before `lost_from`; `None`
    /// where nobody tried to reach the family since the last visit, or the last attempt reached them.
    pub(super) fn of(course: &Course, protocol: &Protocol, lost_from: Day) -> Option<Self> {
        let last_seen = course.last_seen();
        let tried: Vec<Contact> = tried_since(course).cloned().collect();
        let reached = tried.iter().rposition(|contact| contact.reached);
        let unanswered = &tried[reached.map_or(0, |at| at + 1)..];
        let (first, last) = (unanswered.first()?, unanswered.last()?);
        let next = ORDER.into_iter().find(|way| tried.iter().all(|contact| contact.way != *way));
        let next_from = last.on + i32::from(protocol.lost_try_again_days);
        Some(Self { since: lost_from.max(first.on), last_seen, next, next_from, tried: tried.clone() })
    }

    /// "next: letter, from 3 May 2024".
    #[must_use]
    pub fn next_words(&self) -> String {
        let day = self.next_from.words();
        match self.next {
            Some(way) => format!("Next: {}, from {day}.", way.words()),
            None => {
                format!("Every way was tried: from {day} try once more, or close the file by a discharge.")
            }
        }
    }
}

/// Attempts since the child was last seen, in order of day.
pub(super) fn tried_since(course: &Course) -> impl DoubleEndedIterator<Item = &Contact> {
    let seen = course.last_seen().unwrap_or(Day::FIRST);
    course.contacts.iter().filter(move |contact| contact.on > seen)
}

/// Moves the calls of a child on the lost list there, from the day on which the child is put on it.
pub(super) fn to_the_lost_list(ground: &Ground<'_>, found: Vec<Attention>) -> Vec<Attention> {
    let on_list = found.iter().find(|call| call.place == Place::Lost).map(|call| call.from);
    let Some(since) = on_list else { return found };
    let stays =
        |call: &Attention| call.place == Place::Lost || stays_listed(call) || !is_worked_on(call.place);
    let mut moved = Vec::new();
    for call in found {
        if stays(&call) {
            moved.push(call);
            continue;
        }
        let lost = Attention { place: Place::Lost, ..call.clone() };
        moved.extend(call.before(since));
        // Declared lost, a child has no other calls than those of the rules that say so.
        moved.extend(lost.after(since).filter(|_| ground.course.standing == Standing::Active));
    }
    moved
}

const fn is_worked_on(place: Place) -> bool {
    matches!(place, Place::List | Place::PutOff)
}

/// A call of the same day, or of a rule that speaks of a lost child too.
fn stays_listed(call: &Attention) -> bool {
    let speaks = RULES.iter().any(|rule| rule.key == call.rule && rule.when_lost);
    call.urgency == Urgency::Today || (speaks && call.rule != super::contact_lost::RULE.key)
}
