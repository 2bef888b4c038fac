//! A child with what was known of it on each day on which it was seen before the brace.

use crate::SeenChild;
use crate::learning::decided_day;
use crate::natural_history::{ChildTruth, seen};
use crate::past::days_before_brace as days;
use course::Course;
use rayon::prelude::*;
use record::{ChildId, Day, Entry};

/// A child as known now, and as it was known then.
#[derive(Debug, Clone, PartialEq)]
pub struct Followed {
    /// As known on the as-of day.
    pub now: SeenChild,
    /// The day, and the child as it was known on it, in order of day: each day of a visit or tenotomy
    /// before the brace.
    pub then: Vec<(i32, SeenChild)>,
}

impl Followed {
    /// From the entries of a child: its course is computed anew as of each of the days.
    #[must_use]
    pub fn of_entries(child: ChildId, entries: &[Entry], as_of: Day) -> Self {
        let known = |day: Day| SeenChild::of(&Course::of(child, entries, day)).child;
        let now = known(as_of);
        let decided = now.feet.iter().any(|foot| decided_day(foot).is_some());
        let days = if decided { days(&now) } else { Vec::new() };
        let then = days.into_iter().map(|day| (day, known(Day::from_number(day)))).collect();
        Self { now, then }
    }

    /// From the entries of many children.
    #[must_use]
    pub fn of_clinic(children: &[(ChildId, Vec<Entry>)], as_of: Day) -> Vec<Self> {
        children.par_iter().map(|(child, entries)| Self::of_entries(*child, entries, as_of)).collect()
    }

    /// From a simulated child, as seen then.
    #[must_use]
    pub fn of_truth(truth: &ChildTruth, as_of: i32) -> Self {
        let now = seen(truth, as_of);
        let then = days(&now).into_iter().map(|day| (day, seen(truth, day))).collect();
        Self { now, then }
    }

    /// From a child as seen now; earlier states follow from its dates alone ([`SeenChild::as_known_on`]).
    #[must_use]
    pub fn of_seen(now: SeenChild) -> Self {
        let then = days(&now).into_iter().map(|day| (day, now.as_known_on(day))).collect();
        Self { now, then }
    }
}
