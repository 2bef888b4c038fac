//! Children who may be one child under two numbers or two spellings. Offered, never merged.

use super::{
    Planner,
    children::{Slot, describe, describe_known, differ_by_zeros, number_key, zeroless},
};
use crate::{
    ImportReason, Person, PossibleMatch, Remark,
    names::{Likeness, NameKey},
};
use record::{ChildId, Day, Registration};

/// Most children of one birthday that are compared.
const MOST_COMPARED: usize = 300;
/// Most possible matches that are offered for one child.
const MOST_OFFERED: usize = 5;
/// Most possible matches that are listed for the whole file; all are counted.
const MOST_LISTED: usize = 500;

impl Planner<'_, '_> {
    /// Possible matches of a child just registered, and the remark for its row.
    pub(super) fn matches(&mut self, slot: Slot, row: usize) -> Option<Remark> {
        let mut found = self.in_file(slot);
        found.extend(self.in_record(slot));
        found.truncate(MOST_OFFERED);
        let mine = self.person(slot);
        let mut first = None;
        for (other, known, text) in found {
            first.get_or_insert_with(|| text.clone());
            self.report.possible_matches += 1;
            if self.report.matches.len() < MOST_LISTED {
                self.report.matches.push(PossibleMatch { row, child: mine.clone(), other, known, text });
            }
        }
        let text = first?;
        Some(Remark::on_row(ImportReason::PossibleMatch, text))
    }

    fn person(&self, slot: Slot) -> Person {
        let child = self.children.child(slot);
        person(child.id, &child.registration)
    }

    fn in_file(&self, slot: Slot) -> Vec<(Person, bool, String)> {
        let children = &self.children;
        let mine = children.child(slot);
        let of_day = mine.registration.born.and_then(|born| children.by_born.get(&born));
        let of_name = children.by_name.get(&mine.name);
        let mut others: Vec<Slot> = of_day.into_iter().flatten().copied().take(MOST_COMPARED).collect();
        others.extend(of_name.into_iter().flatten().copied().take(MOST_COMPARED));
        for number in &mine.registration.numbers {
            let twins = children.by_zeroless.get(zeroless(&number_key(number)));
            others.extend(twins.into_iter().flatten().copied().take(MOST_COMPARED));
        }
        others.retain(|&other| other != slot);
        others.sort_unstable();
        others.dedup();
        let compared = others.into_iter().filter_map(|other| {
            let child = children.child(other);
            let text = alike(&mine.name, &mine.registration, &child.name, &child.registration)?;
            Some((self.person(other), child.known, text))
        });
        compared.collect()
    }

    fn in_record(&self, slot: Slot) -> Vec<(Person, bool, String)> {
        let mine = self.children.child(slot);
        let Registration { family_name, given_name, born, .. } = &mine.registration;
        let known = self.children.known.alike(family_name, given_name, *born);
        let others = known.iter().filter(|other| {
            other.id != mine.id && !self.children.list.iter().any(|child| child.known && child.id == other.id)
        });
        let compared = others.filter_map(|other| {
            let registration = describe_known(other);
            let name = NameKey::of(&other.family_name, &other.given_name);
            let text = alike(&mine.name, &mine.registration, &name, &registration)?;
            Some((person(other.id, &registration), true, text))
        });
        compared.collect()
    }
}

fn person(id: ChildId, registration: &Registration) -> Person {
    let Registration { family_name, given_name, numbers, born, .. } = registration;
    let name = if family_name.is_empty() || given_name.is_empty() {
        format!("{family_name}{given_name}")
    } else {
        format!("{family_name}, {given_name}")
    };
    Person { id, name, number: numbers.first().cloned(), born: *born }
}

/// Why two children may be one.
fn alike(
    name: &NameKey,
    mine: &Registration,
    other: &NameKey,
    registration: &Registration,
) -> Option<String> {
    let zeros = mine.numbers.iter().any(|a| registration.numbers.iter().any(|b| differ_by_zeros(a, b)));
    let how = match (name.likeness(other), mine.born, registration.born) {
        (Likeness::Same, Some(a), Some(b)) if a == b => "The same name and date of birth are registered",
        (Likeness::Similar, Some(a), Some(b)) if a == b => {
            "A similar name with the same date of birth is registered"
        }
        (Likeness::Same, Some(a), Some(b)) if near_days(a, b) => {
            "The same name with a similar date of birth is registered"
        }
        (Likeness::Same, None, _) | (Likeness::Same, _, None) => "The same name is registered",
        (Likeness::Same | Likeness::Similar | Likeness::Unknown, ..) if zeros => {
            "The same number, apart from leading zeros, with a similar name is registered"
        }
        _ => return None,
    };
    let who = describe(registration);
    let number = registration.numbers.first();
    let number =
        number.map_or_else(|| "without a number".to_owned(), |number| format!("under the number {number}"));
    Some(format!("{how} {number}: {who}. They are kept apart until a person decides."))
}

/// Day and month exchanged, or one part different by a slip.
fn near_days(a: Day, b: Day) -> bool {
    let ((y1, m1, d1), (y2, m2, d2)) = (a.parts(), b.parts());
    let exchanged = y1 == y2 && m1 == d2 && d1 == m2;
    let year_slip = (y1 - y2).abs() == 1 && (m1, d1) == (m2, d2);
    let day_slip = (y1, m1) == (y2, m2) && (d1.abs_diff(d2) == 1 || d1.abs_diff(d2) == 10);
    exchanged || year_slip || day_slip
}
