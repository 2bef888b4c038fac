//! Which call leads the child's row in the list on each day.
//!
//! Calls begin and end on known days, so the leading call is known for every future day, as long as nothing
//! more is recorded. A list is then one query for the stretches that include today.

use super::{Attention, CallPlace};
use record::Day;

/// A stretch of days on which one call leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lead {
    /// The index of the call among those given.
    pub call: usize,
    /// The first day.
    pub from: Day,
    /// The first day after it; `None` if it has no end.
    pub until: Option<Day>,
}

/// The stretches in order. Of the calls in the list the most urgent leads, then the one that has applied
/// longest.
#[must_use]
pub fn leads(calls: &[Attention]) -> Vec<Lead> {
    let listed = || calls.iter().filter(|call| call.place == CallPlace::List);
    let mut days: Vec<Day> = listed().flat_map(|call| [Some(call.from), call.until]).flatten().collect();
    days.sort_unstable();
    days.dedup();
    let mut leads: Vec<Lead> = Vec::new();
    for (at, &from) in days.iter().enumerate() {
        let until = days.get(at + 1).copied();
        let Some(call) = leader(calls, from) else { continue };
        match leads.last_mut().filter(|last| last.call == call && last.until == Some(from)) {
            Some(last) => last.until = until,
            None => leads.push(Lead { call, from, until }),
        }
    }
    leads
}

/// The index of the call that leads on a day.
#[must_use]
pub fn leader(calls: &[Attention], day: Day) -> Option<usize> {
    let open = calls.iter().enumerate().filter(|(_, call)| call.is_listed(day));
    open.min_by_key(|(at, call)| (call.urgency, call.from, *at)).map(|(at, _)| at)
}
