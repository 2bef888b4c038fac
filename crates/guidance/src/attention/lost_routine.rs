//! The attempts to reach a lost family, and the next one.

use crate::Protocol;
use course::{Contact, Course};
use record::{ContactWay, Day};

/// The attempts to reach a lost family, and the next one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LostRoutine {
    /// The first day on the lost list.
    pub since: Day,
    /// The day of the last visit.
    pub last_seen: Option<Day>,
    /// Attempts since the last visit, in order.
    pub tried: Vec<Contact>,
    /// The next way to try, the first not tried yet; `None` if every way was tried.
    pub next: Option<ContactWay>,
    /// The day from which to try it.
    pub next_from: Day,
}

/// The order in which ways are tried. Common practice, no source.
const ORDER: [ContactWay; 5] =
    [ContactWay::Phone, ContactWay::Message, ContactWay::Letter, ContactWay::Through, ContactWay::HomeVisit];

impl LostRoutine {
    /// The routine of a child for whom the protocol's time without a visit ends on the day before `lost_from`;
    /// `None` if no attempt was made since the last visit, or the last attempt reached the family.
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
}

/// Attempts since the child was last seen, in order of day.
pub(super) fn tried_since(course: &Course) -> impl DoubleEndedIterator<Item = &Contact> {
    let seen = course.last_seen().unwrap_or(Day::FIRST);
    course.contacts.iter().filter(move |contact| contact.on > seen)
}
