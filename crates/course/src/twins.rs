//! Twins: the links of a child to theirs, and its birth order.

use crate::{Course, SiblingLink};
use record::{BirthOrder, Registration, SiblingRelation};

impl Course {
    /// The links to the records of twins.
    pub fn twin_links(&self) -> impl Iterator<Item = &SiblingLink> {
        self.siblings.iter().filter(|link| link.relation == SiblingRelation::Twin)
    }

    /// The birth order of the child, if it is a twin; `None` also where its links disagree about it.
    #[must_use]
    pub fn birth_order(&self) -> Option<BirthOrder> {
        let mut orders = self.twin_links().filter_map(|link| link.birth_order);
        let first = orders.next()?;
        orders.all(|order| order == first).then_some(first)
    }
}

/// Days by which the births of twins may differ: one may be born before midnight and one after it. Births
/// further apart happen and are very rare (from memory).
const TWIN_DAYS: i32 = 1;

/// Why two children cannot be twins by their days of birth; `None` where nothing contradicts it.
#[must_use]
pub fn twins_contradict(one: &Registration, other: &Registration) -> Option<String> {
    let (first, second) = (one.born?, other.born?);
    ((first - second).abs() > TWIN_DAYS).then(|| {
        format!(
            "{} was born on {} and {} on {}: twins are born on the same day or the next. Choose brother or sister, or correct the date of birth first.",
            one.full_name(),
            first.words(),
            other.full_name(),
            second.words()
        )
    })
}
