//! What the list asks of the clinic: open rows, new rows, old rows, and the same by rule.

use super::world::{Child, Clinic};
use guidance::{Protocol, Urgency};
use record::{ChildId, Day};
use std::collections::{BTreeMap, BTreeSet};

/// Clinic days looked at: the weekdays of twelve weeks.
const CLINIC_DAYS: usize = 60;
/// A row of this week is old beyond this many days.
const OLD_DAYS: i32 = 14;

/// Sums over several clinics.
#[derive(Debug, Default)]
pub struct Burden {
    pub clinics: usize,
    /// Children in care on the last day.
    pub in_care: usize,
    /// Of these, with an open call.
    pub open: usize,
    /// Of these, whose worst call is of each urgency.
    pub worst: [usize; 4],
    /// Rows of this week, and of these the old ones.
    pub this_week: (usize, usize),
    /// The same without the planted children.
    pub simulated: (usize, usize),
    /// Children on the lost list, in care or declared lost.
    pub lost: usize,
    /// New rows of each clinic day looked at.
    pub new_rows: Vec<usize>,
    /// By rule: open calls, rows led, new calls on all days.
    pub rules: BTreeMap<&'static str, OfRule>,
}

/// What one rule asks.
#[derive(Debug, Default, Clone, Copy)]
pub struct OfRule {
    /// Children with an open call of it.
    pub open: usize,
    /// Children whose worst call it is.
    pub leads: usize,
    /// Of the open ones, older than fourteen days.
    pub old: usize,
    /// Calls that began on a clinic day looked at.
    pub new: usize,
}

type OpenCalls = BTreeMap<ChildId, BTreeSet<&'static str>>;

impl Burden {
    /// Adds a clinic.
    pub fn add(&mut self, clinic: &Clinic, protocol: &Protocol) {
        self.clinics += 1;
        self.add_today(&clinic.on(clinic.today, protocol), clinic);
        let days = clinic_days(clinic.today);
        let mut before: Option<OpenCalls> = None;
        for day in days {
            let open = open_calls(&clinic.on(day, protocol));
            if let Some(before) = &before {
                self.add_new(before, &open);
            }
            before = Some(open);
        }
    }

    fn add_today(&mut self, children: &[Child], clinic: &Clinic) {
        let today = clinic.today;
        self.lost += children.iter().filter(|child| child.is_lost()).count();
        for child in children.iter().filter(|child| child.in_care()) {
            self.in_care += 1;
            let calls = child.open();
            let Some(worst) = calls.first() else { continue };
            self.open += 1;
            self.worst[usize::from(worst.urgency.rank())] += 1;
            if worst.urgency == Urgency::ThisWeek {
                self.this_week.0 += 1;
                let old = usize::from(today - worst.from > OLD_DAYS);
                self.this_week.1 += old;
                if clinic.truths.contains_key(&child.id) {
                    self.simulated.0 += 1;
                    self.simulated.1 += old;
                }
            }
            self.rules.entry(worst.rule).or_default().leads += 1;
            let mut met = BTreeSet::new();
            for call in calls.iter().filter(|call| met.insert(call.rule)) {
                let of_rule = self.rules.entry(call.rule).or_default();
                of_rule.open += 1;
                of_rule.old += usize::from(today - call.from > OLD_DAYS);
            }
        }
    }

    fn add_new(&mut self, before: &OpenCalls, open: &OpenCalls) {
        self.new_rows.push(open.keys().filter(|child| !before.contains_key(*child)).count());
        let nothing = BTreeSet::new();
        for (child, rules) in open {
            for rule in rules.difference(before.get(child).unwrap_or(&nothing)) {
                self.rules.entry(rule).or_default().new += 1;
            }
        }
    }

    /// New rows of a clinic day, mean and most.
    pub fn new_rows_a_day(&self) -> (f64, usize) {
        let sum: usize = self.new_rows.iter().sum();
        (sum as f64 / self.new_rows.len().max(1) as f64, self.new_rows.iter().copied().max().unwrap_or(0))
    }
}

fn open_calls(children: &[Child]) -> OpenCalls {
    let open = children.iter().filter(|child| child.in_care()).map(|child| {
        let rules: BTreeSet<_> = child.open().iter().map(|call| call.rule).collect();
        (child.id, rules)
    });
    open.filter(|(_, rules)| !rules.is_empty()).collect()
}

/// The last weekdays up to a day, in order, with one before them to compare with.
fn clinic_days(today: Day) -> Vec<Day> {
    let back = (0..).map(|days| today - days);
    let mut days: Vec<_> = back.filter(|day| day.weekday_from_monday() < 5).take(CLINIC_DAYS + 1).collect();
    days.reverse();
    days
}
