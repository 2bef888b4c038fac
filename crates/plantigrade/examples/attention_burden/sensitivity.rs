//! Who was called of those who should have been, by what is true of the simulated children.
//!
//! What is true is known of two things that a clinic cannot see: on which day a family leaves care, and
//! whether it keeps to the brace. Everything else that a rule calls for is written in the log itself, and is
//! tested case by case.

use super::world::{Child, Clinic};
use forecast::natural_history::ChildTruth;
use guidance::Protocol;
use record::{ChildId, Day};

/// Days after a visit that was not held by which the child has to be called.
const CALLED_WITHIN_DAYS: i32 = 14;
/// Days in the brace within which a family that does not keep to it has to be called.
const FIRST_YEAR_DAYS: i32 = 365;
/// How far back visits are looked at, days.
const YEARS_DAYS: i32 = 3 * 365;

const CONTACT: [&str; 5] = [
    "missed-appointment",
    "no-next-appointment",
    "contact-lost",
    "review-overdue",
    "early-brace-review-overdue",
];
const WEAR: [&str; 3] = ["wear-low", "wear-falling", "nights-missed"];

/// How many were called of how many.
#[derive(Debug, Default, Clone, Copy)]
pub struct Called {
    pub called: usize,
    pub all: usize,
}

impl Called {
    fn add(&mut self, called: bool) {
        self.all += 1;
        self.called += usize::from(called);
    }

    /// Per cent.
    pub fn share(self) -> f64 {
        100.0 * self.called as f64 / self.all.max(1) as f64
    }
}

/// Over several clinics.
#[derive(Debug, Default)]
pub struct Sensitivity {
    /// Families that left care, two weeks after the first visit that they did not come to.
    pub left: Called,
    /// Families that came to a visit, two weeks after it, called for contact all the same.
    pub came: Called,
    /// Families that do not keep to the brace, called for wear within the first year in it.
    pub not_keeping: Called,
    /// Families that keep to it, called for wear all the same.
    pub keeping: Called,
}

impl Sensitivity {
    /// Adds the simulated children of a clinic.
    pub fn add(&mut self, clinic: &Clinic, protocol: &Protocol) {
        for (id, truth) in &clinic.truths {
            self.add_contact(clinic, *id, truth, protocol);
            self.add_wear(clinic, *id, truth, protocol);
        }
    }

    fn add_contact(&mut self, clinic: &Clinic, id: ChildId, truth: &ChildTruth, protocol: &Protocol) {
        let today = clinic.today.number();
        let leaves = truth.leaves_day.unwrap_or(i32::MAX);
        let seen_by = |day: i32| day + CALLED_WITHIN_DAYS <= today && day > today - YEARS_DAYS;
        let missed = truth.visit_days().filter(|day| *day >= leaves).min();
        let by = |day: i32| clinic.child_on(id, Day::from_number(day + CALLED_WITHIN_DAYS), protocol);
        if let Some(child) = missed.filter(|day| seen_by(*day)).and_then(by) {
            self.left.add(child.is_lost() || is_called(&child, &CONTACT) || !child.in_care());
        }
        let last = truth.visit_days().filter(|day| *day < leaves && seen_by(*day)).max();
        // A visit after the one looked at would be the next one missed, not this one.
        let quiet = last.filter(|day| missed.is_none_or(|missed| missed > day + CALLED_WITHIN_DAYS));
        if let Some(child) = quiet.and_then(by).filter(Child::in_care) {
            self.came.add(is_called(&child, &CONTACT));
        }
    }

    fn add_wear(&mut self, clinic: &Clinic, id: ChildId, truth: &ChildTruth, protocol: &Protocol) {
        let until = clinic.today.number().min(truth.leaves_day.unwrap_or(i32::MAX) - 1);
        let told: Vec<i32> = truth.wear.iter().map(|span| span.to_day).collect();
        let in_year = |day: &&i32| **day <= until && **day - truth.brace_day <= FIRST_YEAR_DAYS;
        let days: Vec<i32> = told.iter().filter(in_year).copied().collect();
        if days.is_empty() || until - truth.brace_day < FIRST_YEAR_DAYS {
            return;
        }
        let on = |day: &i32| clinic.child_on(id, Day::from_number(*day), protocol);
        let called = days.iter().filter_map(on).any(|child| is_called(&child, &WEAR));
        if truth.adherent { self.keeping.add(called) } else { self.not_keeping.add(called) }
    }
}

fn is_called(child: &Child, rules: &[&str]) -> bool {
    child.open().iter().any(|call| rules.contains(&call.rule))
}
